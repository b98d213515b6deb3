/** How to get a full pot cold in time: as it stands, or in shallow containers. */

import { depthM, potShape } from '../heat/pot-shape.js';
import type { Calculation } from '../working.js';
import { type CoolingWay, coolingOf, FOOD_CODE_COOLING, SHALLOW_CM, waysThatCoolInTime } from './cooling.js';

/** A shallow pan of the size most kitchens have, 9 by 13 inches; common size, from memory. */
export const PAN = { widthCm: 23, lengthCm: 33 } as const;

export interface CoolingPlanRequest {
  /** Strained fat and broth, in one vessel. */
  readonly contentsMl: number;
  readonly vesselMl: number;
  readonly potDiameterCm?: number | undefined;
  readonly startC: number;
  /** Gone since the end of the render, for straining. */
  readonly lateMinutes: number;
}

export interface CoolingPlan {
  readonly ok: true;
  readonly potDepthCm: number;
  /** The pot is too deep to cool in time by standing in the refrigerator: worth a warning. */
  readonly potTooDeep: boolean;
  readonly where: 'pot' | 'shallow pans';
  /** 1 for the pot. */
  readonly containers: number;
  readonly depthCm: number;
  readonly way: CoolingWay;
  /** From when it is put to cool. */
  readonly firstMinutes: number;
  readonly lastMinutes: number;
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
  if (!(Number.isFinite(contentsMl) && contentsMl > 0))
    throw new RangeError(`contentsMl must be a finite number above 0, not ${contentsMl}`);
  if (!(lateMinutes >= 0)) throw new RangeError(`lateMinutes must be from 0 up, not ${lateMinutes}`);
  const shape = potShape(vesselMl, potDiameterCm);
  const potDepthCm = within(100 * depthM(shape, contentsMl));
  const pot = { depthCm: potDepthCm, widthCm: within(100 * shape.diameterM), startC };
  const panMl = PAN.widthCm * PAN.lengthCm * SHALLOW_CM;
  const pans = Math.ceil(contentsMl / panMl - 1e-9);
  const pan = {
    depthCm: within(contentsMl / pans / (PAN.widthCm * PAN.lengthCm)),
    widthCm: PAN.widthCm,
    startC,
  };
  const choices = [
    ...waysThatCoolInTime(pot).map((way) => ({ where: 'pot' as const, containers: 1, ...pot, way })),
    ...waysThatCoolInTime(pan).map((way) => ({
      where: 'shallow pans' as const,
      containers: pans,
      ...pan,
      way,
    })),
  ];
  for (const { where, containers, depthCm, widthCm, way } of choices) {
    const { firstMinutes, lastMinutes, calculation } = coolingOf({ depthCm, widthCm, startC, way });
    if (firstMinutes === null || lastMinutes === null) continue;
    if (lateMinutes + firstMinutes > FOOD_CODE_COOLING.firstMinutes) continue;
    if (lateMinutes + lastMinutes > FOOD_CODE_COOLING.lastMinutes) continue;
    return {
      ok: true,
      potDepthCm,
      potTooDeep: !waysThatCoolInTime(pot).includes('refrigerator'),
      where,
      containers,
      depthCm,
      way,
      firstMinutes,
      lastMinutes,
      calculation,
    };
  }
  return { ok: false, problem: 'too-late-to-cool', lateMinutes };
}

/** What the cooling estimate accepts; beyond it a pot is as good as bottomless. */
function within(cm: number): number {
  return Math.min(150, Math.max(0.5, cm));
}
