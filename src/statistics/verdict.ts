import { type Estimate, intervalOf } from './linear-estimate.js';

/** What may be said of a difference: words follow the interval. */
export type Verdict =
  /** The whole interval is above 0. */
  | 'more'
  /** The whole interval is below 0. */
  | 'less'
  /** 0 is inside, and the interval is narrow enough to say that a difference worth knowing would mostly have shown. */
  | 'unclear'
  /** Too few batches or cooks on one side, or an interval wider than any difference worth knowing. */
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
  if (low > 0) return 'more';
  if (high < 0) return 'less';
  return (high - low) / 2 > worthKnowing ? 'too-few' : 'unclear';
}
