/** A pot as a cylinder: enough to know its surfaces. */

export interface PotShape {
  readonly diameterM: number;
  readonly heightM: number;
  /** Area of the open top, and of the bottom. */
  readonly topM2: number;
  readonly sideM2: number;
}

/**
 * The shape of a pot from what it holds, in millilitres, and its diameter in centimetres. Without a diameter the pot is
 * taken to be as tall as it is wide.
 * potShape(10_000) is 23.4 cm wide and tall.
 * Throws RangeError when the capacity is not above 0 or the diameter is outside 5 to 150 cm.
 */
export function potShape(capacityMl: number, diameterCm?: number): PotShape {
  if (!(Number.isFinite(capacityMl) && capacityMl > 0))
    throw new RangeError(`capacityMl must be a finite number above 0, not ${capacityMl}`);
  if (diameterCm !== undefined && !(diameterCm >= 5 && diameterCm <= 150))
    throw new RangeError(`diameterCm must be from 5 to 150, not ${diameterCm}`);
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
