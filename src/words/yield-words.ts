import { countWords } from './lists.js';
import { clamp, withDecimals } from './numbers.js';

interface Interval {
  readonly low: number;
  readonly high: number;
}

/** A fraction of one: "48 %". */
export function percentWords(fraction: number, decimals = 0): string {
  return `${percent(fraction, decimals)} %`;
}

/** "36 to 60 %". Throws RangeError when they are not in order. */
export function percentRangeWords(low: number, high: number, decimals = 0): string {
  if (!(low <= high)) throw new RangeError(`a range must run from low to high, not from ${low} to ${high}`);
  const [from, to] = [percent(low, decimals), percent(high, decimals)];
  return from === to ? `${to} %` : `${from} to ${to} %`;
}

/** With one decimal, where two are compared: "47.6 %". */
export const finePercentWords = (fraction: number): string => percentWords(fraction, 1);

/** A yield is never below nothing or above everything. */
export const clampYield = (fraction: number): number => clamp(fraction, 0, 1);

export const isPossibleYield = (fraction: number): boolean => fraction >= 0 && fraction <= 1;

/** Whether an interval of a yield leaves anything out at all. */
export const saysNothing = ({ low, high }: Interval): boolean => !(low > 0 || high < 1);

/** "44.1 to 53.2 %", as far as a yield can be that. */
export const yieldRangeWords = ({ low, high }: Interval, decimals = 0): string =>
  percentRangeWords(clampYield(low), clampYield(high), decimals);

/** "95 % interval 44.1 to 53.2 %." */
export function intervalWords(interval: Interval): string {
  if (saysNothing(interval)) return 'How sure that is cannot be told yet.';
  return `95 % interval ${yieldRangeWords(interval, 1)}.`;
}

/** Half of a tenth of a point would be shown as none. */
const LEAST_SHOWN = 0.0005;

/** A difference of two yields: "2 points more", "about the same". */
export function pointsWords(difference: number): string {
  const whole = Math.round(Math.abs(difference) * 100);
  if (whole === 0) return 'about the same';
  return `${countWords(whole, 'point', 'points')} ${difference > 0 ? 'more' : 'less'}`;
}

/** The same without a sign, to a tenth: "5.2 points", "1 point", "less than 0.1 points". */
export function finePointsWords(difference: number): string {
  if (difference !== 0 && Math.abs(difference) < LEAST_SHOWN) return 'less than 0.1 points';
  return countWords(Number(points(Math.abs(difference))), 'point', 'points');
}

const points = (fraction: number): string =>
  (fraction * 100).toFixed(1).replace('-', '−').replace('−0.0', '0.0');

/** With its sign: "+5.2", "−1.0", "0.0". */
export function signedPointsWords(difference: number): string {
  const text = points(difference);
  return text.startsWith('−') || text === '0.0' ? text : `+${text}`;
}

/** "1.1 to 9.3", "−2.0 to 3.1": the ends of an interval of a difference, in points. */
export function pointsIntervalWords({ low, high }: Interval): string {
  return `${points(low)} to ${points(high)}`;
}

/** The interval of a difference that is told without its sign. */
export const withoutSign = (difference: number, { low, high }: Interval): Interval =>
  difference < 0 ? { low: -high, high: -low } : { low, high };

/** With its direction: "7.5 points more", "no difference". */
export function moreOrLessWords(difference: number): string {
  if (difference === 0) return 'no difference';
  return `${finePointsWords(difference)} ${difference > 0 ? 'more' : 'less'}`;
}

/** "1.5 points less to 0.9 more": the ends of an interval that holds 0. */
export const aroundNoneWords = ({ low, high }: Interval): string =>
  `${points(Math.abs(low))} points less to ${points(high)} more`;

/** For a post that many read: "1 to 5 points", "2 points less to 3.5 points more". */
export function pointsRangeWords({ low, high }: Interval): string {
  const short = (fraction: number) => Math.round(Math.abs(fraction) * 1000) / 10;
  if (low >= 0) return `${short(low)} to ${short(high)} points`;
  if (high <= 0) return `${short(low)} to ${short(high)} points less`;
  return `${short(low)} points less to ${short(high)} points more`;
}

function percent(fraction: number, decimals: number): string {
  if (!Number.isFinite(fraction)) throw new RangeError(`a fraction must be finite, not ${fraction}`);
  return withDecimals(fraction * 100, decimals);
}
