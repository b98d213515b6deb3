/** Rank sums of a ranking, and how they fall out when all products are alike. */

/** Ranks of one assessor's products, equal ones sharing the mean of their places: 1, 1, 3 become 1.5, 1.5, 3. */
export function midranks(places: readonly number[]): readonly number[] {
  return places.map((place) => {
    const before = places.filter((other) => other < place).length;
    const alike = places.filter((other) => other === place).length;
    return before + (alike + 1) / 2;
  });
}

/** What the rank sums may come to, up to the names of the products, when all are alike. */
export interface RankSumOutcome {
  /** Each product's rank sum less their mean, in half ranks, ascending. */
  readonly halves: readonly number[];
  readonly probability: number;
}

/** So many steps take about a third of a second. */
const MOST_STEPS = 3_000_000;

/**
 * Exact distribution of the rank sums when every assessor is as likely to give these midranks in any order: ties stay
 * as they were given. The products being alike, outcomes that differ by their names alone are one. Undefined when it
 * would take too long, which is beyond about 130 assessors of 3 products, 30 of 4, 10 of 5 and 4 of 6.
 */
export function rankSumDistribution(
  rankings: readonly (readonly number[])[],
): readonly RankSumOutcome[] | undefined {
  const products = rankings[0]?.length ?? 0;
  let outcomes: Iterable<MutableOutcome> = [{ halves: new Array<number>(products).fill(0), probability: 1 }];
  let count = 1;
  // no half rank sum is further from the mean than this
  const reach = rankings.length * (products - 1);
  const sums: number[] = new Array<number>(products).fill(0);
  let steps = 0;
  for (const ranks of rankings) {
    const orders = arrangements(ranks.map((rank) => 2 * rank - (products + 1)));
    steps += count * orders.length;
    if (steps > MOST_STEPS) return undefined;
    const next = new Map<number, MutableOutcome>();
    for (const { halves, probability } of outcomes)
      for (const order of orders) {
        addSorted(sums, halves, order);
        // the last follows from the others, as all sum to 0
        let key = 0;
        for (let i = 0; i < products - 1; i += 1) key = key * (2 * reach + 1) + (sums[i] ?? 0) + reach;
        const known = next.get(key);
        if (known === undefined)
          next.set(key, { halves: [...sums], probability: probability / orders.length });
        else known.probability += probability / orders.length;
      }
    outcomes = next.values();
    count = next.size;
  }
  return [...outcomes];
}

interface MutableOutcome {
  readonly halves: readonly number[];
  probability: number;
}

/** Writes the sums of two lists into `sums`, ascending. */
function addSorted(sums: number[], halves: readonly number[], order: readonly number[]): void {
  for (let i = 0; i < halves.length; i += 1) {
    const value = (halves[i] ?? 0) + (order[i] ?? 0);
    let at = i;
    while (at > 0 && (sums[at - 1] ?? 0) > value) {
      sums[at] = sums[at - 1] ?? 0;
      at -= 1;
    }
    sums[at] = value;
  }
}

/** Every order of these numbers, equal ones not told apart. */
function arrangements(values: readonly number[]): readonly (readonly number[])[] {
  if (values.length <= 1) return [values];
  return [...new Set(values)].flatMap((first) => {
    const at = values.indexOf(first);
    return arrangements(values.toSpliced(at, 1)).map((rest) => [first, ...rest]);
  });
}
