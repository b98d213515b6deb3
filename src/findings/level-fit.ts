import type { CommunitySums } from '../records/model-sums.js';
import { withoutAliasedCovariates } from '../statistics/model/aliased-covariates.js';
import type { Fit } from '../statistics/model/mixed-model.js';

/** The fit that levels are compared in: without the covariates that cannot be told apart from the rest. */
export function levelFit({ sums }: CommunitySums, fit: Fit): Fit {
  const bare = withoutAliasedCovariates(sums, fit)?.fit;
  return bare === undefined || bare.kind === 'none' ? fit : bare;
}
