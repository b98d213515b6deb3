/** Which vessel a load needs, and whether it fits the one at hand. */

import type { Method } from '../../words/methods.js';
import { ML_PER_US_QUART } from '../../words/units.js';
import type { Calculation } from '../working.js';
import { type Load, loadVolumeMl, packingAssumptions, smallestVesselMl } from './packing.js';

/** Smaller than this is no vessel to render in: 1 US quart. */
export const SMALLEST_VESSEL_ML = ML_PER_US_QUART;

/** Larger than this is no kitchen vessel. */
export const LARGEST_VESSEL_ML = 200_000;

/**
 * The largest vessel that is counted on by each method. `most` counts at most of a larger one that was said: an oven or a
 * smoker takes a pan that can still be carried full, 12 qt; slow cookers are made no larger. `usual` is as large as a kitchen has
 * where none was said. Choices of ours.
 */
const LARGEST_QUARTS: Readonly<Record<Method, { readonly usual: number; readonly most: number }>> = {
  'open-pot': { usual: 20, most: Number.POSITIVE_INFINITY },
  'stovetop-dry': { usual: 20, most: Number.POSITIVE_INFINITY },
  pressure: { usual: 10, most: 32 },
  'slow-cooker': { usual: 8, most: 12 },
  oven: { usual: 12, most: 12 },
  smoker: { usual: 12, most: 12 },
};

/** What of a vessel a method can use, in millilitres; without one, the largest that a kitchen usually has. */
export function usableVesselMl(method: Method, vesselMl?: number): number {
  const { usual, most } = LARGEST_QUARTS[method];
  return vesselMl === undefined ? usual * ML_PER_US_QUART : Math.min(vesselMl, most * ML_PER_US_QUART);
}

/** Sizes that pots are sold in, in US quarts; common sizes, from memory. */
const SOLD_QUARTS = [1, 2, 3, 4, 5, 6, 8, 10, 12, 16, 20, 24, 30, 32, 40, 60, 80, 100] as const;

export interface VesselNeed {
  /** The smallest vessel that fits. */
  readonly vesselMl: number;
  /** The next size that pots are sold in; null when it takes more than the largest of them. */
  readonly soldSizeMl: number | null;
  readonly calculation: Calculation;
}

/**
 * The smallest vessel for a load.
 * 1,134 g ground (2 lb 8 oz) in 1,893 mL of water need 4,649 mL as an open pot: a 5-quart one.
 * Throws RangeError when the fat or the water is negative or not finite.
 */
export function vesselFor(load: Load, method: Method): VesselNeed {
  const contentsMl = loadVolumeMl(load);
  const vesselMl = smallestVesselMl(load, method);
  const soldQuarts = SOLD_QUARTS.find((quarts) => quarts * ML_PER_US_QUART >= vesselMl);
  return {
    vesselMl,
    soldSizeMl: soldQuarts === undefined ? null : soldQuarts * ML_PER_US_QUART,
    calculation: {
      formula:
        'vessel = (raw fat and water, or the pile of fat if it stands higher) ÷ share that may be filled',
      constants: [],
      assumptions: packingAssumptions(load.cut, method),
      steps: [
        { name: 'Fat and water', value: contentsMl, unit: 'mL' },
        { name: 'Smallest vessel', value: vesselMl, unit: 'mL' },
      ],
    },
  };
}
