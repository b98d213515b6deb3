import { describe, expect, it } from 'vitest';
import { guessingTail } from '../../../src/statistics/sensory/discrimination.js';
import {
  heterogeneity,
  levelAtLook,
  pooledAnswers,
  rankingHeterogeneity,
} from '../../../src/statistics/sensory/pooled-tastings.js';
import type { Answers } from '../../../src/statistics/sensory/protocol.js';
import { judgeTasting } from '../../../src/statistics/sensory/tasting-verdict.js';
import { TRIANGLE } from '../../../src/statistics/sensory/triangle.js';
import { uniform } from '../seeded.js';

const number = uniform(77);
const random = (below: number) => Math.floor(below * number());
const never = () => {
  throw new Error('no chance was needed');
};

const tastings = (correct: readonly number[], assessors: readonly number[]): readonly Answers[] =>
  correct.map((count, i) => ({ correct: count, assessors: assessors[i] ?? 0 }));

describe('tastings of the same question in several kitchens', () => {
  it('together show what each alone is too small for', () => {
    const three = tastings([8, 9, 8], [18, 18, 18]);
    for (const one of three) expect(guessingTail(TRIANGLE, one)).toBeGreaterThan(0.05);
    // 25 of 54: FAO document V7180E, appendix A
    const all = pooledAnswers(three);
    expect(all).toEqual({ correct: 25, assessors: 54 });
    expect(judgeTasting(TRIANGLE, all).verdict.kind).toBe('difference');
  });

  it('have the exact distribution of the sum when everybody guesses, worked kitchen by kitchen', () => {
    // convolution of Bin(4, 1/3), Bin(6, 1/3) and Bin(3, 1/3)
    let sums = [1];
    for (const assessors of [4, 6, 3])
      for (let guess = 0; guess < assessors; guess += 1)
        sums = Array.from(
          { length: sums.length + 1 },
          (_, k) => ((sums[k] ?? 0) * 2 + (sums[k - 1] ?? 0)) / 3,
        );
    const tail = sums.slice(8).reduce((sum, chance) => sum + chance, 0);
    expect(guessingTail(TRIANGLE, pooledAnswers(tastings([3, 4, 1], [4, 6, 3])))).toBeCloseTo(tail, 12);
  });

  it('are held against each other exactly, as R does', () => {
    // R 4.2.2: chisq.test for the statistic, every table with its hypergeometric weight for p
    for (const [correct, assessors, statistic, p] of [
      [[13, 9, 15], [24, 24, 30], 1.46539222148978, 0.512627856669248],
      [[4, 5, 3, 9], [12, 10, 11, 12], 6.43465909090909, 0.098245052460141],
      // fisher.test gives the same for two
      [[3, 12], [12, 14], 9.75844155844156, 0.00431417418225871],
    ] as const) {
      const found = heterogeneity(tastings(correct, assessors), never);
      expect(found).toEqual({
        kind: 'compared',
        statistic: expect.closeTo(statistic, 12),
        df: correct.length - 1,
        p: expect.closeTo(p, 12),
        method: 'exact',
      });
    }
  });

  it('are dealt by chance where there are too many tables', () => {
    // R 4.2.2: chisq.test(simulate.p.value = TRUE, B = 1e6) gives 0.2146
    const found = heterogeneity(tastings([13, 9, 15, 22, 8, 11, 19], [24, 24, 30, 36, 24, 24, 30]), random);
    expect(found).toMatchObject({ kind: 'compared', method: 'simulated', df: 6 });
    if (found.kind === 'compared') {
      expect(found.statistic).toBeCloseTo(8.3912, 4);
      expect(Math.abs(found.p - 0.2146)).toBeLessThan(0.03);
    }
  });

  it('seldom look different when they are not', () => {
    let alarms = 0;
    for (let trial = 0; trial < 1500; trial += 1) {
      const counts = [12, 18, 10].map(() => 0);
      const sizes = [12, 18, 10];
      for (const [i, size] of sizes.entries())
        for (let assessor = 0; assessor < size; assessor += 1)
          if (number() < 0.55) counts[i] = (counts[i] ?? 0) + 1;
      const found = heterogeneity(tastings(counts, sizes), never);
      if (found.kind === 'compared' && found.p <= 0.05) alarms += 1;
    }
    expect(alarms / 1500).toBeLessThan(0.06);
  });

  it('have nothing to compare when there is one, or all answers are alike', () => {
    expect(heterogeneity(tastings([5], [12]), never)).toEqual({ kind: 'nothing-to-compare' });
    expect(heterogeneity(tastings([0, 0], [12, 9]), never)).toEqual({ kind: 'nothing-to-compare' });
    expect(heterogeneity(tastings([12, 9], [12, 9]), never)).toEqual({ kind: 'nothing-to-compare' });
  });

  it('must be possible', () => {
    expect(() => pooledAnswers([])).toThrow(RangeError);
    expect(() => heterogeneity(tastings([5, 13], [12, 12]), never)).toThrow(RangeError);
    expect(() => heterogeneity(tastings([5, 1.5], [12, 12]), never)).toThrow(RangeError);
  });

  it('claim a difference that is not there in at most 5 % of communities, looked at after each of 12 tastings', () => {
    const communities = 2000;
    const claimed = (levelOf: (tastings: number) => number) => {
      let claims = 0;
      for (let community = 0; community < communities; community += 1) {
        let correct = 0;
        for (let look = 1; look <= 12; look += 1) {
          for (let assessor = 0; assessor < 12; assessor += 1) if (number() < 1 / 3) correct += 1;
          if (look === 1 || guessingTail(TRIANGLE, { correct, assessors: 12 * look }) > levelOf(look))
            continue;
          claims += 1;
          break;
        }
      }
      return claims / communities;
    };
    expect(claimed(levelAtLook)).toBeLessThan(0.05);
    // at 5 % each time they would
    expect(claimed(() => 0.05)).toBeGreaterThan(0.07);
    const shared = Array.from({ length: 100_000 }, (_, k) => levelAtLook(k + 2));
    expect(shared.reduce((sum, level) => sum + level, 0)).toBeCloseTo(0.05, 5);
    expect(() => levelAtLook(1)).toThrow(RangeError);
  });
});

describe('rankings of the same question in several kitchens', () => {
  const ranked = (count: number, ...ranks: readonly number[]) => Array.from({ length: count }, () => ranks);

  it('differ where kitchens put the products in another order, and else do not', () => {
    const apart = rankingHeterogeneity([ranked(8, 1, 2, 3), ranked(8, 3, 2, 1)], random);
    // kitchens unmixed come up in 2 of 16 over 8 = 12870 deals: no shuffle of 500 is expected to
    expect(apart).toMatchObject({ kind: 'compared', df: 2, method: 'simulated' });
    expect(apart.kind === 'compared' && apart.p).toBeLessThan(0.01);
    const mixed = [...ranked(4, 1, 2, 3), ...ranked(4, 3, 2, 1)];
    const alike = rankingHeterogeneity([mixed, mixed], random);
    expect(alike.kind === 'compared' && alike.p).toBe(1);
  });

  it('have nothing to compare when there is one, or all rank alike', () => {
    expect(rankingHeterogeneity([ranked(8, 1, 2, 3)], never)).toEqual({ kind: 'nothing-to-compare' });
    expect(rankingHeterogeneity([ranked(8, 1, 2, 3), ranked(2, 1, 2, 3)], never)).toEqual({
      kind: 'nothing-to-compare',
    });
    expect(() => rankingHeterogeneity([ranked(8, 1, 2, 3), []], never)).toThrow(RangeError);
  });
});
