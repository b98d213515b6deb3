import { type Estimate, type Interval, intervalOf } from '../model/linear-estimate.js';

/** What may be said of a difference: words follow the interval. */
export type Verdict =
  /** The whole interval is above 0. */
  | 'more'
  /** The whole interval is below 0. */
  | 'less'
  /** 0 is inside, and the interval is narrow enough to say that a difference worth knowing would mostly have shown. */
  | 'unclear'
  /** Too few batches or cooks on one side, or an interval too wide to tell a difference worth knowing from none. */
  | 'too-few';

/** One side of a comparison. */
export interface Side {
  readonly batches: number;
  readonly members: number;
}

/** Below these on either side no comparison is stated (a choice of ours, no source). */
export const LEAST_BATCHES = 3;
export const LEAST_MEMBERS = 2;

/** Five points of yield, 50 g of tallow from a kilogram of fat: the least that is worth changing one's ways for. */
export const WORTH_KNOWING = 0.05;

/** With every comparison of a factor allowed for by Holm's steps, a difference is clear below this. */
export const SIGNIFICANCE = 0.05;

/** @param sides the two that are compared */
export function verdictOf(
  difference: Omit<Estimate, 'kind'>,
  sides: readonly [Side, Side],
  {
    level = 0.95,
    worthKnowing = WORTH_KNOWING,
  }: { readonly level?: number; readonly worthKnowing?: number } = {},
): Verdict {
  if (sides.some(({ batches, members }) => batches < LEAST_BATCHES || members < LEAST_MEMBERS))
    return 'too-few';
  const { low, high } = intervalOf(difference, level);
  if (isHardlyKnown({ low, high })) return 'too-few';
  if (low > 0) return 'more';
  if (high < 0) return 'less';
  return (high - low) / 2 > worthKnowing ? 'too-few' : 'unclear';
}

/** Two yields cannot differ by more than all of the fat: an interval that reaches further says nothing. */
export const isHardlyKnown = ({ low, high }: Interval): boolean => !(low >= -1 && high <= 1);

/** Of a step this much is enough: batches are seldom exactly an hour or a doubling apart. */
const ENOUGH_OF_A_STEP = 0.9;

/**
 * Whether weights or times differ enough to see what one step makes: about a step lies between the batches at the low
 * end and those at the high end, a tenth of all at either, three at least. One batch far out thus does not decide.
 * @param values a covariate of each batch
 * @param step in the unit of the values, above 0
 */
export function spanAStep(values: readonly number[], step: number): boolean {
  const ordered = [...values].sort((a, b) => a - b);
  const atEitherEnd = Math.max(LEAST_BATCHES, Math.ceil(values.length / 10));
  const [low, high] = [ordered[atEitherEnd - 1], ordered.at(-atEitherEnd)];
  return low !== undefined && high !== undefined && high - low >= ENOUGH_OF_A_STEP * step;
}
