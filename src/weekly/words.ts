import { DateTime } from 'luxon';
import type { Interval } from '../statistics/model/linear-estimate.js';
import type { NoInterval, PooledYield } from '../statistics/questions/pooled-yield.js';
import { type MeasureSystem, roundWeightWords } from '../words/amounts.js';
import { cutLabel, isCut, isMethod, methodLabel } from '../words/methods.js';
import { percentRangeWords, percentWords } from '../words/yield-words.js';
import type { Judged, OpenQuestion } from './comparisons.js';
import { isQuiet, type WeeklyFacts } from './facts.js';

type Pooled = Extract<PooledYield, { readonly kind: 'pooled' }>;
type Units = MeasureSystem | undefined;

/** Later than this after the hour, the post says so. */
const LATE_MS = 60 * 60_000;
/** Changes, odd batches and newcomers that are named one by one, so that the post stays short. */
const MOST_CHANGES = 2;
const MOST_ODD = 4;
const MOST_NAMES = 5;

/** The lines of the post, the news first. */
export function postLines(facts: WeeklyFacts, now: Date): readonly string[] {
  const units = facts.settings?.units;
  const lines =
    facts.week.kind === 'no-batches'
      ? linesWithoutFigures(facts, units)
      : fullLines(facts, facts.week, units);
  const late = now.getTime() - facts.until.getTime() > LATE_MS;
  return late ? [...lines, 'This post is late: the bot was away at its hour.'] : lines;
}

/** Of a week that was quiet, or whose batches were all finished earlier or are left out. */
function linesWithoutFigures(facts: WeeklyFacts, units: Units): readonly string[] {
  const { all, finishedEarlier, question, odd, oddCounted, newcomers, nearMisses } = facts;
  return [
    isQuiet(facts)
      ? 'A quiet week: no new batch. The next one is yours: /batch log.'
      : 'This week: no batch to pool.',
    ...earlierLines(finishedEarlier),
    all.kind === 'no-batches' ? 'There is nothing to pool so far.' : `So far: ${sumWords(all, units)}.`,
    ...questionLines(question, units),
    ...oddLines(odd, oddCounted),
    ...welcomeLines(newcomers),
    ...nearMissLines(nearMisses.length),
  ];
}

function fullLines(facts: WeeklyFacts, week: Pooled, units: Units): readonly string[] {
  const { before, all, changes, finishedEarlier, question, odd, oddCounted, newcomers, nearMisses } = facts;
  return [
    `This week: ${sumWords(week, units)}.`,
    ...earlierLines(finishedEarlier),
    before.kind === 'no-batches'
      ? 'These are the first batches here.'
      : `Before: ${percentWords(before.estimate)}${intervalWords(before)}. This week gave ${pointsWords(week.estimate - before.estimate)}.`,
    ...(all.kind === 'pooled' && before.kind === 'pooled' ? [`In all: ${sumWords(all, units)}.`] : []),
    ...changes.clear.slice(0, MOST_CHANGES).map(clearWords),
    ...changes.unclear.slice(0, MOST_CHANGES).map(unclearWords),
    ...questionLines(question, units),
    ...oddLines(odd, oddCounted),
    ...welcomeLines(newcomers),
    ...nearMissLines(nearMisses.length),
  ];
}

const earlierLines = (count: number): readonly string[] =>
  count === 0 ? [] : [`Logged this week, finished before it: ${countWords(count, 'batch', 'batches')}.`];

/** "9 batches from 6 members; 41 lb (19 kg) of fat gave 19 lb (8.6 kg) of tallow, 47 % (95 % interval 45 to 50 %)" */
function sumWords(pooled: Pooled, units: Units): string {
  const { batches, members, fatG, tallowG, estimate } = pooled;
  const counts = `${countWords(batches, 'batch', 'batches')} from ${countWords(members, 'member', 'members')}`;
  return `${counts}; ${weightWords(fatG, units)} of fat gave ${weightWords(tallowG, units)} of tallow, ${percentWords(estimate)}${intervalWords(pooled)}`;
}

function intervalWords({ interval }: Pooled): string {
  return interval.kind === 'interval'
    ? ` (95 % interval ${percentRangeWords(held(interval.low), held(interval.high))})`
    : ` (no interval: ${NO_INTERVAL_WORDS[interval.because]})`;
}

const NO_INTERVAL_WORDS: Readonly<Record<NoInterval, string>> = {
  'fewer-than-two-members': 'only one member’s batches are in it',
  'no-spread': 'every batch gave the same yield',
  'one-member-holds-nearly-all': 'nearly all of the fat is one member’s',
};

function clearWords(judged: Judged): string {
  const { more, less, low, high } = largerFirst(judged);
  return `Clear now: ${more} gives more than ${less}, all else alike, by ${pointsRangeWords({ low, high })}.`;
}

function unclearWords(judged: Judged): string {
  const { factor, first, second } = judged;
  return `No longer clear: ${levelWords(factor, first)} or ${levelWords(factor, second)}. ${whyUnclear(judged)}`;
}

/** An interval that leaves 0 out would say the contrary. */
function whyUnclear({ factor, first, low, high, verdict }: Judged): string {
  if (low <= 0 && high >= 0 && Number.isFinite(high - low))
    return `With ${levelWords(factor, first)} it may be anything from ${pointsRangeWords({ low, high })}.`;
  return verdict === 'too-few'
    ? 'It takes more batches to say.'
    : 'With all comparisons allowed for, there may be no difference.';
}

function largerFirst({ factor, first, second, difference, low, high }: Judged) {
  const [one, other] = [levelWords(factor, first), levelWords(factor, second)];
  return difference >= 0
    ? { more: one, less: other, low, high }
    : { more: other, less: one, low: -high, high: -low };
}

function questionLines(question: OpenQuestion | undefined, units: Units): readonly string[] {
  if (!question) return [];
  const { method, cut, fatG } = question;
  return [
    `Still open: ${askedWords(question)} What would tell most: ${weightWords(fatG, units)} of ${levelWords('cut', cut)} fat by ${levelWords('method', method)}.`,
  ];
}

/** Which of two gives more, or where that is clear already, how much. */
function askedWords({ comparison: { factor, first, second }, verdict }: OpenQuestion): string {
  const [one, other] = [levelWords(factor, first), levelWords(factor, second)];
  if (verdict === 'more') return `how much more ${one} gives than ${other}.`;
  if (verdict === 'less') return `how much more ${other} gives than ${one}.`;
  return `${one} or ${other}?`;
}

function oddLines(odd: readonly number[], counted: boolean): readonly string[] {
  if (odd.length === 0) return [];
  const named = odd.slice(0, MOST_ODD).map((number) => `#${number}`);
  const more = odd.length > MOST_ODD ? [`${odd.length - MOST_ODD} more`] : [];
  const are = odd.length === 1 ? 'is' : 'are';
  return [
    `To check: ${listWords([...named, ...more])}, which ${are} ${counted ? 'counted' : 'left out'}; /yield odd says why.`,
  ];
}

function welcomeLines(newcomers: readonly string[]): readonly string[] {
  if (newcomers.length === 0) return [];
  const rest = newcomers.length - MOST_NAMES;
  const names = [...newcomers.slice(0, MOST_NAMES), ...(rest > 0 ? [`${rest} more`] : [])];
  return [`Welcome ${listWords(names)}: first batch logged.`];
}

const nearMissLines = (count: number): readonly string[] =>
  count === 0
    ? []
    : [
        `${countWords(count, 'near miss was', 'near misses were')} reported. What to be careful about is below.`,
      ];

/** "16 to 22 November", in the community's zone; the last day is the one that the week ended in. */
export function spanWords(from: Date, until: Date, zone: string): string {
  const first = DateTime.fromJSDate(from, { zone });
  const last = DateTime.fromJSDate(until, { zone });
  const whole = last.toFormat('d LLLL yyyy');
  if (first.hasSame(last, 'day')) return whole;
  const start = first.hasSame(last, 'month') ? 'd' : first.hasSame(last, 'year') ? 'd LLLL' : 'd LLLL yyyy';
  return `${first.toFormat(start)} to ${whole}`;
}

/** "1 batch", "3 batches", "12,000 batches" */
export const countWords = (count: number, one: string, many: string): string =>
  `${count < 10_000 ? count : count.toLocaleString('en-US')} ${count === 1 ? one : many}`;

function weightWords(grams: number, units: Units): string {
  if (units !== undefined) return roundWeightWords(grams, units);
  return `${roundWeightWords(grams, 'us')} (${roundWeightWords(grams, 'metric')})`;
}

/** "5 points more", "about the same" */
function pointsWords(difference: number): string {
  const points = Math.round(Math.abs(difference) * 100);
  if (points === 0) return 'about the same';
  return `${countWords(points, 'point', 'points')} ${difference > 0 ? 'more' : 'less'}`;
}

/** "1 to 5 points", "2 points less to 3 points more" */
function pointsRangeWords({ low, high }: Interval): string {
  const points = (fraction: number) => Math.round(Math.abs(fraction) * 1000) / 10;
  if (low >= 0) return `${points(low)} to ${points(high)} points`;
  if (high <= 0) return `${points(low)} to ${points(high)} points less`;
  return `${points(low)} points less to ${points(high)} points more`;
}

/** "pressure cooker": what stands before the comma says which it is. */
function levelWords(factor: string, level: string): string {
  if (factor === 'method' && isMethod(level)) return methodLabel(level).split(',', 1).join('').toLowerCase();
  return isCut(level) ? cutLabel(level).toLowerCase() : level;
}

/** "a", "a and b", "a, b and c" */
function listWords(items: readonly string[]): string {
  return items.length < 2 ? items.join('') : `${items.slice(0, -1).join(', ')} and ${items.at(-1)}`;
}

/** A yield is never below nothing or above everything. */
export const held = (fraction: number): number => Math.min(1, Math.max(0, fraction));
