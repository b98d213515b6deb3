import { en, type ParsedResult } from 'chrono-node';
import { DateTime } from 'luxon';
import { oneLine } from './clean.js';
import { type Parsed, parsed, shorten, unreadable } from './option.js';

const EARLIEST_YEAR = 2000;

/**
 * Reads the day something happened: "2026-03-01", "yesterday", "last Saturday", "Saturday" (the most recent one).
 * Answers with noon of that day in `zone`, or with `now` for today. Days to come are refused.
 */
export function readPastDay(text: string, now: Date, zone: string): Parsed<Date> {
  const here = DateTime.fromJSDate(now, { zone });
  const day = readLocal(text, now, zone, false);
  const example = 'For example: today, yesterday, 2026-03-01.';
  if (day === undefined) return unreadable(`“${shorten(oneLine(text))}” is not a day. ${example}`);
  // A bare weekday that chrono places ahead means the one that has been.
  const past =
    !day.certain && day.local.startOf('day') > here.startOf('day')
      ? day.local.minus({ weeks: 1 })
      : day.local;
  if (past.startOf('day') > here.startOf('day')) {
    return unreadable(`${past.toISODate()} is still to come; log a batch once it is weighed. ${example}`);
  }
  if (past.year < EARLIEST_YEAR) return unreadable(`${past.toISODate()} is too long ago. ${example}`);
  if (past.hasSame(here, 'day')) return parsed(now);
  return parsed(past.set({ hour: 12, minute: 0, second: 0, millisecond: 0 }).toJSDate());
}

/** Reads a moment to come: "Saturday 6pm", "tomorrow at 18:30", "2026-03-01 18:00". Moments that are past are refused. */
export function readMomentAhead(text: string, now: Date, zone: string): Parsed<Date> {
  const example = 'For example: Saturday 6pm, tomorrow at 18:30.';
  const moment = readLocal(text, now, zone, true);
  if (moment === undefined) return unreadable(`“${shorten(oneLine(text))}” is not a time. ${example}`);
  if (moment.local.toMillis() <= now.getTime()) {
    return unreadable(`${moment.local.toFormat('ccc d LLL yyyy, HH:mm')} is already past. ${example}`);
  }
  return parsed(moment.local.toJSDate());
}

/** Reads a place's time zone by its IANA name, whatever its case: "America/Chicago". */
export function readZone(text: string): Parsed<string> {
  const wanted = oneLine(text).replaceAll(' ', '_').toLowerCase();
  const found = zoneNames().find((name) => name.toLowerCase() === wanted);
  if (found !== undefined) return parsed(found);
  if (wanted === 'utc' || wanted === 'etc/utc') return parsed('UTC');
  return unreadable(
    `“${shorten(oneLine(text))}” is not a time zone. Use the name of a large city near you, for example America/Chicago or Europe/Berlin.`,
  );
}

/** IANA names that hold what was typed, at most `most`. */
export function suggestZones(typed: string, most: number): readonly string[] {
  const wanted = typed.trim().replaceAll(' ', '_').toLowerCase();
  return zoneNames()
    .filter((name) => name.toLowerCase().includes(wanted))
    .slice(0, most);
}

/** Names of today that the runtime knows but lists under older ones (tz database, file `backward`). */
const RENAMED = [
  'America/Argentina/Buenos_Aires',
  'America/Argentina/Cordoba',
  'America/Argentina/Mendoza',
  'America/Nuuk',
  'Asia/Ho_Chi_Minh',
  'Asia/Kathmandu',
  'Asia/Kolkata',
  'Asia/Yangon',
  'Atlantic/Faroe',
  'Europe/Kyiv',
  'Pacific/Kanton',
];

let names: readonly string[] | undefined;
function zoneNames(): readonly string[] {
  names ??= [...new Set([...Intl.supportedValuesOf('timeZone'), ...RENAMED])].sort();
  return names;
}

interface Local {
  readonly local: DateTime;
  /** Whether the person named a date rather than a bare weekday. */
  readonly certain: boolean;
}

function readLocal(text: string, now: Date, zone: string, ahead: boolean): Local | undefined {
  const clean = oneLine(text).slice(0, 100);
  if (/^\d{4}-\d{2}-\d{2}$/.test(clean)) {
    const day = DateTime.fromISO(clean, { zone });
    return day.isValid ? { local: ahead ? day.set({ hour: 12 }) : day, certain: true } : undefined;
  }
  const offset = DateTime.fromJSDate(now, { zone }).offset;
  const [result] = en.casual.parse(clean, { instant: now, timezone: offset }, { forwardDate: ahead });
  // Words around the date would be silently dropped: they may have mattered.
  if (result === undefined || result.text.trim().length < clean.length * 0.6) return undefined;
  return toLocal(result, zone);
}

function toLocal({ start }: ParsedResult, zone: string): Local | undefined {
  const certain = start.isCertain('day') || !start.isCertain('weekday');
  if (start.isCertain('timezoneOffset')) {
    return { local: DateTime.fromJSDate(start.date(), { zone }), certain };
  }
  const local = DateTime.fromObject(
    {
      year: start.get('year') ?? undefined,
      month: start.get('month') ?? undefined,
      day: start.get('day') ?? undefined,
      hour: start.get('hour') ?? 12,
      minute: start.get('minute') ?? 0,
    },
    { zone },
  );
  return local.isValid ? { local, certain } : undefined;
}
