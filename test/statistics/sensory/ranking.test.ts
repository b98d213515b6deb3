import { describe, expect, it } from 'vitest';
import { rankSumDistribution } from '../../../src/statistics/sensory/rank-sums.js';
import { compareRankings } from '../../../src/statistics/sensory/ranking.js';
import differences from '../../reference/sensory/rank-sum-differences.json' with { type: 'json' };
import rankings from '../../reference/sensory/rankings.json' with { type: 'json' };
import { uniform } from '../seeded.js';

function ranked(given: readonly (readonly number[])[], level?: number) {
  const result = compareRankings(given, level);
  if (result.kind !== 'ranked') throw new Error('expected a ranking');
  return result;
}

const oneWay = (products: number, assessors: number) =>
  Array.from({ length: assessors }, () => Array.from({ length: products }, (_, i) => i + 1));

describe('ranking', () => {
  it('agrees with the published example, ties and all', () => {
    const { published } = rankings;
    const found = ranked(published.rankings);
    expect(found.rankSums).toEqual(published.rankSums);
    expect(found.statistic).toBeCloseTo(published.statistic, 11);
    expect(found.method).toBe('exact');
    expect(found.p).toBeCloseTo(published.exactP, 13);
    expect(found.pairs).toEqual(
      published.differences.map(({ p, ...pair }) => ({
        ...pair,
        p: expect.closeTo(p, 12),
        clear: p <= 0.05,
      })),
    );
  });

  it('agrees with R where there are too many assessors to list all', () => {
    const { large } = rankings;
    const found = ranked(large.rankings);
    expect(found.rankSums).toEqual(large.rankSums);
    expect(found.method).toBe('large-sample');
    expect(found.statistic).toBeCloseTo(large.statistic, 10);
    expect(found.p).toBeCloseTo(large.p, 12);
    expect(found.pairs).toEqual(
      large.differences.map(({ p, ...pair }) => ({ ...pair, p: expect.closeTo(p, 8), clear: p <= 0.05 })),
    );
  });

  it('reproduces the table of rank-sum differences that sensory analysis uses', () => {
    // The printed values are those with a tail nearest to 5 %, ours the least with a tail of at most 5 %: ours may be
    // one higher where the printed one's tail is above. In large samples the two formulas may differ by one.
    const some = differences.critical.filter(({ assessors }) => assessors <= 6 || assessors % 3 === 0);
    for (const { assessors, differences: printed } of some)
      for (const [i, products] of differences.products.entries()) {
        const table = printed[i] ?? Number.NaN;
        const given = oneWay(products, assessors);
        const { leastDifference = Number.NaN, method } = ranked(given);
        expect(Math.abs(leastDifference - table)).toBeLessThanOrEqual(1);
        if (method === 'large-sample' || leastDifference === table) continue;
        expect(leastDifference).toBe(table + 1);
        const tail = (rankSumDistribution(given) ?? [])
          .filter(({ halves }) => (halves.at(-1) ?? 0) - (halves[0] ?? 0) >= 2 * table)
          .reduce((sum, { probability }) => sum + probability, 0);
        expect(tail).toBeGreaterThan(0.05);
        expect(tail).toBeLessThan(0.065);
      }
  });

  it('asks of a pair what it asks of the least difference', () => {
    const random = uniform(11);
    for (let trial = 0; trial < 30; trial += 1) {
      const given = Array.from({ length: 9 }, () => Array.from({ length: 4 }, () => Math.ceil(4 * random())));
      const result = compareRankings(given);
      if (result.kind !== 'ranked') continue;
      for (const { difference, clear, p } of result.pairs) {
        expect(clear).toBe(Math.abs(difference) >= (result.leastDifference ?? Number.POSITIVE_INFINITY));
        expect(clear).toBe(p <= 0.05);
      }
    }
  });

  it('finds some pair clear in at most 5 % of rankings of products that are alike', () => {
    const random = uniform(3);
    const { leastDifference = Number.NaN } = ranked(oneWay(4, 6));
    let alarms = 0;
    for (let trial = 0; trial < 20_000; trial += 1) {
      const sums = [0, 0, 0, 0];
      for (let assessor = 0; assessor < 6; assessor += 1) {
        const noise = sums.map(() => random());
        for (const [i, one] of noise.entries())
          sums[i] = (sums[i] ?? 0) + noise.filter((other) => other <= one).length;
      }
      if (Math.max(...sums) - Math.min(...sums) >= leastDifference) alarms += 1;
    }
    expect(alarms / 20_000).toBeLessThanOrEqual(0.05);
    expect(alarms / 20_000).toBeGreaterThan(0.02);
  });

  it('does not care what the ranks are called or which way they run', () => {
    const given = rankings.published.rankings;
    const found = ranked(given);
    const renamed = ranked(given.map((ranks) => ranks.map((rank) => -10 * rank)));
    expect(renamed.p).toBe(found.p);
    expect(renamed.pairs.map(({ difference }) => -difference)).toEqual(
      found.pairs.map(({ difference }) => difference),
    );
  });

  it('has nothing to say where all are ranked alike, and no clear difference for two assessors of three', () => {
    expect(
      compareRankings([
        [1, 1, 1],
        [2, 2, 2],
      ]),
    ).toEqual({ kind: 'all-tied' });
    expect(ranked(oneWay(3, 2)).leastDifference).toBeUndefined();
  });

  it('refuses what is no ranking of three to six by two or more', () => {
    expect(() => compareRankings([[1, 2, 3]])).toThrow(RangeError);
    expect(() =>
      compareRankings([
        [1, 2],
        [2, 1],
      ]),
    ).toThrow(RangeError);
    expect(() => compareRankings(oneWay(7, 4))).toThrow(RangeError);
    expect(() =>
      compareRankings([
        [1, 2, 3],
        [1, 2],
      ]),
    ).toThrow(RangeError);
    expect(() =>
      compareRankings([
        [1, 2, 3],
        [1, 2, Number.NaN],
      ]),
    ).toThrow(RangeError);
  });
});
