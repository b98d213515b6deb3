/** Ranking of three to six products by intensity or liking (ISO 8587). */
import chisquareCdf from '@stdlib/stats-base-dists-chisquare-cdf';
import { studentizedRangeUpper } from '../algebra/studentized-range.js';
import { requireLevel } from './binomial.js';
import { midranks, type RankSumOutcome, rankSumDistribution } from './rank-sums.js';

/** Two products, by their place in the rankings. */
interface RankedPair {
  readonly first: number;
  readonly second: number;
  /** Rank sum of the first less that of the second. */
  readonly difference: number;
  /** Probability that any two of the products differ by so much when all are alike. */
  readonly p: number;
  readonly clear: boolean;
}

export type RankingResult =
  /** Every assessor gave all products the same rank. */
  | { readonly kind: 'all-tied' }
  | {
      readonly kind: 'ranked';
      readonly assessors: number;
      /** In the order of the products. */
      readonly rankSums: readonly number[];
      /** Friedman's F, with ties allowed for. */
      readonly statistic: number;
      /** Probability of an F at least so large when all products are alike. */
      readonly p: number;
      /** By listing all that could have been, or, beyond what a moment's work can list, by a large-sample formula. */
      readonly method: 'exact' | 'large-sample';
      readonly pairs: readonly RankedPair[];
      /** Least difference of two rank sums that is clear; undefined when no ranking by so few could be. */
      readonly leastDifference: number | undefined;
    };

export const LEAST_PRODUCTS = 3;
export const MOST_PRODUCTS = 6;

/**
 * Friedman's test of whether products differ at all, and which pairs do.
 *
 * With T_i the rank sum of product i over j assessors and S = Σ (rank − (p + 1)/2)² over all ranks given,
 *   F = (p − 1) Σ (T_i − j(p + 1)/2)² / S,
 * which is 12/(jp(p + 1)) ΣT² − 3j(p + 1) without ties; large samples: χ² with p − 1 degrees of freedom.
 *
 * Pairs are compared all at once, as Wilcoxon, Nemenyi, McDonald and Thompson do: a difference is held against the
 * distribution of the largest one among all pairs, exact or, for large samples, the range of p normal deviates times
 * √(S/(p − 1)). When all products are alike, some pair comes out clear with a probability of at most 1 − level. When
 * some of the others do differ, the guarantee for the alike ones is approximate, as their ranks depend on the others.
 *
 * Sources: Friedman (1937), J. American Statistical Association 32, 675–701; Hollander, Wolfe, Chicken (2014),
 * Nonparametric Statistical Methods, 3rd ed., sections 7.1 and 7.3; Newell, MacFarlane (1987), J. Food Science 52,
 * 1721–1725, for its use in sensory analysis.
 * @param rankings of each assessor, one rank a product in the same order; equal ranks are ties
 * @throws RangeError unless there are two assessors or more with 3 to 6 ranks each, all finite.
 */
export function compareRankings(rankings: readonly (readonly number[])[], level = 0.95): RankingResult {
  requireLevel(level);
  requireRankings(rankings);
  const given = rankings.map(midranks);
  const products = given[0]?.length ?? 0;
  const rankSums = Array.from({ length: products }, (_, i) =>
    given.reduce((sum, ranks) => sum + (ranks[i] ?? 0), 0),
  );
  const mean = (given.length * (products + 1)) / 2;
  const spread = sum(given.flatMap((ranks) => ranks.map((rank) => (rank - (products + 1) / 2) ** 2)));
  if (spread === 0) return { kind: 'all-tied' };
  const squares = sum(rankSums.map((rankSum) => (rankSum - mean) ** 2));
  const statistic = ((products - 1) * squares) / spread;
  const outcomes = rankSumDistribution(given);
  const tails =
    outcomes === undefined ? largeSampleTails(products, spread) : exactTails(outcomes, products, spread);
  const range = (difference: number) => tails.range(Math.abs(difference));
  const isClear = (difference: number) => range(difference) <= 1 - level + ROUNDING;
  const pairs = rankSums.flatMap((one, first) =>
    rankSums.slice(first + 1).map((other, k): RankedPair => {
      const difference = one - other;
      return {
        first,
        second: first + 1 + k,
        difference,
        p: range(difference),
        clear: isClear(difference),
      };
    }),
  );
  return {
    kind: 'ranked',
    assessors: given.length,
    rankSums,
    statistic,
    p: tails.statistic(statistic),
    method: outcomes === undefined ? 'large-sample' : 'exact',
    pairs,
    leastDifference: leastClear(isClear, given.length * (products - 1), stepOf(given)),
  };
}

/** Tails below this apart are the same but for rounding. */
const ROUNDING = 1e-12;

interface Tails {
  /** P(F ≥ statistic) */
  statistic(statistic: number): number;
  /** P(largest difference of two rank sums ≥ difference) */
  range(difference: number): number;
}

function exactTails(outcomes: readonly RankSumOutcome[], products: number, spread: number): Tails {
  const chance = (holds: (halves: readonly number[]) => boolean) =>
    Math.min(1, sum(outcomes.flatMap(({ halves, probability }) => (holds(halves) ? [probability] : []))));
  return {
    statistic(statistic) {
      // in half ranks sums of squares are whole numbers
      const squares = Math.round((4 * statistic * spread) / (products - 1));
      return chance((halves) => sum(halves.map((half) => half ** 2)) >= squares);
    },
    range: (difference) =>
      chance((halves) => (halves.at(-1) ?? 0) - (halves[0] ?? 0) >= Math.round(2 * difference)),
  };
}

function largeSampleTails(products: number, spread: number): Tails {
  const scale = Math.sqrt(spread / (products - 1));
  return {
    statistic: (statistic) => 1 - chisquareCdf(statistic, products - 1),
    range: (difference) => studentizedRangeUpper(difference / scale, products, Number.POSITIVE_INFINITY),
  };
}

/** Rank sums differ by whole numbers, or by halves where somebody gave two products the same rank. */
const stepOf = (given: readonly (readonly number[])[]): number =>
  given.flat().every(Number.isInteger) ? 1 : 0.5;

function leastClear(
  isClear: (difference: number) => boolean,
  most: number,
  step: number,
): number | undefined {
  if (!isClear(most)) return undefined;
  let [clear, unclear] = [most / step, 0];
  while (clear - unclear > 1) {
    const middle = Math.floor((clear + unclear) / 2);
    if (isClear(middle * step)) clear = middle;
    else unclear = middle;
  }
  return clear * step;
}

function requireRankings(rankings: readonly (readonly number[])[]): void {
  if (rankings.length < 2) throw new RangeError(`two assessors or more must rank: ${rankings.length}`);
  const products = rankings[0]?.length ?? 0;
  if (!(products >= LEAST_PRODUCTS && products <= MOST_PRODUCTS))
    throw new RangeError(`there must be ${LEAST_PRODUCTS} to ${MOST_PRODUCTS} products: ${products}`);
  if (rankings.some((ranks) => ranks.length !== products || !ranks.every(Number.isFinite)))
    throw new RangeError('every assessor must rank every product');
}

const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);
