import { pouringMl } from '../../src/cooking/blends/tallow.js';
import { ASSUMED } from '../../src/kitchen/render.js';
import {
  countWords,
  percentRangeWords,
  percentWords,
  volumeWords,
  weightWords,
} from '../../src/words/amount-words.js';
import { cutLabel } from '../../src/words/methods.js';
import type { Amounts } from './amounts.js';
import type { PlanValues } from './options.js';

/** How much tallow is wanted, and what the fat for it is reckoned from; nothing where the fat was said. */
export function wantedWords(amounts: Amounts, values: PlanValues): readonly string[] {
  const { wantedG, eachG } = amounts;
  const { meals, tallow, unit } = values;
  if (wantedG === undefined) return [];
  const amount =
    tallow !== undefined && 'g' in tallow
      ? weightWords(wantedG, unit)
      : `${volumeWords(pouringMl(wantedG), unit)}, about ${weightWords(wantedG, unit)},`;
  const whatFor =
    meals === undefined || eachG === undefined
      ? ''
      : ` for ${countWords(meals, 'meal', 'meals')} with ${volumeWords(pouringMl(eachG), unit)} each`;
  return [`You want ${amount} of tallow${whatFor}. The fat is reckoned from ${leastWords(amounts, values)}.`];
}

function leastWords(
  { leastYield, share, tooWide }: Amounts,
  { cut = ASSUMED.cut, lean = 0 }: PlanValues,
): string {
  const least = percentWords(leastYield);
  const withLean = lean > 0 ? ` with ${percentWords(lean)} lean` : '';
  if (share !== undefined) {
    const ofFat = lean > 0 ? ` for fat${withLean}` : '';
    return `the low end of the forecast${ofFat}, ${least}, so that it is enough 9 times in 10`;
  }
  const usual = `the least that ${cutLabel(cut).toLowerCase()} fat${withLean}`;
  return tooWide === undefined
    ? `${usual} gives, ${least}, so that it is enough`
    : `${usual} usually gives, ${least}: the forecast from this community’s batches, ${percentRangeWords(tooWide.low, tooWide.high)}, is too wide to gather by`;
}
