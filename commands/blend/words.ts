import type { Keeping, KeepingTime } from '../../src/safety/storage.js';
import { countWords } from '../../src/words/lists.js';
import { inFewDigits } from '../../src/words/numbers.js';

/** A share of one: "64 %", "0.85 %". */
export const shareWords = (fraction: number): string => `${inFewDigits(fraction * 100)} %`;

/** What a blend holds, by weight. */
export function contentWords(blend: {
  readonly fatFraction: number;
  readonly waterFraction: number;
  readonly saltFraction: number;
  readonly sodiumMgPerTbsp: number;
}): string {
  return `By weight ${shareWords(blend.fatFraction)} fat, ${shareWords(blend.waterFraction)} water, ${shareWords(blend.saltFraction)} salt; ${inFewDigits(blend.sodiumMgPerTbsp)} mg of sodium in a tablespoon.`;
}

/** "Keeps 7 days in the refrigerator, 1 to 2 months in the freezer. …" */
export function keepsWords({ refrigerator, freezer, note }: Keeping): string {
  return `Keeps ${keepingWords(refrigerator)} in the refrigerator and ${keepingWords(freezer)} in the freezer. ${note}`;
}

const MONTH = 30;

function keepingWords({ daysLow, daysHigh }: KeepingTime): string {
  const inMonths = daysLow % MONTH === 0 && daysHigh % MONTH === 0;
  const [low, high] = inMonths ? [daysLow / MONTH, daysHigh / MONTH] : [daysLow, daysHigh];
  const words = inMonths ? countWords(high, 'month', 'months') : countWords(high, 'day', 'days');
  return low === high ? words : `${low} to ${words}`;
}
