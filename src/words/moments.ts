import { DateTime } from 'luxon';

/** Moments of a plan, in epoch milliseconds and an IANA zone, as they are told and typed. */

export const DAY_MS = 86_400_000;

/** "Sunday, 22 November 2026", in a zone. */
export const dayWords = (at: Date, zone: string): string =>
  DateTime.fromJSDate(at, { zone }).toFormat('cccc, d LLLL yyyy');

/** "Sat 28 Nov 18:00", in a zone. */
export const momentWords = (ms: number, zone: string): string =>
  DateTime.fromMillis(ms, { zone }).toFormat('ccc d LLL HH:mm');

/** As it can be typed back: "2026-11-28 18:00". */
export const momentTyped = (ms: number, zone: string): string =>
  DateTime.fromMillis(ms, { zone }).toFormat('yyyy-MM-dd HH:mm');

/** "18:00", in a zone. */
export const clockWords = (ms: number, zone: string): string =>
  DateTime.fromMillis(ms, { zone }).toFormat('HH:mm');

/** "Sat 28 Nov 13:10 to 13:50", with the day again when it is another. */
export function spanWords(startMs: number, endMs: number, zone: string): string {
  const [start, end] = [DateTime.fromMillis(startMs, { zone }), DateTime.fromMillis(endMs, { zone })];
  const until = start.hasSame(end, 'day') ? clockWords(endMs, zone) : momentWords(endMs, zone);
  return `${momentWords(startMs, zone)} to ${until}`;
}
