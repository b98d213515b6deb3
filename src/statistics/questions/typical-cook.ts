import { type Estimate, estimateOf } from '../model/linear-estimate.js';
import { type FitResult, fitMixedModel, type NoFit } from '../model/mixed-model.js';
import type { ModelSums } from '../model/sufficient-statistics.js';
import { chooseTerms } from '../model/term-choice.js';

export type TypicalYield =
  | {
      readonly kind: 'typical';
      readonly fit: Extract<FitResult, { readonly kind: 'mixed' | 'least-squares' }>;
      readonly mean: Estimate;
    }
  | { readonly kind: 'none'; readonly because: NoFit };

/**
 * What a typical cook gets: the mean of a model with nothing but a random intercept for each member, so that a member
 * with many batches does not outweigh the others, with Kenward and Roger's precision.
 */
export function typicalYield(sums: ModelSums): TypicalYield {
  const fit = fitMixedModel(chooseTerms(sums, { factors: [], covariates: [] }));
  if (fit.kind === 'none') return fit;
  const mean = estimateOf(fit, [1]);
  if (mean.kind !== 'estimate') throw new RangeError('an intercept alone cannot be confounded');
  return { kind: 'typical', fit, mean };
}
