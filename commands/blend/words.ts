import { type Figures, figuresOf } from '../../src/chat/reply.js';
import type { ButterBlend } from '../../src/cooking/blends/butter-blend.js';
import type { SaltedBlend } from '../../src/cooking/blends/salted-blend.js';
import { type Keeping, keepingWords } from '../../src/safety/storage.js';
import { inFewDigits } from '../../src/words/numbers.js';

/** A share of one: "64 %", "0.85 %". */
export const shareWords = (fraction: number): string => `${inFewDigits(fraction * 100)} %`;

/** Saltier than salted butter, 1.6 % (USDA SR Legacy, NDB 01001: 643 mg of sodium). */
export const isSalty = (saltFraction: number): boolean => saltFraction > 0.0165;

type Blend = ButterBlend | SaltedBlend;

/** What a blend holds, by weight. */
export const contentWords = ({ fatFraction, waterFraction, saltFraction, sodiumMgPerTbsp }: Blend): string =>
  `By weight ${shareWords(fatFraction)} fat, ${shareWords(waterFraction)} water, ${shareWords(saltFraction)} salt; ${inFewDigits(sodiumMgPerTbsp)} mg of sodium in a tablespoon.`;

/** What every blend tells of itself. */
export const contentFigures = (blend: Blend): Figures => ({
  ...figuresOf(blend, 'tallowG', 'tallowMl', 'totalG', 'totalMl'),
  ...figuresOf(blend, 'fatFraction', 'waterFraction', 'saltFraction'),
  ...figuresOf(blend, 'saltInWater', 'undissolvedSaltG', 'sodiumMgPerTbsp'),
});

/** "Keeps 7 days in the refrigerator, 1 to 2 months in the freezer. …" */
export function keepsWords({ refrigerator, freezer, note }: Keeping): string {
  return `Keeps ${keepingWords(refrigerator)} in the refrigerator and ${keepingWords(freezer)} in the freezer. ${note}`;
}
