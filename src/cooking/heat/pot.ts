/** A pot as a cylinder: its surfaces, and the heat that it loses through them. */

import { type Assumption, assumed } from '../../safety/sources.js';
import { assertPositive, assertWithin } from '../../words/numbers.js';

/** Without a width it is taken to be as tall as it is wide. */
export interface Pot {
  readonly vesselMl: number;
  readonly potDiameterCm?: number | undefined;
}

export interface PotShape {
  readonly diameterM: number;
  readonly heightM: number;
  /** Area of the open top, and of the bottom. */
  readonly topM2: number;
  readonly sideM2: number;
}

/**
 * The shape of a pot from what it holds, in millilitres, and its diameter in centimetres.
 * potShape(10_000) is 23.4 cm wide and tall.
 * Throws RangeError when the capacity is not above 0 or the diameter is outside 5 to 150 cm.
 */
export function potShape(capacityMl: number, diameterCm?: number): PotShape {
  assertPositive({ capacityMl });
  if (diameterCm !== undefined) assertWithin({ diameterCm }, 5, 150);
  const capacityM3 = capacityMl / 1e6;
  const diameterM = diameterCm === undefined ? Math.cbrt((4 * capacityM3) / Math.PI) : diameterCm / 100;
  const topM2 = (Math.PI * diameterM ** 2) / 4;
  const heightM = capacityM3 / topM2;
  return { diameterM, heightM, topM2, sideM2: Math.PI * diameterM * heightM };
}

/** A pot flatter than this boils over before it is hot (assumed, no source). */
const LEAST_HEIGHT_M = 0.03;
/** Taller pots than this are not made: a width in the wrong unit, or a capacity (assumed, no source). */
const MOST_HEIGHTS_OF_DIAMETER = 4;

/** Whether there can be a pot of this shape to render in: 3 cm tall at the least, and at most four times its diameter. */
export function isPossiblePot({ diameterM, heightM }: PotShape): boolean {
  return heightM >= LEAST_HEIGHT_M && heightM <= MOST_HEIGHTS_OF_DIAMETER * diameterM;
}

/** How deep a volume stands in a pot, in metres. */
export function depthM(shape: PotShape, contentsMl: number): number {
  return contentsMl / 1e6 / shape.topM2;
}

export const ROOM_C = 20;

/** For each square metre and degree above the room, in watts: air moving past, and radiation. Assumed. */
export const DRY_LOSS_W_PER_M2_K = 12;

export const DRY_LOSS_ASSUMPTION: Assumption = assumed(
  `Besides steam the pot loses ${DRY_LOSS_W_PER_M2_K} W for each square metre and degree.`,
);

/** Top and sides, in square metres. Throws RangeError when the vessel has no size. */
export function outsideM2({ vesselMl, potDiameterCm }: Pot): number {
  const { topM2, sideM2 } = potShape(vesselMl, potDiameterCm);
  return topM2 + sideM2;
}

/** What a hot pot loses apart from steam, in watts, at the temperature of the boil. */
export function dryLossW({ boilC, ...pot }: Pot & { readonly boilC: number }): number {
  return DRY_LOSS_W_PER_M2_K * outsideM2(pot) * (boilC - ROOM_C);
}
