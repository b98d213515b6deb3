/** Several tastings of the same question, in several kitchens. */
import type { Answers } from './protocol.js';
import { draw, type RandomBelow, shuffled } from './randomness.js';

/**
 * All tastings as one. When nobody anywhere can tell, the sum of correct answers is binomial with the guessing
 * probability, so that its test is exact however the kitchens differ otherwise. Where they do differ in how many can
 * tell, the sum varies less than a binomial of the average (Hoeffding (1956), Ann. Math. Statistics 27, 713–721), and
 * its exact interval is safe for the average over these very tastings; it says nothing about other kitchens.
 * Tastings must be served alike, and nobody counts twice.
 * @throws RangeError when there are none.
 */
export function pooledAnswers(tastings: readonly Answers[]): Answers {
  if (tastings.length === 0) throw new RangeError('there must be a tasting');
  return {
    correct: tastings.reduce((sum, { correct }) => sum + correct, 0),
    assessors: tastings.reduce((sum, { assessors }) => sum + assessors, 0),
  };
}

/**
 * The level at which to judge the sum of so many tastings when it is looked at after each: 5 % shared out over all looks
 * from the second tasting on, as Σ 1/(k(k − 1)) = 1. Whatever is claimed at any look is false with a probability of at
 * most 5 %, however long the community goes on (Bonferroni).
 * @throws RangeError unless tastings is a whole number of 2 or more.
 */
export function levelAtLook(tastings: number): number {
  if (!(Number.isInteger(tastings) && tastings >= 2))
    throw new RangeError(`there must be two tastings or more: ${tastings}`);
  return 0.05 / (tastings * (tastings - 1));
}

export type Heterogeneity =
  /** One tasting, or all answers alike. */
  | { readonly kind: 'nothing-to-compare' }
  | {
      readonly kind: 'compared';
      /** Pearson's χ² for equal shares of correct answers. */
      readonly statistic: number;
      readonly df: number;
      /** Probability of a χ² at least so large when the share is the same everywhere. */
      readonly p: number;
      readonly method: 'exact' | 'simulated';
    };

/** So many tables are listed in about a tenth of a second. */
const MOST_TABLES = 100_000;
const SIMULATIONS = 2000;

/**
 * Whether the share of correct answers differs between tastings. Given the number of correct answers in all, they fall
 * to the tastings as if dealt from one pack, whatever the common share (multivariate hypergeometric): the test lists
 * every way they could have fallen, or, where those are too many, deals 2000 times.
 * Sources: Freeman, Halton (1951), Biometrika 38, 141–149; p of a simulation: (1 + hits)/(1 + deals), Davison, Hinkley
 * (1997), Bootstrap Methods and their Application, section 4.2.
 * @throws RangeError unless every tasting's answers are possible.
 */
export function heterogeneity(tastings: readonly Answers[], random: RandomBelow): Heterogeneity {
  for (const { correct, assessors } of tastings)
    if (
      !(
        Number.isInteger(correct) &&
        Number.isInteger(assessors) &&
        correct >= 0 &&
        assessors >= 1 &&
        correct <= assessors
      )
    )
      throw new RangeError(`correct must be 0 to assessors, both whole: ${correct} of ${assessors}`);
  const total = pooledAnswers(tastings);
  if (tastings.length < 2 || total.correct === 0 || total.correct === total.assessors)
    return { kind: 'nothing-to-compare' };
  const sizes = tastings.map(({ assessors }) => assessors);
  const statisticOf = pearson(sizes, total);
  const statistic = statisticOf(tastings.map(({ correct }) => correct));
  // sums of the same terms in another order differ by rounding
  const isAsLarge = (counts: readonly number[]) => statisticOf(counts) >= statistic * (1 - 1e-9);
  const exact = exactTail(sizes, total, isAsLarge);
  return {
    kind: 'compared',
    statistic,
    df: sizes.length - 1,
    p: exact ?? simulatedTail(sizes, total, isAsLarge, random),
    method: exact === undefined ? 'simulated' : 'exact',
  };
}

function pearson(sizes: readonly number[], total: Answers): (counts: readonly number[]) => number {
  const share = total.correct / total.assessors;
  return (counts) =>
    sizes.reduce(
      (sum, size, i) => sum + ((counts[i] ?? 0) - size * share) ** 2 / (size * share * (1 - share)),
      0,
    );
}

type Holds = (counts: readonly number[]) => boolean;

function exactTail(sizes: readonly number[], total: Answers, holds: Holds): number | undefined {
  // the last count follows from the others
  const tables = sizes
    .slice(0, -1)
    .reduce((product, size) => product * (Math.min(size, total.correct) + 1), 1);
  if (tables > MOST_TABLES) return undefined;
  const logChoose = logChooser(total.assessors);
  const all = logChoose(total.assessors, total.correct);
  const counts: number[] = [];
  const tailFrom = (left: number, logWeight: number): number => {
    const size = sizes[counts.length] ?? 0;
    const isLast = counts.length === sizes.length - 1;
    let tail = 0;
    for (let count = isLast ? left : 0; count <= Math.min(size, left); count += 1) {
      const weight = logWeight + logChoose(size, count);
      counts.push(count);
      if (!isLast) tail += tailFrom(left - count, weight);
      else if (holds(counts)) tail += Math.exp(weight - all);
      counts.pop();
    }
    return tail;
  };
  return Math.min(1, tailFrom(total.correct, 0));
}

/** log of n over k, for n up to `most`. */
function logChooser(most: number): (n: number, k: number) => number {
  const logFactorials = [0];
  for (let n = 1; n <= most; n += 1) logFactorials.push((logFactorials[n - 1] ?? 0) + Math.log(n));
  const log = (n: number) => logFactorials[n] ?? Number.NaN;
  return (n, k) => log(n) - log(k) - log(n - k);
}

function simulatedTail(sizes: readonly number[], total: Answers, holds: Holds, random: RandomBelow): number {
  let hits = 0;
  for (let simulation = 0; simulation < SIMULATIONS; simulation += 1)
    if (holds(dealt(sizes, total, random))) hits += 1;
  return (1 + hits) / (1 + SIMULATIONS);
}

/** Correct answers dealt to the tastings as cards from a shuffled pack. */
function dealt(sizes: readonly number[], total: Answers, random: RandomBelow): readonly number[] {
  let { correct, assessors: left } = total;
  return sizes.map((size) => {
    let count = 0;
    for (let card = 0; card < size; card += 1) {
      if (draw(random, left) < correct) {
        count += 1;
        correct -= 1;
      }
      left -= 1;
    }
    return count;
  });
}

const SHUFFLES = 500;

/**
 * Whether tastings rank the products differently: the sum, weighted by assessors, of squared distances of each tasting's
 * mean ranks from those of all. Assessors are dealt to the tastings anew 500 times, as if it did not matter where they
 * tasted (a permutation test).
 * Source: p of a simulation as in `heterogeneity`.
 * @throws RangeError when a tasting has no assessors.
 */
export function rankingHeterogeneity(
  tastings: readonly (readonly (readonly number[])[])[],
  random: RandomBelow,
): Heterogeneity {
  if (tastings.some((rankings) => rankings.length === 0))
    throw new RangeError('every tasting must have assessors');
  const all = tastings.flat();
  const sizes = tastings.map(({ length }) => length);
  const products = all[0]?.length ?? 0;
  if (tastings.length < 2 || all.every((ranks) => ranks.join() === all[0]?.join()))
    return { kind: 'nothing-to-compare' };
  const statistic = spreadOfMeans(all, sizes, products);
  let hits = 0;
  for (let shuffle = 0; shuffle < SHUFFLES; shuffle += 1)
    if (spreadOfMeans(shuffled(all, random), sizes, products) >= statistic * (1 - 1e-9)) hits += 1;
  return {
    kind: 'compared',
    statistic,
    df: (sizes.length - 1) * (products - 1),
    p: (1 + hits) / (1 + SHUFFLES),
    method: 'simulated',
  };
}

function spreadOfMeans(
  rankings: readonly (readonly number[])[],
  sizes: readonly number[],
  products: number,
): number {
  const meansOf = (some: readonly (readonly number[])[]) =>
    Array.from(
      { length: products },
      (_, product) => some.reduce((sum, ranks) => sum + (ranks[product] ?? 0), 0) / some.length,
    );
  const overall = meansOf(rankings);
  let [spread, from] = [0, 0];
  for (const size of sizes) {
    const means = meansOf(rankings.slice(from, from + size));
    from += size;
    spread += size * means.reduce((sum, mean, at) => sum + (mean - (overall[at] ?? 0)) ** 2, 0);
  }
  return spread;
}
