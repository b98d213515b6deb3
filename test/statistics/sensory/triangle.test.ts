import { describe, expect, it } from 'vitest';
import {
  discrimination,
  guessingTail,
  leastCorrect,
} from '../../../src/statistics/sensory/discrimination.js';
import { TRIANGLE } from '../../../src/statistics/sensory/triangle.js';
import dPrimes from '../../reference/sensory/triangle-d-prime.json' with { type: 'json' };
import difference from '../../reference/sensory/triangle-difference.json' with { type: 'json' };
import examples from '../../reference/sensory/triangle-examples.json' with { type: 'json' };
import { normal, uniform } from '../seeded.js';
import { namesTheOdd } from './thurstone-assessors.js';

describe('triangle test', () => {
  it('needs the number of correct answers of ISO 4120, table A.1', () => {
    // 6 to 36, 42, 48, 54 and 60 assessors at .10 to .001 are printed; the rest is computed, as the file says
    for (const { assessors, correct } of difference.least)
      for (const [i, level] of difference.levels.entries())
        expect([assessors, level, leastCorrect(TRIANGLE, assessors, level) ?? null]).toEqual([
          assessors,
          level,
          correct[i],
        ]);
    for (const { assessors, correct } of difference.printedOnly.least)
      for (const [i, level] of difference.printedOnly.levels.entries())
        expect([assessors, level, leastCorrect(TRIANGLE, assessors, level) ?? null]).toEqual([
          assessors,
          level,
          correct[i],
        ]);
  });

  it('agrees with R on invented tastings', () => {
    for (const example of examples.examples) {
      const found = discrimination(TRIANGLE, example);
      expect(found.p).toBeCloseTo(example.p, 12);
      for (const [i, level] of examples.levels.entries())
        expect(leastCorrect(TRIANGLE, example.assessors, level) ?? null).toBe(example.leastCorrect[i]);
      expect(found.proportionCorrect.low).toBeCloseTo(example.proportionCorrect.low, 12);
      expect(found.proportionCorrect.high).toBeCloseTo(example.proportionCorrect.high, 12);
      expect(found.discriminators.estimate).toBeCloseTo(example.discriminators, 12);
      for (const end of ['estimate', 'low', 'high'] as const)
        expect(found.dPrime[end]).toBeCloseTo(example.dPrime[end] ?? Number.POSITIVE_INFINITY, 7);
    }
  });

  it("turns d' into the proportion correct and back", () => {
    for (const { dPrime, proportionCorrect } of dPrimes.sharp)
      expect(TRIANGLE.proportionCorrect(dPrime)).toBeCloseTo(proportionCorrect, 9);
    for (const { dPrime, proportionCorrect } of dPrimes.rounded)
      expect(TRIANGLE.proportionCorrect(dPrime)).toBeCloseTo(proportionCorrect, 5);
    for (const { dPrime, proportionCorrect } of dPrimes.inverse)
      expect(TRIANGLE.dPrime(proportionCorrect)).toBeCloseTo(dPrime, 4);
    for (const dPrime of [0.01, 0.7, 3, 8, 15])
      expect(TRIANGLE.dPrime(TRIANGLE.proportionCorrect(dPrime))).toBeCloseTo(dPrime, dPrime < 10 ? 7 : 1);
  });

  it('agrees with the noncentral F distribution of R, which is good to nine digits', () => {
    for (const { dPrime, proportionCorrect } of dPrimes.byNoncentralF)
      expect(TRIANGLE.proportionCorrect(dPrime)).toBeCloseTo(proportionCorrect, 9);
  });

  it('calls guessing or worse no difference, and all correct a difference without bound', () => {
    expect(TRIANGLE.dPrime(1 / 3)).toBe(0);
    expect(TRIANGLE.dPrime(0.1)).toBe(0);
    expect(TRIANGLE.dPrime(1)).toBe(Number.POSITIVE_INFINITY);
  });

  it('refuses what cannot be', () => {
    expect(() => guessingTail(TRIANGLE, { correct: 7, assessors: 6 })).toThrow(RangeError);
    expect(() => guessingTail(TRIANGLE, { correct: 0, assessors: 0 })).toThrow(RangeError);
    expect(() => guessingTail(TRIANGLE, { correct: 1.5, assessors: 6 })).toThrow(RangeError);
    expect(() => TRIANGLE.proportionCorrect(-1)).toThrow(RangeError);
    expect(() => TRIANGLE.dPrime(1.01)).toThrow(RangeError);
    expect(() => leastCorrect(TRIANGLE, 12, 0)).toThrow(RangeError);
  });

  it('describes assessors who point at the cup that tastes least like the other two', () => {
    const taste = normal(uniform(20));
    for (const dPrime of [0, 1, 2]) {
      const correct = Array.from({ length: 200_000 }, () => namesTheOdd(taste, dPrime)).filter(
        Boolean,
      ).length;
      expect(Math.abs(correct / 200_000 - TRIANGLE.proportionCorrect(dPrime))).toBeLessThan(0.004);
    }
  });
});
