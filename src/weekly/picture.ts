import type { Picture } from '../chat/reply.js';
import { yieldsPicture } from '../pictures/yields-picture.js';
import { isMethod, methodLabel } from '../words/methods.js';
import { percentRangeWords, percentWords } from '../words/yield-words.js';
import type { WeeklyFacts } from './facts.js';
import { countWords, held } from './words.js';

/** The yield of each method with everything else alike; undefined before any can be told. */
export async function weeklyPicture({ adjusted, marks }: WeeklyFacts): Promise<Picture | undefined> {
  if (adjusted.every(({ mean }) => mean === undefined)) return undefined;
  const png = await yieldsPicture({
    title: 'Yield by method, all else alike',
    caption:
      'Dot and bar: mean with cut, weight and time alike, 95 % interval. Circles: batches, larger for more fat.',
    rows: adjusted.map(({ method, batches, members, mean, interval }) => ({
      label: labelOf(method),
      note: `${countWords(batches, 'batch', 'batches')}, ${countWords(members, 'cook', 'cooks')}`,
      mean,
      low: interval && held(interval.low),
      high: interval && held(interval.high),
      batches: marks.filter((mark) => mark.method === method),
    })),
  });
  return { png, name: 'weekly-yield-by-method.png', alt: altOf(adjusted) };
}

function altOf(adjusted: WeeklyFacts['adjusted']): string {
  const methods = adjusted.map(({ method, mean, interval }) => {
    if (mean === undefined) return `${labelOf(method)} cannot be told yet`;
    const sure = interval
      ? ` (${percentRangeWords(held(interval.low), held(interval.high))})`
      : ' (no interval yet)';
    return `${labelOf(method)} ${percentWords(held(mean))}${sure}`;
  });
  return `Yield by method, all else alike, with 95 % intervals: ${methods.join('; ')}.`;
}

const labelOf = (method: string): string => (isMethod(method) ? methodLabel(method) : method);
