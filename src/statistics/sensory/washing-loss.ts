/** How much tallow a wash takes. */
import { memberSums } from '../model/member-sums.js';
import { type PooledYield, pooledYield, type YieldInterval } from '../questions/pooled-yield.js';

/** One wash: melted with water, settled, and the disc weighed again. */
export interface Wash {
  readonly cook: string;
  readonly beforeG: number;
  readonly afterG: number;
}

type WashingLoss =
  | { readonly kind: 'no-washes' }
  | {
      readonly kind: 'pooled';
      /** Share of the tallow that one wash takes: 1 − Σ after ÷ Σ before. Below 0 when water was weighed with it. */
      readonly estimate: number;
      readonly interval: YieldInterval;
      readonly washes: number;
      readonly cooks: number;
    };

/**
 * Loss per wash over all washes, every gram alike, with an interval that treats each cook's washes as one cluster: it is
 * what the pooled yield of after over before leaves of 1.
 * @throws RangeError unless 0 < level < 1 and every beforeG is above 0 and every afterG finite.
 */
export function washingLoss(washes: Iterable<Wash>, level = 0.95): WashingLoss {
  const batches = Array.from(washes, ({ cook, beforeG, afterG }) => ({
    member: cook,
    fatG: beforeG,
    tallowG: afterG,
  }));
  const kept: PooledYield = pooledYield(memberSums(batches).values(), level);
  if (kept.kind === 'no-batches') return { kind: 'no-washes' };
  return {
    kind: 'pooled',
    estimate: 1 - kept.estimate,
    interval: mirrored(kept.interval),
    washes: kept.batches,
    cooks: kept.members,
  };
}

const mirrored = (interval: YieldInterval): YieldInterval =>
  interval.kind === 'none' ? interval : { ...interval, low: 1 - interval.high, high: 1 - interval.low };
