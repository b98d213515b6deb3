/**
 * Whole numbers from 0 up to but not including `below`, all as likely. For servings and codes it must be one that
 * nobody can foresee: `randomInt` of node:crypto.
 */
export type RandomBelow = (below: number) => number;

/** The same items in an order of which all are as likely (Fisher and Yates). */
export function shuffled<Item>(items: readonly Item[], random: RandomBelow): readonly Item[] {
  const left = [...items];
  return items.flatMap(() => left.splice(draw(random, left.length), 1));
}

/** @throws RangeError when the source does not keep its promise. */
export function draw(random: RandomBelow, below: number): number {
  const drawn = random(below);
  if (!(Number.isInteger(drawn) && drawn >= 0 && drawn < below))
    throw new RangeError(`a random number from 0 to below ${below} was expected: ${drawn}`);
  return drawn;
}
