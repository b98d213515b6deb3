/** What the name of a vessel tells of what it can be used for. */

/** Made of what cracks or melts: no vessel to render in. A glass lid is none of that. */
const CANNOT_TAKE_HEAT =
  /\b(?:glass(?:ware)?|jars?|bottles?|plastics?|buckets?|tubs?|bags?|foam|paper|wood(?:en)?|silicone|acrylic|cardboard|carton|cooler|styrofoam|melamine|polycarbonate)\b(?! lid)/i;

export const cannotTakeHeat = (name: string): boolean => CANNOT_TAKE_HEAT.test(name);

/** Vessels that can often be closed under pressure, whatever else they do. */
const MAY_HOLD_PRESSURE = /pressure|cann(?:er|ing)|multi|instant|electric|autoclave|\bcooker\b/i;

/** Whether a vessel's lid may lock, as far as its name says. */
export const mayHoldPressure = (name: string): boolean => MAY_HOLD_PRESSURE.test(name);
