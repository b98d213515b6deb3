import { DateTime } from 'luxon';
import type { RecordedChange } from '../../src/records/batch-changes.js';
import { minutesWords, volumeWords, weightWords } from '../../src/words/amount-words.js';
import { cutLabel, isCut, isMethod, methodLabel } from '../../src/words/methods.js';

/** How often a batch was corrected, and what each correction changed; nothing where it never was. */
export function historyLines(history: readonly RecordedChange[], zone: string): readonly string[] {
  if (history.length === 0) return [];
  return [
    `Corrected ${history.length === 1 ? 'once' : `${history.length} times, the latest first`}:`,
    ...history
      .toReversed()
      .flatMap((recorded) => changedWords(recorded, zone))
      .map((words) => `· ${words}`),
  ];
}

/** What one correction changed. */
export function changedWords({ before, after }: RecordedChange, zone: string): readonly string[] {
  return CHANGED.filter(({ column }) => JSON.stringify(before[column]) !== JSON.stringify(after[column])).map(
    ({ column, name, words, finely }) => {
      const sides = [before[column], after[column]] as const;
      const [was, is] = sides.map((value) => words(value, zone));
      return `${name}: ${was === is && finely ? finely(sides, zone) : `${was} → ${is}`}`;
    },
  );
}

type Sides = readonly [before: unknown, after: unknown];

interface Changeable {
  readonly column: string;
  /** In an answer. */
  readonly name: string;
  words(value: unknown, zone: string): string;
  /** Tells two values apart that `words` spells alike. */
  finely?(sides: Sides, zone: string): string;
}

const amount = (
  column: string,
  name: string,
  words: (value: number) => string,
  unit: string,
): Changeable => ({
  column,
  name,
  words: (value) => (typeof value === 'number' ? words(value) : 'none'),
  finely: ([before, after]) => toldApart(Number(before), Number(after), unit),
});

const MOST_DECIMALS = 12;

/** Two numbers with as many decimals as it takes to see that they differ. */
function toldApart(before: number, after: number, unit: string): string {
  let decimals = 0;
  while (before.toFixed(decimals) === after.toFixed(decimals) && decimals < MOST_DECIMALS) decimals++;
  return [before, after].map((value) => `${Number(value.toFixed(decimals))} ${unit}`).join(' → ');
}

/** What can change, in the order in which it is told. */
const CHANGED: readonly Changeable[] = [
  amount('fat_g', 'raw fat', weightWords, 'g'),
  amount('tallow_g', 'tallow', weightWords, 'g'),
  amount('water_ml', 'water', volumeWords, 'ml'),
  amount('water_left_ml', 'water left', volumeWords, 'ml'),
  amount('minutes', 'time', minutesWords, 'min'),
  { column: 'method', name: 'method', words: (value) => (isMethod(value) ? methodLabel(value) : 'none') },
  { column: 'cut', name: 'cut', words: (value) => (isCut(value) ? cutLabel(value) : 'none') },
  {
    column: 'weighed_as',
    name: 'weighed as',
    words: (value) => (typeof value === 'string' ? value : 'not said'),
  },
  {
    column: 'taste',
    name: 'taste',
    words: (value) => (Array.isArray(value) && value.length > 0 ? value.join(', ') : 'not said'),
  },
  { column: 'note', name: 'note', words: (value) => (typeof value === 'string' ? `“${value}”` : 'none') },
  {
    column: 'finished_at',
    name: 'day',
    words: (value, zone) => moment(value, zone, 'yyyy-MM-dd'),
    finely: (sides, zone) => sides.map((value) => moment(value, zone, 'yyyy-MM-dd HH:mm:ss')).join(' → '),
  },
];

const moment = (value: unknown, zone: string, format: string): string =>
  typeof value === 'string' ? DateTime.fromISO(value, { zone }).toFormat(format) : 'none';
