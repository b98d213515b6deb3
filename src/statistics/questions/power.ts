/** How many more batches until a difference of a stated size would show. */
import tCdf from '@stdlib/stats-base-dists-t-cdf';
import { tQuantile } from '../algebra/distributions.js';
import type { Spread } from './spread.js';

/**
 * Probability that a two-sided t test at `alpha` finds a true difference: P(T > t* − δ/SE) + P(T < −t* − δ/SE), the
 * shifted central t standing for the noncentral one (a little too high when df is below 5).
 * @throws RangeError unless standardError and df are above 0.
 */
export function powerOf(difference: number, standardError: number, df: number, alpha = 0.05): number {
  if (!(standardError > 0)) throw new RangeError(`standardError must be above 0: ${standardError}`);
  const critical = tQuantile(1 - alpha / 2, df);
  const shift = Math.abs(difference) / standardError;
  return tCdf(shift - critical, df) + tCdf(-shift - critical, df);
}

/** What is known of the difference already. */
export interface Known {
  readonly standardError: number;
  readonly df: number;
}

export interface BatchPlan {
  /** More members, each cooking `batchesEach` batches, half by one way and half by the other. */
  readonly members: number;
  readonly batchesEach: number;
  readonly batches: number;
  /** Of the difference once they are cooked. */
  readonly standardError: number;
  /** Probability that the difference shows then. */
  readonly power: number;
}

/** More members than this are not a plan. */
const MOST_MEMBERS = 1000;

/** One cook alone cannot show what is true of cooks. */
const LEAST_MEMBERS = 2;

/**
 * The fewest further members, each cooking both ways, after whose batches a true difference of this size shows with
 * probability `power`. A cook who tries both ways is compared with themselves, so that the spread between cooks drops
 * out: with a and b batches their difference has variance σ²(1/a + 1/b), and information adds up,
 *   1/SE² = 1/SE₀² + m / (σ²(1/a + 1/b)),   df = df₀ + m (a + b − 1),
 * df₀ being what is known already or, when nothing is, −1 for the difference itself. Undefined beyond 1000 members.
 * @throws RangeError unless difference is not 0, the batch spread above 0, and batchesEach a whole number of 2 or more.
 */
export function batchesToShow(
  difference: number,
  spread: Pick<Spread, 'batch'>,
  options: {
    readonly known?: Known | undefined;
    readonly batchesEach?: number;
    readonly power?: number;
    readonly alpha?: number;
  } = {},
): BatchPlan | undefined {
  const { known, batchesEach = 4, power: wanted = 0.8, alpha = 0.05 } = options;
  if (!(Math.abs(difference) > 0)) throw new RangeError('a difference of 0 never shows');
  if (!(spread.batch > 0)) throw new RangeError(`the spread must be above 0: ${spread.batch}`);
  if (!(Number.isInteger(batchesEach) && batchesEach >= 2))
    throw new RangeError(`batchesEach must be a whole number of 2 or more: ${batchesEach}`);
  const oneWay = Math.floor(batchesEach / 2);
  const perMember = 1 / (spread.batch ** 2 * (1 / oneWay + 1 / (batchesEach - oneWay)));
  for (let members = known === undefined ? LEAST_MEMBERS : 0; members <= MOST_MEMBERS; members += 1) {
    const information = (known === undefined ? 0 : 1 / known.standardError ** 2) + members * perMember;
    const df = (known?.df ?? -1) + members * (batchesEach - 1);
    if (df <= 0) continue;
    const standardError = 1 / Math.sqrt(information);
    const power = powerOf(difference, standardError, df, alpha);
    if (power >= wanted)
      return { members, batchesEach, batches: members * batchesEach, standardError, power };
  }
  return undefined;
}
