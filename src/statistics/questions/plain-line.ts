import type { ModelSums } from '../model/sufficient-statistics.js';
import { chooseTerms } from '../model/term-choice.js';

/** A sum of squares that keeps less than this share once its mean is taken off does not change. */
const LEAST_SHARE = 1e-10;

/**
 * A straight line through all batches by least squares, nothing allowed for: its slope, and the standard deviation of the
 * covariate; both 0 where that never changes.
 */
export function plainLine(
  sums: ModelSums,
  covariate: string,
): { readonly slope: number; readonly sd: number } {
  const { total } = chooseTerms(sums, { factors: [], covariates: [covariate] });
  const [n = 0, x = 0, xx = 0] = total.xx;
  const [y = 0, xy = 0] = total.xy;
  const squares = xx - (x * x) / n;
  if (!(squares > LEAST_SHARE * xx)) return { slope: 0, sd: 0 };
  return { slope: (xy - (x * y) / n) / squares, sd: Math.sqrt(squares / n) };
}
