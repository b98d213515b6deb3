/** Which cups stand at which seat. */
import type { TastingKind } from '../records/tastings.js';
import { blindSheet, type Cup } from '../statistics/sensory/blind-codes.js';
import type { RandomBelow } from '../statistics/sensory/randomness.js';
import {
  pairOrders,
  rankingOrders,
  type ServingOrder,
  triangleOrders,
} from '../statistics/sensory/serving-orders.js';

/** The cups of every seat in the order in which they are tasted: balanced orders, and codes that say nothing. */
export function dealSeats(
  {
    kind,
    products,
    planned,
  }: { readonly kind: TastingKind; readonly products: number; readonly planned: number },
  random: RandomBelow,
): readonly (readonly Cup[])[] {
  const orders: Readonly<Record<TastingKind, () => readonly ServingOrder[]>> = {
    triangle: () => triangleOrders(planned, random),
    pair: () => pairOrders(planned, random),
    ranking: () => rankingOrders(products, planned, random),
  };
  return blindSheet(orders[kind](), random);
}
