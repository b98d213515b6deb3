import { en, type ParsedResult } from 'chrono-node';
import { DateTime } from 'luxon';
import { oneLine } from './clean.js';
import { type Parsed, parsed, quoted, shorten, unreadable } from './option.js';
import {
  cityOf,
  LARGE_CITIES,
  nameOfToday,
  plainPlace,
  zoneBehind,
  zoneNames,
  zoneThatMayBeMeant,
} from './zone-names.js';

const EARLIEST_YEAR = 2000;

/**
 * Reads the day something happened: "2026-03-01", "24/11/2026", "yesterday", "last Saturday", "Saturday" (the most
 * recent one). Answers with noon of that day in `zone`, or with `now` for today. Days to come are refused, with the
 * advice `ifAhead` where there is some; so is a date that could be two days which both have been.
 */
export function readPastDay(text: string, now: Date, zone: string, ifAhead?: string): Parsed<Date> {
  return theOnlyReading(text, now, zone, 'past', (words) => readOnePastDay(words, now, zone, ifAhead));
}

function readOnePastDay(text: string, now: Date, zone: string, ifAhead: string | undefined): Parsed<Date> {
  const here = DateTime.fromJSDate(now, { zone });
  const day = readLocal(text, now, zone, false);
  const example = 'For example: today, yesterday, 2026-03-01.';
  if (day === undefined) return unreadable(`${quoted(text)} is not a day. ${example}`);
  const isAhead = (local: DateTime) => local.startOf('day') > here.startOf('day');
  // What comes round again and is placed ahead means the one that has been.
  const past = day.comesRound && isAhead(day.local) ? day.local.minus(day.comesRound) : day.local;
  if (isAhead(past)) {
    const advice = ifAhead === undefined ? '' : `; ${ifAhead}`;
    return unreadable(`${past.toISODate()} is still to come${advice}. ${example}`);
  }
  if (past.year < EARLIEST_YEAR) return unreadable(`${past.toISODate()} is too long ago. ${example}`);
  if (past.hasSame(here, 'day')) return parsed(now);
  return parsed(past.set({ hour: 12, minute: 0, second: 0, millisecond: 0 }).toJSDate());
}

/**
 * Reads a moment to come: "Saturday 6pm", "tomorrow at 18:30", "2026-03-01 18:00". Moments that are past are refused,
 * and so is a date that could be two days which are both to come.
 */
export function readMomentAhead(text: string, now: Date, zone: string): Parsed<Date> {
  return theOnlyReading(text, now, zone, 'ahead', (words) => readOneMomentAhead(words, now, zone));
}

function readOneMomentAhead(text: string, now: Date, zone: string): Parsed<Date> {
  const example = 'For example: Saturday 6pm, tomorrow at 18:30.';
  const moment = readLocal(text, now, zone, true);
  if (moment === undefined) return unreadable(`${quoted(text)} is not a time. ${example}`);
  if (moment.local.toMillis() <= now.getTime()) {
    return unreadable(`${moment.local.toFormat('ccc d LLL yyyy, HH:mm')} is already past. ${example}`);
  }
  return parsed(moment.local.toJSDate());
}

type Direction = 'past' | 'ahead';

/** Reads every way the text can be meant and answers with the one that is possible; two are asked about. */
function theOnlyReading(
  text: string,
  now: Date,
  zone: string,
  direction: Direction,
  read: (words: string) => Parsed<Date>,
): Parsed<Date> {
  const readings = readingsOf(oneLine(text), DateTime.fromJSDate(now, { zone }), direction);
  const results = readings.map(read);
  const possible = readings.filter((_words, at) => results[at]?.ok);
  if (possible.length > 1) {
    return unreadable(
      `${quoted(text)} can be read two ways. Write ${possible.map((one) => shorten(one)).join(' or ')}.`,
    );
  }
  return results.find(({ ok }) => ok) ?? results[0] ?? read(text);
}

/** Day and month in figures, with or without a year: "04/11/2026", "4.11.26", "4/11". A part of an hour is none. */
const IN_FIGURES =
  /(?<![\d/.-])(\d{1,2})(?:([/.-])(\d{1,2})\2(\d{4}|\d{2})|\/(\d{1,2}))(?![\d/.-]|\s*(?:h|hr|min|hour|minute|day|week)s?\b)/;

/** The text with its date in figures written in the one unmistakable way, day first and then month first. */
function readingsOf(text: string, here: DateTime, direction: Direction): readonly string[] {
  const found = IN_FIGURES.exec(text);
  if (found === null) return [text];
  const [figures, first, mark, second = found[5], year] = found;
  const days = [
    { day: Number(first), month: Number(second) },
    // Where dots are written the day comes first.
    ...(mark === '.' ? [] : [{ day: Number(second), month: Number(first) }]),
  ].flatMap((one) => isoDay({ ...one, year: yearOf(year, one, here, direction) }) ?? []);
  return days.length === 0 ? [text] : [...new Set(days)].map((day) => text.replace(figures, day));
}

const isoDay = (day: { readonly year: number; readonly month: number; readonly day: number }) =>
  DateTime.fromObject(day).toISODate() ?? undefined;

interface DayOfYear {
  readonly month: number;
  readonly day: number;
}

/** A year of two figures is of this century; without one it is the last such day, or the next. */
function yearOf(year: string | undefined, one: DayOfYear, here: DateTime, direction: Direction): number {
  if (year !== undefined) return year.length === 2 ? 2000 + Number(year) : Number(year);
  const isBefore = one.month - here.month || one.day - here.day;
  if (direction === 'past') return isBefore > 0 ? here.year - 1 : here.year;
  return isBefore < 0 ? here.year + 1 : here.year;
}

/**
 * Reads a place's time zone by its IANA name or by the city in it, whatever the case: "America/Chicago", "new york".
 * Answers with the name of today where there are older ones. A city that stands for two of `zones` is asked about, and an
 * abbreviation is refused with a city that may be meant.
 */
export function readZone(text: string, zones: readonly string[] = zoneNames()): Parsed<string> {
  const wanted = plainPlace(text);
  if (wanted === 'utc' || wanted === 'etc/utc') return parsed('UTC');
  const exact = zones.find((name) => plainPlace(name) === wanted);
  if (exact !== undefined) return parsed(nameOfToday(exact));
  const ofCity = zones.filter((name) => plainPlace(name).endsWith(`/${wanted}`));
  const [first] = ofCity;
  if (first === undefined) return unreadable(unknownZoneWords(text));
  if (new Set(ofCity.map(zoneBehind)).size === 1) return parsed(nameOfToday(first));
  return unreadable(
    `${quoted(text)} could be ${[...ofCity].sort().join(' or ')}. Write one of them in full.`,
  );
}

function unknownZoneWords(text: string): string {
  const meant = zoneThatMayBeMeant(text);
  return meant === undefined
    ? `${quoted(text)} is not a time zone that I know. Use the name of a larger city with the same time, for example New York or Europe/Berlin.`
    : `${quoted(text)} names no city. Use one with that time, for example ${cityOf(meant)}.`;
}

/**
 * IANA names for what was typed, at most `most`: what may be meant by an abbreviation, then cities that begin with it,
 * then names that hold it, of each UTC and large cities first. Each zone has the name of today.
 */
export function suggestZones(typed: string, most: number): readonly string[] {
  const wanted = plainPlace(typed);
  const holding = [...LARGE_CITIES, ...zoneNames()].filter((name) => plainPlace(name).includes(wanted));
  const beginning = holding.filter((name) => plainPlace(cityOf(name)).startsWith(wanted));
  const found = [zoneThatMayBeMeant(typed) ?? [], beginning, holding].flat();
  return [...new Set(found.map(nameOfToday))].slice(0, most);
}

interface Local {
  readonly local: DateTime;
  /** What was named without saying which one: a bare weekday, a day without a year. */
  readonly comesRound?: { readonly weeks: 1 } | { readonly years: 1 };
}

function readLocal(text: string, now: Date, zone: string, ahead: boolean): Local | undefined {
  const clean = oneLine(text).slice(0, 100);
  if (/^\d{4}-\d{2}-\d{2}$/.test(clean)) {
    const day = DateTime.fromISO(clean, { zone });
    return day.isValid ? { local: ahead ? day.set({ hour: 12 }) : day } : undefined;
  }
  const offset = DateTime.fromJSDate(now, { zone }).offset;
  const [result] = en.casual.parse(clean, { instant: now, timezone: offset }, { forwardDate: ahead });
  // Words around the date would be silently dropped: they may have mattered.
  if (result === undefined || result.text.trim().length < clean.length * 0.6) return undefined;
  return toLocal(result, zone);
}

function toLocal(result: ParsedResult, zone: string): Local | undefined {
  const local = localTime(result, zone);
  return local.isValid ? { local, ...roundOf(result) } : undefined;
}

function localTime({ start }: ParsedResult, zone: string): DateTime {
  if (start.isCertain('timezoneOffset')) return DateTime.fromJSDate(start.date(), { zone });
  return DateTime.fromObject(
    {
      year: start.get('year') ?? undefined,
      month: start.get('month') ?? undefined,
      day: start.get('day') ?? undefined,
      hour: start.get('hour') ?? 12,
      minute: start.get('minute') ?? 0,
    },
    { zone },
  );
}

function roundOf({ start }: ParsedResult): Pick<Local, 'comesRound'> {
  if (start.isCertain('month')) return start.isCertain('year') ? {} : { comesRound: { years: 1 } };
  return start.isCertain('weekday') && !start.isCertain('day') ? { comesRound: { weeks: 1 } } : {};
}
