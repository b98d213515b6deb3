import { DateTime } from 'luxon';

/** An axis of days as the clock at a place tells them: a tick at noon of a day, so that a day's batches lie around it. */
export interface DayAxis {
  /** Ends of the axis and the way from tick to tick, in days; from tick to tick is a whole number of them. */
  readonly from: number;
  readonly to: number;
  readonly step: number;
  /** Where a moment lies, in days; the noon of each day is a whole number. */
  place(epochMs: number): number;
  /** "22 Nov", with the year where the axis is long. */
  label(day: number): string;
}

const DAY_MS = 86_400_000;
const STEPS = 5;
/** On a longer axis a day is not told without its year. */
const MOST_DAYS_WITHOUT_YEAR = 300;

/**
 * An axis around these moments, at least five days long, with a day of room after the last: what more it has lies before
 * the first, as nothing is known of days to come.
 */
export function dayAxis(moments: readonly number[], zone = 'utc'): DayAxis {
  const place = (epochMs: number): number => {
    const { offset } = DateTime.fromMillis(epochMs, { zone });
    return (epochMs + 60_000 * offset) / DAY_MS - 0.5;
  };
  const days = moments.map((moment) => Math.round(place(moment)));
  const [first, last] = days.length === 0 ? [0, 0] : [Math.min(...days), Math.max(...days)];
  const step = Math.ceil((last - first + 2) / STEPS);
  const to = last + 1;
  const format = STEPS * step > MOST_DAYS_WITHOUT_YEAR ? 'd LLL yyyy' : 'd LLL';
  return {
    from: to - STEPS * step,
    to,
    step,
    place,
    label: (day) => DateTime.fromMillis((day + 0.5) * DAY_MS, { zone: 'utc' }).toFormat(format),
  };
}
