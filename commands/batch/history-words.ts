import { DateTime } from 'luxon';
import { cutLabel, isCut, isMethod, methodLabel } from '../../src/trade/methods.js';
import { minutesWords, volumeWords, weightWords } from '../shared/words.js';

/** A batch before and after a correction, by the columns that hold it. */
interface Recorded {
  readonly before: Readonly<Record<string, unknown>>;
  readonly after: Readonly<Record<string, unknown>>;
}

/** How often a batch was corrected, and what each correction changed; nothing where it never was. */
export function historyLines(history: readonly Recorded[], zone: string): readonly string[] {
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
export function changedWords({ before, after }: Recorded, zone: string): readonly string[] {
  return CHANGED.filter(([column]) => JSON.stringify(before[column]) !== JSON.stringify(after[column])).map(
    ([column, name, words]) => `${name}: ${words(before[column], zone)} → ${words(after[column], zone)}`,
  );
}

const amount = (words: (value: number) => string) => (value: unknown) =>
  typeof value === 'number' ? words(value) : 'none';

/** What can change, under its column and under the name it has in an answer. */
const CHANGED: readonly (readonly [
  column: string,
  name: string,
  words: (value: unknown, zone: string) => string,
])[] = [
  ['fat_g', 'raw fat', amount(weightWords)],
  ['tallow_g', 'tallow', amount(weightWords)],
  ['water_ml', 'water', amount(volumeWords)],
  ['water_left_ml', 'water left', amount(volumeWords)],
  ['minutes', 'time', amount(minutesWords)],
  ['method', 'method', (value) => (isMethod(value) ? methodLabel(value) : 'none')],
  ['cut', 'cut', (value) => (isCut(value) ? cutLabel(value) : 'none')],
  ['weighed_as', 'weighed as', (value) => (typeof value === 'string' ? value : 'not said')],
  ['taste', 'taste', (value) => (Array.isArray(value) && value.length > 0 ? value.join(', ') : 'not said')],
  ['note', 'note', (value) => (typeof value === 'string' ? `“${value}”` : 'none')],
  ['finished_at', 'day', (value, zone) => (typeof value === 'string' ? isoDay(value, zone) : 'none')],
];

const isoDay = (moment: string, zone: string): string =>
  DateTime.fromISO(moment, { zone }).toISODate() ?? 'none';
