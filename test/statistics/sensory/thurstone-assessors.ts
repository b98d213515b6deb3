/** Assessors of Thurstone's model: each cup tastes a little different each time, by one standard deviation. */

/** Triangle: two cups alike, the third d′ away; the assessor points at the one that tastes least like the others. */
export function namesTheOdd(taste: () => number, dPrime: number): boolean {
  const [one, other, odd] = [taste(), taste(), taste() + dPrime];
  return Math.abs(one - other) < Math.min(Math.abs(one - odd), Math.abs(other - odd));
}

/** Pair: the assessor points at the cup that has more. */
export function namesTheStronger(taste: () => number, dPrime: number): boolean {
  return taste() < taste() + dPrime;
}
