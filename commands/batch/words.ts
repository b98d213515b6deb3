import { charactersOf, columnsOf } from '../../src/chat/columns.js';
import type { Batch } from '../../src/records/batches.js';
import { percentWords } from '../../src/words/amount-words.js';
import { cutLabel, methodLabel } from '../../src/words/methods.js';
import { yieldOf } from './figures.js';

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
