import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { midranks, rankSumDistribution } from '../../../src/statistics/sensory/rank-sums.js';
import friedman from '../../reference/sensory/friedman.json' with { type: 'json' };

const untied = (products: number, assessors: number) =>
  Array.from({ length: assessors }, () => Array.from({ length: products }, (_, i) => i + 1));

describe('midranks', () => {
  it('share the mean of their places', () => {
    expect(midranks([1, 1, 3])).toEqual([1.5, 1.5, 3]);
    expect(midranks([7, 2, 2, 2])).toEqual([4, 2, 2, 2]);
    expect(midranks([30, 10, 20])).toEqual([3, 1, 2]);
  });
});

describe('distribution of the rank sums', () => {
  it("gives the critical values of Friedman's statistic", () => {
    for (const { products, assessors, critical } of friedman.least) {
      const outcomes = rankSumDistribution(untied(products, assessors)) ?? [];
      const chances = new Map<number, number>();
      for (const { halves, probability } of outcomes) {
        const statistic =
          (12 / (assessors * products * (products + 1))) *
          halves.reduce((sum, half) => sum + (half / 2) ** 2, 0);
        const key = Math.round(statistic * 1000) / 1000;
        chances.set(key, (chances.get(key) ?? 0) + probability);
      }
      for (const [i, level] of friedman.levels.entries()) {
        let tail = 0;
        let smallest: number | null = null;
        for (const [statistic, chance] of [...chances].sort(([a], [b]) => b - a)) {
          tail += chance;
          if (tail > level + 1e-12) break;
          smallest = statistic;
        }
        expect([products, assessors, level, smallest]).toEqual([products, assessors, level, critical[i]]);
      }
    }
  });

  it('lists what a full enumeration lists', () => {
    const ranking = fc.array(fc.integer({ min: 1, max: 3 }), { minLength: 3, maxLength: 3 }).map(midranks);
    fc.assert(
      fc.property(fc.array(ranking, { minLength: 2, maxLength: 4 }), (rankings) => {
        const listed = new Map<string, number>();
        const walk = (
          left: readonly (readonly number[])[],
          sums: readonly number[],
          weight: number,
        ): void => {
          const [ranks, ...rest] = left;
          if (ranks === undefined) {
            const key = [...sums].sort((a, b) => a - b).join();
            listed.set(key, (listed.get(key) ?? 0) + weight);
            return;
          }
          for (const [i, j, k] of [
            [0, 1, 2],
            [0, 2, 1],
            [1, 0, 2],
            [1, 2, 0],
            [2, 0, 1],
            [2, 1, 0],
          ] as const)
            walk(
              rest,
              [ranks[i], ranks[j], ranks[k]].map((rank, p) => (sums[p] ?? 0) + 2 * (rank ?? 0) - 4),
              weight / 6,
            );
        };
        walk(rankings, [0, 0, 0], 1);
        const found = rankSumDistribution(rankings) ?? [];
        expect(found.length).toBe(listed.size);
        for (const { halves, probability } of found)
          expect(probability).toBeCloseTo(listed.get(halves.join()) ?? Number.NaN, 12);
      }),
      { numRuns: 60 },
    );
  });

  it('gives up rather than take long', () => {
    expect(rankSumDistribution(untied(6, 5))).toBeUndefined();
    expect(rankSumDistribution(untied(5, 8))).toBeDefined();
  });
});
