/** How to get a full pot cold in time: as it stands, or in shallow containers. */

import { assertNotNegative, assertPositive, clamp } from '../../words/numbers.js';
import { depthM, type Pot, potShape } from '../heat/pot.js';
import type { Calculation } from '../working.js';
import {
  CONTAINER_CM,
  type CoolingWay,
  coolingOf,
  FOOD_CODE_COOLING,
  iceG,
  PAN_WAYS,
  POT_WAYS,
  SHALLOW_CM,
  waysThatCoolInTime,
} from './cooling.js';

/** A shallow pan of the size most kitchens have, 9 by 13 inches; common size, from memory. */
export const PAN = { widthCm: 23, lengthCm: 33 } as const;

export interface CoolingPlanRequest extends Pot {
  /** Strained fat and broth, in one vessel. */
  readonly contentsMl: number;
  readonly startC: number;
  /** Gone since the end of the render, for straining. */
  readonly lateMinutes: number;
}

export interface CoolingPlan {
  readonly ok: true;
  readonly where: 'pot' | 'shallow pans';
  /** 1 for the pot. */
  readonly containers: number;
  readonly depthCm: number;
  readonly way: CoolingWay;
  /** From when it is put to cool. */
  readonly firstMinutes: number;
  readonly lastMinutes: number;
  /** To have ready; 0 where no ice is used. */
  readonly iceG: number;
  readonly calculation: Calculation;
}

/** So late that nothing cools it in time any more. */
export interface TooLateToCool {
  readonly ok: false;
  readonly problem: 'too-late-to-cool';
  readonly lateMinutes: number;
}

/**
 * The way with the least work that meets the Food Code: the pot in a refrigerator or an ice bath if that does, else
 * shallow pans in an ice bath.
 * Throws RangeError when a size is not above 0, the lateness is negative, or the start is outside 21 to 130 °C.
 */
export function coolingPlanOf(request: CoolingPlanRequest): CoolingPlan | TooLateToCool {
  const { contentsMl, vesselMl, potDiameterCm, startC, lateMinutes } = request;
  assertPositive({ contentsMl });
  assertNotNegative({ lateMinutes });
  const shape = potShape(vesselMl, potDiameterCm);
  const panMl = PAN.widthCm * PAN.lengthCm * SHALLOW_CM;
  const containers = Math.ceil(contentsMl / panMl - 1e-9);
  const panDepthCm = contentsMl / containers / (PAN.widthCm * PAN.lengthCm);
  const pot = container(100 * depthM(shape, contentsMl), 100 * shape.diameterM, startC);
  const pan = container(panDepthCm, PAN.widthCm, startC);
  const choices = [
    ...waysThatCoolInTime(pot, POT_WAYS).map((way) => ({
      where: 'pot' as const,
      containers: 1,
      request: { ...pot, way },
    })),
    ...waysThatCoolInTime(pan, PAN_WAYS).map((way) => ({
      where: 'shallow pans' as const,
      containers,
      request: { ...pan, way },
    })),
  ];
  for (const choice of choices) {
    const { firstMinutes, lastMinutes, calculation } = coolingOf(choice.request);
    if (firstMinutes === null || lastMinutes === null) continue;
    if (lateMinutes + firstMinutes > FOOD_CODE_COOLING.firstMinutes) continue;
    if (lateMinutes + lastMinutes > FOOD_CODE_COOLING.lastMinutes) continue;
    return {
      ok: true,
      where: choice.where,
      containers: choice.containers,
      depthCm: choice.request.depthCm,
      way: choice.request.way,
      firstMinutes,
      lastMinutes,
      iceG: ON_ICE.includes(choice.request.way) ? iceG({ contentsMl, startC }) : 0,
      calculation,
    };
  }
  return { ok: false, problem: 'too-late-to-cool', lateMinutes };
}

const ON_ICE: readonly CoolingWay[] = ['ice-bath', 'pan-in-ice'];

function container(depthCm: number, widthCm: number, startC: number) {
  const { low, high } = CONTAINER_CM;
  return { depthCm: clamp(depthCm, low, high), widthCm: clamp(widthCm, low, high), startC };
}
