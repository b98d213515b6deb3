/** In which order each assessor tastes: balanced over assessors, and by chance within that. */
import { draw, type RandomBelow, shuffled } from './randomness.js';
import { LEAST_PRODUCTS, MOST_PRODUCTS } from './ranking.js';

/** Products, 0 being the first, in the order in which their cups are tasted. */
export type ServingOrder = readonly number[];

/** Two cups of the first product and one of the second. */
const TWO_OF_THE_FIRST: readonly ServingOrder[] = [
  [0, 0, 1],
  [0, 1, 0],
  [1, 0, 0],
];
const TWO_OF_THE_SECOND = TWO_OF_THE_FIRST.map((order) => order.map((product) => 1 - product));

/**
 * The six orders of a triangle, AAB ABA BAA BBA BAB ABB, each once in every six assessors; what is left over of a last
 * six is shared out between two of A and two of B (ISO 4120).
 * @throws RangeError unless assessors is a whole number of 1 or more.
 */
export function triangleOrders(assessors: number, random: RandomBelow): readonly ServingOrder[] {
  return inBlocks(assessors, random, (left) => {
    if (left >= 6) return [...TWO_OF_THE_FIRST, ...TWO_OF_THE_SECOND];
    const [larger, smaller] = shuffled([TWO_OF_THE_FIRST, TWO_OF_THE_SECOND], random);
    return [
      ...shuffled(larger ?? [], random).slice(0, Math.ceil(left / 2)),
      ...shuffled(smaller ?? [], random).slice(0, Math.floor(left / 2)),
    ];
  });
}

/**
 * AB and BA, each once in every two assessors (ISO 5495).
 * @throws RangeError unless assessors is a whole number of 1 or more.
 */
export function pairOrders(assessors: number, random: RandomBelow): readonly ServingOrder[] {
  const both: readonly ServingOrder[] = [
    [0, 1],
    [1, 0],
  ];
  return inBlocks(assessors, random, (left) => (left >= 2 ? both : [both[draw(random, 2)] ?? []]));
}

/**
 * Williams' Latin squares: in every block of p assessors, or 2p when p is odd, each product comes at each place equally
 * often, and right after each other one equally often, so that what lingers of a taste favours none.
 * Source: Williams (1949), Australian J. Scientific Research A 2, 149–168.
 * @throws RangeError unless there are 3 to 6 products and assessors is a whole number of 1 or more.
 */
export function rankingOrders(
  products: number,
  assessors: number,
  random: RandomBelow,
): readonly ServingOrder[] {
  if (!(Number.isInteger(products) && products >= LEAST_PRODUCTS && products <= MOST_PRODUCTS))
    throw new RangeError(`there must be ${LEAST_PRODUCTS} to ${MOST_PRODUCTS} products: ${products}`);
  return inBlocks(assessors, random, (left) => {
    const names = shuffled([...Array(products).keys()], random);
    const square = williamsSquare(products).map((order) => order.map((place) => names[place] ?? 0));
    return shuffled(square, random).slice(0, left);
  });
}

/** 0 1 p−1 2 p−2 … and its shifts; for odd p also their mirror images. */
function williamsSquare(products: number): readonly ServingOrder[] {
  const zigzag = Array.from({ length: products }, (_, k) =>
    k % 2 === 1 ? (k + 1) / 2 : (products - k / 2) % products,
  );
  const shifts = zigzag.map((_, shift) => zigzag.map((place) => (place + shift) % products));
  return products % 2 === 0 ? shifts : [...shifts, ...shifts.map((order) => order.toReversed())];
}

/** Fills up with blocks, each in an order of its own; `block` is told how many assessors are left and gives no more. */
function inBlocks(
  assessors: number,
  random: RandomBelow,
  block: (left: number) => readonly ServingOrder[],
): readonly ServingOrder[] {
  if (!(Number.isInteger(assessors) && assessors >= 1))
    throw new RangeError(`assessors must be a whole number of 1 or more: ${assessors}`);
  const orders: ServingOrder[] = [];
  while (orders.length < assessors) orders.push(...shuffled(block(assessors - orders.length), random));
  return orders;
}
