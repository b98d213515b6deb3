import { formatPercentRange } from './amounts.js';
import { cutLabel, isCut, isMethod, methodLabel } from './methods.js';

interface Interval {
  readonly low: number;
  readonly high: number;
}

/** Into what a yield can be, as a fraction. */
export const clampYield = (fraction: number): number => Math.min(1, Math.max(0, fraction));

export const isPossibleYield = (fraction: number): boolean => fraction >= 0 && fraction <= 1;

/** "44.1 to 53.2 %", as far as a yield can be that. */
export const yieldRangeWords = ({ low, high }: Interval, decimals = 0): string =>
  formatPercentRange(clampYield(low), clampYield(high), decimals);

/** Whether an interval of a yield leaves anything out at all. */
export const saysNothing = ({ low, high }: Interval): boolean => !(low > 0 || high < 1);

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

/** A difference with its direction: "7.5 points more", "no difference". */
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

/** "a", "a and b", "a, b and c". */
export function listWords(items: readonly string[], last = 'and'): string {
  if (items.length < 2) return items.join('');
  return `${items.slice(0, -1).join(', ')} ${last} ${items.at(-1)}`;
}

/** A method or a cut inside a sentence: "pressure cooker", "ground". */
export function levelWords(level: string): string {
  if (isMethod(level)) return (methodLabel(level).split(',')[0] ?? level).toLowerCase();
  return isCut(level) ? cutLabel(level).toLowerCase() : level;
}

export const capitalised = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
