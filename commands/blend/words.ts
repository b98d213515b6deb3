import type { Keeping, KeepingTime } from '../../src/safety/storage.js';
import { countWords, roughly } from '../../src/words/amount-words.js';

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

/** A share of one: "64 %", "0.85 %". */
export function shareWords(fraction: number): string {
  return `${roughly(fraction * 100)} %`;
}

/** Sodium in milligrams. */
export const sodiumWords = (mg: number): string => `${roughly(mg)} mg`;
