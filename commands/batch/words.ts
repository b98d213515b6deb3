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
  const start = `Batch ${one.number}: `;
  const end = `, ${methodLabel(one.method)}, ${cutLabel(one.cut).toLowerCase()}, ${percentWords(yieldOf(one))}`;
  return `${start}${cutName(one.memberName, MOST_CHARACTERS - start.length - end.length)}${end}`;
}

const SEGMENTER = new Intl.Segmenter('en');

/** A name in at most so many units of UTF-16, by whole characters as people see them. */
function cutName(name: string, most: number): string {
  if (name.length <= most) return name;
  let kept = '';
  for (const { segment } of SEGMENTER.segment(name)) {
    if (kept.length + segment.length + 1 > most) break;
    kept += segment;
  }
  return `${kept}…`;
}
