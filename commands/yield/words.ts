import type { Interval } from '../../src/statistics/linear-estimate.js';
import { formatPercentRange } from '../../src/trade/amounts.js';

const held = (fraction: number): number => Math.min(1, Math.max(0, fraction));

/** "95 % interval 44.1 to 53.2 %."; a yield is never below nothing or above everything. */
export function intervalWords({ low, high }: Interval): string {
  return `95 % interval ${formatPercentRange(held(low), held(high), 1)}.`;
}

/** Half of a tenth of a point would be shown as none. */
const LEAST_SHOWN = 0.0005;

/** A difference of yields in points, without a sign: "5.2 points", "1 point", "less than 0.1 points". */
export function finePointsWords(difference: number): string {
  if (difference !== 0 && Math.abs(difference) < LEAST_SHOWN) return 'less than 0.1 points';
  const points = (Math.abs(difference) * 100).toFixed(1).replace(/\.0$/, '');
  return `${points} ${points === '1' ? 'point' : 'points'}`;
}

const points = (fraction: number): string =>
  (fraction * 100).toFixed(1).replace('-', '−').replace('−0.0', '0.0');

/** A difference of yields in points, with its sign: "+5.2", "−1.0", "0.0". */
export function signedPointsWords(difference: number): string {
  const text = points(difference);
  return text.startsWith('−') || text === '0.0' ? text : `+${text}`;
}

/** "1.1 to 9.3", "−2.0 to 3.1": the ends of an interval of a difference, in points. */
export function pointsIntervalWords({ low, high }: Interval): string {
  return `${points(low)} to ${points(high)}`;
}

/** "a", "a and b", "a, b and c". */
export function listWords(items: readonly string[], last = 'and'): string {
  if (items.length < 2) return items.join('');
  return `${items.slice(0, -1).join(', ')} ${last} ${items.at(-1)}`;
}
