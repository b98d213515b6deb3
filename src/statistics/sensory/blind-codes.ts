/** Codes on cups that say nothing about what is in them. */
import { draw, type RandomBelow } from './randomness.js';
import type { ServingOrder } from './serving-orders.js';

export interface Cup {
  /** Three digits, on no other cup of the sheet. */
  readonly code: string;
  /** What is in it, 0 being the first product. Only who pours may see it. */
  readonly product: number;
}

const LEAST_CODE = 100;

/** From 100 to 999; no sheet can have more cups. */
const MOST_CUPS = 900;

/**
 * Codes every cup of a sheet, one list of cups an assessor. The codes are drawn by chance alone, without looking at what
 * is in the cup or who gets it, so that comparing codes tells assessors nothing (ISO 4120, ISO 5495).
 * @throws RangeError when there are more than 900 cups.
 */
export function blindSheet(
  orders: readonly ServingOrder[],
  random: RandomBelow,
): readonly (readonly Cup[])[] {
  const cups = orders.reduce((sum, order) => sum + order.length, 0);
  if (cups > MOST_CUPS) throw new RangeError(`there are codes for ${MOST_CUPS} cups only: ${cups}`);
  const codes = Array.from({ length: MOST_CUPS }, (_, k) => LEAST_CODE + k);
  return orders.map((order) =>
    order.map((product) => {
      const [code = 0] = codes.splice(draw(random, codes.length), 1);
      return { code: String(code), product };
    }),
  );
}

/**
 * The code of the cup that differs from the other two of a triangle.
 * @throws RangeError unless exactly one does.
 */
export function oddCode(cups: readonly Cup[]): string {
  const odd = cups.filter(({ product }) => cups.filter((other) => other.product === product).length === 1);
  const [only, ...others] = odd;
  if (cups.length !== 3 || only === undefined || others.length > 0)
    throw new RangeError('one cup of three must differ from the other two');
  return only.code;
}
