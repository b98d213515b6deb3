/** A batch divided over a vessel that is too small for it at once. */

import type { Method } from '../../words/methods.js';
import { assertWithin } from '../../words/numbers.js';
import type { Calculation } from '../working.js';
import { fillLimit, type Load, loadVolumeMl, packingAssumptions, smallestVesselMl } from './packing.js';
import { LARGEST_VESSEL_ML, SMALLEST_VESSEL_ML } from './vessel.js';

/** More loads than this is no day's work. */
export const MOST_LOADS = 12;

export interface Loads {
  readonly ok: true;
  readonly loads: number;
  readonly fatGEach: number;
  readonly waterMlEach: number;
  /** How full a load makes the vessel. */
  readonly filled: number;
  readonly calculation: Calculation;
}

/** It would take more loads than a day's work; `vesselMl` would do it in MOST_LOADS. */
export interface TooManyLoads {
  readonly ok: false;
  readonly problem: 'too-many-loads';
  readonly loads: number;
  readonly mostLoads: number;
  readonly vesselMl: number;
}

/**
 * The fewest equal loads that a vessel takes, with the fat and water of each. Loads follow one another.
 * 5 lb ground in 16 cups of water fill a 6-quart pot in two loads of 2 lb 8 oz and 8 cups.
 * Throws RangeError when a figure is negative or not finite, or nobody could render in the vessel.
 */
export function loadsFor(load: Load, method: Method, vesselMl: number): Loads | TooManyLoads {
  const { fatG, waterMl, cut } = load;
  assertWithin({ vesselMl }, SMALLEST_VESSEL_ML, LARGEST_VESSEL_ML);
  const wholeMl = loadVolumeMl(load);
  const roomMl = vesselMl * fillLimit(method);
  const loads = Math.max(1, Math.ceil(wholeMl / roomMl - 1e-9));
  if (loads > MOST_LOADS)
    return {
      ok: false,
      problem: 'too-many-loads',
      loads,
      mostLoads: MOST_LOADS,
      vesselMl: smallestVesselMl(load, method) / MOST_LOADS,
    };
  const each: Load = { fatG: fatG / loads, waterMl: waterMl / loads, cut };
  return {
    ok: true,
    loads,
    fatGEach: each.fatG,
    waterMlEach: each.waterMl,
    filled: loadVolumeMl(each) / vesselMl,
    calculation: {
      formula: 'loads = room that fat and water take ÷ (vessel × share that may be filled), rounded up',
      constants: [],
      assumptions: packingAssumptions(cut, method),
      steps: [
        { name: 'Fat and water together', value: wholeMl, unit: 'mL' },
        { name: 'Room in the vessel', value: roomMl, unit: 'mL' },
        { name: 'Loads', value: loads, unit: '' },
      ],
    },
  };
}
