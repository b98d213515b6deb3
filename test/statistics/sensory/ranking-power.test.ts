import { describe, expect, it } from 'vitest';
import { midranks } from '../../../src/statistics/sensory/rank-sums.js';
import { assessorsForRanking, rankingPower } from '../../../src/statistics/sensory/ranking-power.js';
import { normal, uniform } from '../seeded.js';

/** χ² that is exceeded with probability 0.05, by degrees of freedom: NIST/SEMATECH e-Handbook, 1.3.6.7.4. */
const CRITICAL: Readonly<Record<number, number>> = { 2: 5.991, 3: 7.815, 4: 9.488 };

/** Friedman's statistic without ties. */
function friedman(rankings: readonly (readonly number[])[]): number {
  const [n, p] = [rankings.length, rankings[0]?.length ?? 0];
  const sums = Array.from({ length: p }, (_, i) => rankings.reduce((sum, ranks) => sum + (ranks[i] ?? 0), 0));
  return (12 / (n * p * (p + 1))) * sums.reduce((sum, t) => sum + t * t, 0) - 3 * n * (p + 1);
}

describe('power of a ranking', () => {
  it('is the level itself where all products are alike', () => {
    expect(rankingPower(3, 24, 0)).toBeCloseTo(0.05, 6);
    expect(rankingPower(6, 10, 0, 0.01)).toBeCloseTo(0.01, 6);
  });

  it('is that of simulated tastings, within 8 points', () => {
    const taste = normal(uniform(4711));
    for (const [products, assessors, dPrime] of [
      [3, 24, 0.8],
      [3, 12, 1.2],
      [4, 16, 1],
      [5, 48, 0.5],
    ] as const) {
      let shown = 0;
      const runs = 2000;
      for (let run = 0; run < runs; run += 1) {
        const rankings = Array.from({ length: assessors }, () =>
          midranks(Array.from({ length: products }, (_, at) => taste() + (at === 0 ? dPrime : 0))),
        );
        if (friedman(rankings) > (CRITICAL[products - 1] ?? Number.NaN)) shown += 1;
      }
      const power = rankingPower(products, assessors, dPrime);
      expect(Math.abs(shown / runs - power), `${products} ${assessors} ${dPrime}`).toBeLessThan(0.08);
    }
  });

  it('asks for as many assessors as it takes, and for none beyond a thousand', () => {
    const assessors = assessorsForRanking(4, 1) ?? expect.fail('none');
    expect(rankingPower(4, assessors, 1)).toBeGreaterThanOrEqual(0.8);
    expect(rankingPower(4, assessors - 1, 1)).toBeLessThan(0.8);
    expect(assessorsForRanking(3, 0.01)).toBeUndefined();
  });
});
