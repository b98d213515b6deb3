import { DateTime } from 'luxon';

export interface WeeklyTime {
  /** ISO 8601: Monday is 1. */
  readonly day: number;
  readonly hour: number;
  /** IANA time zone. */
  readonly zone: string;
}

export interface Appointment {
  readonly at: Date;
  /** The ISO week it belongs to by its local date, e.g. `2026-W10`: one post a week, whatever the settings do meanwhile. */
  readonly week: string;
}

/** A bot that was down posts when it is back, if that is within this time; otherwise the week is folded into the next. */
export const LATEST_MS = 36 * 3_600_000;

/**
 * The first appointment after `after`, at local time: an hour that a clock change skips moves to the hour after it, an
 * hour that a clock change repeats counts once.
 */
export function nextAppointment(weekly: WeeklyTime, after: Date): Appointment {
  const start = DateTime.fromJSDate(after, { zone: weekly.zone });
  if (!start.isValid) throw new RangeError(`no such time zone: ${weekly.zone}`);
  const daysAhead = (weekly.day - start.weekday + 7) % 7;
  for (const days of [daysAhead, daysAhead + 7]) {
    const date = start.startOf('day').plus({ days });
    const at = localHour(date, weekly);
    if (at.toMillis() > after.getTime()) return { at: at.toJSDate(), week: isoWeek(date) };
  }
  throw new RangeError(`no appointment within two weeks of ${after.toISOString()}`);
}

/** The appointment that stands at `at`, by its local date. */
export function appointmentAt(weekly: WeeklyTime, at: Date): Appointment {
  return { at, week: isoWeek(DateTime.fromJSDate(at, { zone: weekly.zone })) };
}

/**
 * What to do about the appointments from `next` to `now`: each is due, or folded when it is too long past; and the
 * first one after `now`.
 */
export function appointmentsUntil(
  weekly: WeeklyTime,
  next: Date,
  now: Date,
): { readonly past: readonly (Appointment & { readonly state: 'due' | 'folded' })[]; readonly next: Date } {
  const past: (Appointment & { readonly state: 'due' | 'folded' })[] = [];
  let current = appointmentAt(weekly, next);
  while (current.at.getTime() <= now.getTime()) {
    const late = now.getTime() - current.at.getTime();
    past.push({ ...current, state: late <= LATEST_MS ? 'due' : 'folded' });
    current = nextAppointment(weekly, current.at);
  }
  return { past, next: current.at };
}

function localHour(date: DateTime, weekly: WeeklyTime): DateTime {
  return DateTime.fromObject(
    { year: date.year, month: date.month, day: date.day, hour: weekly.hour },
    { zone: weekly.zone },
  );
}

function isoWeek(date: DateTime): string {
  return `${date.weekYear}-W${String(date.weekNumber).padStart(2, '0')}`;
}
