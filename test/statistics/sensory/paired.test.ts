import { describe, expect, it } from 'vitest';
import { leastCorrect } from '../../../src/statistics/sensory/discrimination.js';
import { comparePair, leastForEither, PAIR } from '../../../src/statistics/sensory/paired.js';
import { VERDICT_RULE } from '../../../src/statistics/sensory/tasting-verdict.js';
import paired from '../../reference/sensory/paired-comparison.json' with { type: 'json' };

describe('paired comparison', () => {
  it('needs the number of answers that the exact binomial gives, one-sided and two-sided', () => {
    for (const { assessors, oneSided, twoSided } of paired.least)
      for (const [i, level] of paired.levels.entries()) {
        expect([assessors, level, leastCorrect(PAIR, assessors, level) ?? null]).toEqual([
          assessors,
          level,
          oneSided[i],
        ]);
        expect([assessors, level, leastForEither(assessors, level) ?? null]).toEqual([
          assessors,
          level,
          twoSided[i],
        ]);
      }
  });

  it('reads both products alike', () => {
    const one = comparePair({ first: 19, second: 7 });
    const other = comparePair({ first: 7, second: 19 });
    expect(other.p).toBe(one.p);
    expect(other.dPrime.estimate).toBeCloseTo(-one.dPrime.estimate, 12);
    expect(other.shareOfFirst.low).toBeCloseTo(1 - one.shareOfFirst.high, 12);
    expect(one.verdict).toEqual({ kind: 'difference', favours: 'first' });
    expect(other.verdict).toEqual({ kind: 'difference', favours: 'second' });
  });

  it('agrees with binom.test of R', () => {
    // R 4.2.2: binom.test(19, 26)
    const { p, shareOfFirst } = comparePair({ first: 19, second: 7 });
    expect(p).toBeCloseTo(0.02895927429199218, 14);
    expect(shareOfFirst.low).toBeCloseTo(0.5221252103, 9);
    expect(shareOfFirst.high).toBeCloseTo(0.8842677867, 9);
  });

  it('never gives a p above 1', () => {
    expect(comparePair({ first: 4, second: 4 }).p).toBe(1);
  });

  it('says by how much one may lead when neither does', () => {
    const { verdict } = comparePair({ first: 13, second: 11 });
    expect(verdict.kind).toBe('no-sign');
    // two exact one-sided bounds of 95 %: R 4.2.2, binom.test(13, 24, conf.level = 0.9)
    expect(verdict).toMatchObject({ leadAtMost: expect.closeTo(2 * 0.7176444734 - 1, 8) });
  });

  it('calls them similar only when many are split evenly', () => {
    const rule = { ...VERDICT_RULE, similarWithin: 0.2 };
    expect(comparePair({ first: 20, second: 20 }, rule).verdict.kind).toBe('no-sign');
    expect(comparePair({ first: 100, second: 100 }, rule).verdict.kind).toBe('similar');
  });

  it('has no bound where all agree, and refuses counts that cannot be', () => {
    expect(comparePair({ first: 6, second: 0 }).dPrime.estimate).toBe(Number.POSITIVE_INFINITY);
    expect(comparePair({ first: 0, second: 6 }).dPrime.low).toBe(Number.NEGATIVE_INFINITY);
    expect(PAIR.dPrime(0.3)).toBe(0);
    expect(() => comparePair({ first: 0, second: 0 })).toThrow(RangeError);
    expect(() => comparePair({ first: -1, second: 4 })).toThrow(RangeError);
    expect(() => comparePair({ first: 3, second: 4 }, { ...VERDICT_RULE, confidence: 0.4 })).toThrow(
      RangeError,
    );
  });
});
