import { isDeepStrictEqual } from 'node:util';
import { charactersOf, columnsOf } from '../chat/plain-text.js';
import { cutLabel, methodLabel } from '../words/methods.js';
import { percentWords } from '../words/yield-words.js';
import type { Change } from './enter.js';
import { EVERY_FIELD } from './facts.js';
import type { BatchFacts } from './fields.js';
import type { Batch } from './find.js';

/** Tallow over raw fat, by weight. */
export const yieldOf = ({ fatG, tallowG }: Pick<Batch, 'fatG' | 'tallowG'>): number => tallowG / fatG;

/** The figures that every answer about one batch has. */
export const batchFigures = ({ number, fatG, tallowG }: Batch) => ({
  batch: number,
  fatG,
  tallowG,
  yield: yieldOf({ fatG, tallowG }),
});

/** "Batch 17: 52 %". */
export const batchTitle = (one: Batch): string => `Batch ${one.number}: ${percentWords(yieldOf(one))}`;

/** Longer labels are not taken by a list of suggestions. */
const MOST_CHARACTERS = 100;

/** "Batch 17: Bram, Open pot, wet, ground, 52 %". */
export function oneLineAbout(one: Batch): string {
  const start = `Batch ${one.number}: `;
  const end = `, ${methodLabel(one.method)}, ${cutLabel(one.cut).toLowerCase()}, ${percentWords(yieldOf(one))}`;
  return `${start}${cutName(one.memberName, MOST_CHARACTERS - start.length - end.length)}${end}`;
}

/** A name no longer than `most`, shortened by whole characters as people see them; `lengthOf` measures one of those. */
function cutName(name: string, most: number, lengthOf = unitsOf): string {
  const characters = charactersOf(name);
  const lengths = characters.map(lengthOf);
  if (sum(lengths) <= most) return name;
  const kept = characters.filter((_, at) => sum(lengths.slice(0, at + 1)) + 1 <= most);
  return `${kept.join('')}…`;
}

const sum = (numbers: readonly number[]): number => numbers.reduce((total, one) => total + one, 0);

/** Units of UTF-16, which is what lists of suggestions count. */
const unitsOf = (character: string): number => character.length;

/** Wider names would push the rest of the table out of a message. */
const NAME_COLUMNS = 14;

/** A name as a table has room for it. */
export const nameInTable = (name: string): string => cutName(name, NAME_COLUMNS, columnsOf);

const SHOWN = EVERY_FIELD.toSorted((one, other) => one.place - other.place);

/** Everything a batch says, a line for each fact. */
export const factLines = (facts: BatchFacts, zone: string): readonly string[] =>
  SHOWN.flatMap(({ fact, label, words }) =>
    facts[fact] === undefined ? [] : [`${label}: ${words(facts[fact], zone)}`],
  );

/** What one correction changed. */
export const changedWords = ({ before, after }: Change, zone: string): readonly string[] =>
  EVERY_FIELD.filter(({ fact }) => !isDeepStrictEqual(before[fact], after[fact])).map((field) => {
    const { fact, words, historyWords = words, historyNone = 'none', finely } = field;
    const [was, is] = [before[fact], after[fact]].map((value) =>
      value === undefined ? historyNone : historyWords(value, zone),
    );
    const told = was === is && finely ? finely(before[fact], after[fact], zone) : `${was} → ${is}`;
    return `${field.label.toLowerCase()}: ${told}`;
  });

/** How often a batch was corrected, and what each correction changed; nothing where it never was. */
export function historyLines(history: readonly Change[], zone: string): readonly string[] {
  if (history.length === 0) return [];
  return [
    `Corrected ${history.length === 1 ? 'once' : `${history.length} times, the latest first`}:`,
    ...history
      .toReversed()
      .flatMap((change) => changedWords(change, zone))
      .map((words) => `· ${words}`),
  ];
}
