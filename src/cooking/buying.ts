import type { Cut } from '../words/methods.js';
import { assertPositive } from '../words/numbers.js';
import { EXPECTED_YIELD, FAT_CONTENT, type RawFat } from './blends/tallow.js';

/** Raw fat to buy for some tallow: what it usually takes, and the least and most that cooks come out with. */
export interface Purchase {
  readonly fatG: number;
  readonly fatLowG: number;
  readonly fatHighG: number;
}

/**
 * Raw fat of one kind to buy for so much tallow, from the middle of what its cut gives (common practice, no source).
 * That was seen with trimmings; suet gives more in proportion to the fat it holds (USDA: 94 % against 71 %).
 * Example: 480 g of tallow take 1000 g of ground trimmings (800 to 1333 g), or 754 g of ground suet.
 * Throws RangeError when tallowG is not above 0.
 */
export function fatToBuy(tallowG: number, rawFat: RawFat, cut: Cut): Purchase {
  assertPositive({ tallowG });
  const holds = FAT_CONTENT[rawFat].typical / FAT_CONTENT.trimmings.typical;
  const { low, high } = EXPECTED_YIELD[cut];
  const takes = (share: number) => tallowG / (share * holds);
  return { fatG: takes((low + high) / 2), fatLowG: takes(high), fatHighG: takes(low) };
}

/** Money for a gram of tallow: the fat at its price, and what the energy of all of it cost. */
export function costPerG({
  tallowG,
  fatG,
  fatPricePerG,
  energyCost,
}: {
  readonly tallowG: number;
  readonly fatG: number;
  readonly fatPricePerG: number;
  readonly energyCost: number;
}): number {
  assertPositive({ tallowG, fatG });
  return (fatG * fatPricePerG + energyCost) / tallowG;
}
