import { formatPercentRange } from './amounts.js';

interface Interval {
  readonly low: number;
  readonly high: number;
}

/** A yield is never below nothing or above everything. */
export const held = (fraction: number): number => Math.min(1, Math.max(0, fraction));

/** Whether an interval of a yield leaves anything out at all. */
export const saysNothing = ({ low, high }: Interval): boolean => !(low > 0 || high < 1);

/** "95 % interval 44.1 to 53.2 %." */
export function intervalWords({ low, high }: Interval): string {
  if (saysNothing({ low, high })) return 'How sure that is cannot be told yet.';
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

/** A difference with its direction: "7.5 points more", "no difference". */
export function moreOrLessWords(difference: number): string {
  if (difference === 0) return 'no difference';
  return `${finePointsWords(difference)} ${difference > 0 ? 'more' : 'less'}`;
}

/** "1.5 points less to 0.9 more": the ends of an interval that holds 0. */
export const aroundNoneWords = ({ low, high }: Interval): string =>
  `${points(Math.abs(low))} points less to ${points(high)} more`;

/** "a", "a and b", "a, b and c". */
export function listWords(items: readonly string[], last = 'and'): string {
  if (items.length < 2) return items.join('');
  return `${items.slice(0, -1).join(', ')} ${last} ${items.at(-1)}`;
}
