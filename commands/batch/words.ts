import type { Batch } from '../../src/records/batches.js';
import { cutLabel, methodLabel } from '../../src/trade/methods.js';
import { percentWords } from '../shared/words.js';
import { yieldOf } from './figures.js';

/** "Batch 17: 52 %". */
export const batchTitle = (one: Batch): string => `Batch ${one.number}: ${percentWords(yieldOf(one))}`;

/** Longer labels are not taken by a list of suggestions. */
const MOST_CHARACTERS = 100;

/** "Batch 17: Bram, Open pot, wet, ground, 52 %". */
export function oneLineAbout(one: Batch): string {
  return `Batch ${one.number}: ${one.memberName}, ${methodLabel(one.method)}, ${cutLabel(one.cut).toLowerCase()}, ${percentWords(yieldOf(one))}`.slice(
    0,
    MOST_CHARACTERS,
  );
}
