/** A batch divided over a vessel that is too small for it at once. */

import type { Method } from '../../words/methods.js';
import type { Calculation } from '../working.js';
import { fillLimit, type Load, loadVolumeMl, packingAssumptions, smallestVesselMl } from './packing.js';
import { isKitchenVessel, SMALLEST_VESSEL_ML } from './vessel.js';

/** More loads than this is no day's work. */
export const MOST_LOADS = 12;

export interface LoadsRequest extends Load {
  readonly method: Method;
  readonly vesselMl: number;
  /** Of one load, from when it is put on to when the vessel is free for the next. */
  readonly minutesPerLoad: number;
}

export interface Loads {
  readonly ok: true;
  readonly loads: number;
  readonly fatGEach: number;
  readonly waterMlEach: number;
  readonly contentsMlEach: number;
  /** How full a load makes the vessel. */
  readonly filled: number;
  readonly minutesEach: number;
  readonly minutesTotal: number;
  readonly calculation: Calculation;
}

export type LoadsProblem =
  /** A vessel nobody renders in. */
  | {
      readonly ok: false;
      readonly problem: 'vessel-too-small' | 'vessel-too-large';
      readonly vesselMl: number;
      readonly smallestVesselMl: number;
    }
  /** It would take more loads than a day's work; `vesselMl` would do it in MOST_LOADS. */
  | {
      readonly ok: false;
      readonly problem: 'too-many-loads';
      readonly loads: number;
      readonly mostLoads: number;
      readonly vesselMl: number;
    };

/**
 * The fewest equal loads that a vessel takes, with the fat, water and time of each. Loads follow one another.
 * 5 lb ground in 16 cups of water fill a 6-quart pot in two loads of 2 lb 8 oz and 8 cups.
 * Throws RangeError when a figure is negative or not finite.
 */
export function loadsFor(request: LoadsRequest): Loads | LoadsProblem {
  const { fatG, waterMl, cut, method, vesselMl, minutesPerLoad } = request;
  if (!(Number.isFinite(minutesPerLoad) && minutesPerLoad >= 0))
    throw new RangeError(`minutesPerLoad must be a finite number from 0 up, not ${minutesPerLoad}`);
  if (!(Number.isFinite(vesselMl) && vesselMl >= 0))
    throw new RangeError(`vesselMl must be a finite number from 0 up, not ${vesselMl}`);
  if (!isKitchenVessel(vesselMl))
    return {
      ok: false,
      problem: vesselMl < SMALLEST_VESSEL_ML ? 'vessel-too-small' : 'vessel-too-large',
      vesselMl,
      smallestVesselMl: Math.max(SMALLEST_VESSEL_ML, smallestVesselMl(request, method) / MOST_LOADS),
    };
  const wholeMl = loadVolumeMl(request);
  const roomMl = vesselMl * fillLimit(method);
  const loads = Math.max(1, Math.ceil(wholeMl / roomMl - 1e-9));
  if (loads > MOST_LOADS)
    return {
      ok: false,
      problem: 'too-many-loads',
      loads,
      mostLoads: MOST_LOADS,
      vesselMl: smallestVesselMl(request, method) / MOST_LOADS,
    };
  const each: Load = { fatG: fatG / loads, waterMl: waterMl / loads, cut };
  const contentsMlEach = loadVolumeMl(each);
  return {
    ok: true,
    loads,
    fatGEach: each.fatG,
    waterMlEach: each.waterMl,
    contentsMlEach,
    filled: contentsMlEach / vesselMl,
    minutesEach: minutesPerLoad,
    minutesTotal: minutesPerLoad * loads,
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
