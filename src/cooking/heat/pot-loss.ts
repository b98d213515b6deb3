/** What a hot pot loses through its outside, apart from steam. */

import type { Assumption } from '../../safety/sources.js';
import { potShape } from './pot-shape.js';

export const ROOM_C = 20;

/** For each square metre and degree above the room, in watts: air moving past, and radiation. Assumed. */
export const DRY_LOSS_W_PER_M2_K = 12;

export const DRY_LOSS_ASSUMPTION: Assumption = {
  text: `Besides steam the pot loses ${DRY_LOSS_W_PER_M2_K} W for each square metre and degree.`,
  sources: [],
};

/** In watts, at the temperature of the boil. Throws RangeError when the vessel has no size. */
export function dryLossW({
  vesselMl,
  potDiameterCm,
  boilC,
}: {
  readonly vesselMl: number;
  readonly potDiameterCm?: number | undefined;
  readonly boilC: number;
}): number {
  const { topM2, sideM2 } = potShape(vesselMl, potDiameterCm);
  return DRY_LOSS_W_PER_M2_K * (topM2 + sideM2) * (boilC - ROOM_C);
}
