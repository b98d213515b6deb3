import type { CommunitySums } from '../../src/records/model-sums.js';
import { withoutAliasedCovariates } from '../../src/statistics/aliased-covariates.js';
import type { Fit } from '../../src/statistics/mixed-model.js';

/** The fit that levels are compared in, and the covariates that it cannot allow for as they cannot be told apart. */
export function levelFit(
  { sums }: CommunitySums,
  fit: Fit,
): { readonly fit: Fit; readonly notAllowedFor: readonly string[] } {
  const bare = withoutAliasedCovariates(sums, fit);
  return {
    fit: bare && bare.fit.kind !== 'none' ? bare.fit : fit,
    notAllowedFor: bare?.removed ?? [],
  };
}
