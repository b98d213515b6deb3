import { DateTime } from 'luxon';
import { DAY_MS } from '../../words/moments.js';
import type { QuietHours } from './placing.js';

/** Nobody stands at the stove from ten at night to seven in the morning. Assumed. */
export const NIGHT = { fromHour: 22, toHour: 7 } as const;
/** From the end of one night to the beginning of the next. */
export const DAY_MINUTES = 60 * (NIGHT.fromHour - NIGHT.toHour);

/** A batch with its waits fits into this, so only the nights near its ends matter. */
const LONGEST_BATCH_DAYS = 20;

/** The nights near now and near the end, in order. */
export function nights(nowMs: number, endMs: number, zone: string): readonly QuietHours[] {
  const afterNowMs = nowMs + LONGEST_BATCH_DAYS * DAY_MS;
  const beforeEndMs = Math.max(endMs - LONGEST_BATCH_DAYS * DAY_MS, afterNowMs + DAY_MS);
  return [
    ...nightsBetween(nowMs - DAY_MS, afterNowMs, zone),
    ...nightsBetween(beforeEndMs, endMs + DAY_MS, zone),
  ];
}

/** The nights that begin on the days from one instant's to another's. */
function nightsBetween(fromMs: number, toMs: number, zone: string): readonly QuietHours[] {
  const first = DateTime.fromMillis(fromMs, { zone }).startOf('day');
  const last = DateTime.fromMillis(toMs, { zone }).startOf('day');
  const days = Math.max(0, Math.round(last.diff(first, 'days').days) + 1);
  return Array.from({ length: fromMs > toMs ? 0 : days }, (_, day) => ({
    fromMs: first.plus({ days: day }).set({ hour: NIGHT.fromHour }).toMillis(),
    toMs: first
      .plus({ days: day + 1 })
      .set({ hour: NIGHT.toHour })
      .toMillis(),
  }));
}
