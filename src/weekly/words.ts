import { DateTime } from 'luxon';
import type { EstimatedComparison } from '../findings/level-comparisons.js';
import { NO_INTERVAL_WORDS } from '../findings/pooled.js';
import type { PooledYield } from '../statistics/questions/pooled-yield.js';
import { roundWeightWords, type Units } from '../words/amounts.js';
import { countWords, listWords } from '../words/lists.js';
import { levelWords } from '../words/methods.js';
import {
  percentWords,
  pointsRangeWords,
  pointsWords,
  withoutSign,
  yieldRangeWords,
} from '../words/yield-words.js';
import { isQuiet, type OpenQuestion, type WeeklyFacts } from './facts.js';

type Pooled = Extract<PooledYield, { readonly kind: 'pooled' }>;

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
  const { all, finishedEarlier } = facts;
  return [
    isQuiet(facts)
      ? 'A quiet week: no new batch. The next one is yours: /batch log.'
      : 'This week: no batch to pool.',
    ...earlierLines(finishedEarlier),
    all.kind === 'no-batches' ? 'There is nothing to pool so far.' : `So far: ${sumWords(all, units)}.`,
    ...closingLines(facts, units),
  ];
}

function fullLines(facts: WeeklyFacts, week: Pooled, units: Units): readonly string[] {
  const { before, all, changes, finishedEarlier } = facts;
  return [
    `This week: ${sumWords(week, units)}.`,
    ...earlierLines(finishedEarlier),
    before.kind === 'no-batches'
      ? 'These are the first batches here.'
      : `Before: ${percentWords(before.estimate)}${intervalWords(before)}. This week gave ${pointsWords(week.estimate - before.estimate)}.`,
    ...(all.kind === 'pooled' && before.kind === 'pooled' ? [`In all: ${sumWords(all, units)}.`] : []),
    ...changes.clear.slice(0, MOST_CHANGES).map(clearWords),
    ...changes.unclear.slice(0, MOST_CHANGES).map(unclearWords),
    ...closingLines(facts, units),
  ];
}

function closingLines(
  { question, tastings, odd, oddCounted, newcomers, nearMisses }: WeeklyFacts,
  units: Units,
): readonly string[] {
  return [
    ...questionLines(question, units),
    ...tastings,
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
  return `${counts}; ${roundWeightWords(fatG, units)} of fat gave ${roundWeightWords(tallowG, units)} of tallow, ${percentWords(estimate)}${intervalWords(pooled)}`;
}

const intervalWords = ({ interval }: Pooled): string =>
  interval.kind === 'interval'
    ? ` (95 % interval ${yieldRangeWords(interval)})`
    : ` (no interval: ${NO_INTERVAL_WORDS[interval.because].why})`;

function clearWords({ first, second, difference }: EstimatedComparison): string {
  const [more, less] = difference.estimate < 0 ? [second, first] : [first, second];
  const range = pointsRangeWords(withoutSign(difference.estimate, difference));
  return `Clear now: ${levelWords(more)} gives more than ${levelWords(less)}, all else alike, by ${range}.`;
}

function unclearWords(comparison: EstimatedComparison): string {
  const { first, second } = comparison;
  return `No longer clear: ${levelWords(first)} or ${levelWords(second)}. ${whyUnclear(comparison)}`;
}

/** An interval that leaves 0 out would say the contrary. */
function whyUnclear({ first, difference, verdictOfAll }: EstimatedComparison): string {
  const { low, high } = difference;
  if (low <= 0 && high >= 0 && Number.isFinite(high - low))
    return `With ${levelWords(first)} it may be anything from ${pointsRangeWords(difference)}.`;
  return verdictOfAll === 'too-few'
    ? 'It takes more batches to say.'
    : 'With all comparisons allowed for, there may be no difference.';
}

function questionLines(question: OpenQuestion | undefined, units: Units): readonly string[] {
  if (!question) return [];
  const { method, cut, fatG } = question;
  return [
    `Still open: ${askedWords(question)} What would tell most: ${roundWeightWords(fatG, units)} of ${levelWords(cut)} fat by ${levelWords(method)}.`,
  ];
}

/** Which of two gives more, or where that is clear already, how much. */
function askedWords({ comparison: { first, second }, verdict }: OpenQuestion): string {
  const [one, other] = [levelWords(first), levelWords(second)];
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
