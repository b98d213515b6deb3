import { aliasesOf } from './linear-estimate.js';
import { type FitResult, fitMixedModel } from './mixed-model.js';
import type { ModelSums } from './sufficient-statistics.js';
import { chooseTerms, type TermChoice } from './term-choice.js';

export interface WithoutCovariates {
  /** Names of the covariates left out: what is estimated is not adjusted for them. */
  readonly removed: readonly string[];
  /** The terms that remain. */
  readonly choice: TermChoice;
  readonly fit: FitResult;
}

/**
 * The same model without the covariates that cannot be told apart from the rest. The fit is the same, but the
 * adjusted means can be estimated. Undefined when no covariate is aliased.
 */
export function withoutAliasedCovariates(sums: ModelSums, fit: FitResult): WithoutCovariates | undefined {
  if (fit.kind === 'none') return undefined;
  const removed = aliasesOf(fit).flatMap(({ column }) =>
    column.kind === 'covariate' ? [column.covariate] : [],
  );
  if (removed.length === 0) return undefined;
  const { factors, covariates } = sums.design;
  const choice = {
    factors: factors.map(({ name }) => name),
    covariates: covariates.map(({ name }) => name).filter((name) => !removed.includes(name)),
  };
  return { removed, choice, fit: fitMixedModel(chooseTerms(sums, choice)) };
}
