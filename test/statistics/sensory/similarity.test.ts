import { describe, expect, it } from 'vitest';
import { atMost } from '../../../src/statistics/sensory/binomial.js';
import { proportionCorrectAt } from '../../../src/statistics/sensory/protocol.js';
import { discriminatorsAtMost, mostCorrectWhenSimilar } from '../../../src/statistics/sensory/similarity.js';
import { TRIANGLE } from '../../../src/statistics/sensory/triangle.js';
import sensr from '../../reference/sensory/sensr.json' with { type: 'json' };
import similarity from '../../reference/sensory/triangle-similarity.json' with { type: 'json' };

describe('similarity by the triangle', () => {
  it('allows the number of correct answers that the construction of ISO 4120, table A.2 gives', () => {
    for (const { assessors, correct } of similarity.most)
      for (const [i, beta] of similarity.betas.entries())
        for (const [k, within] of similarity.discriminators.entries()) {
          const cell = correct[i]?.[k] ?? Number.NaN;
          const usable = cell < assessors / 3 ? undefined : cell;
          expect([
            assessors,
            beta,
            within,
            mostCorrectWhenSimilar(TRIANGLE, assessors, within, 1 - beta),
          ]).toEqual([assessors, beta, within, usable]);
        }
  });

  it('has the p values of the similarity test of sensR', () => {
    const { correct, assessors, byDiscriminators, byDPrime } = sensr.similarity;
    expect(atMost(correct, assessors, proportionCorrectAt(TRIANGLE, byDiscriminators.limit))).toBeCloseTo(
      byDiscriminators.p,
      5,
    );
    expect(atMost(correct, assessors, TRIANGLE.proportionCorrect(byDPrime.limit))).toBeCloseTo(byDPrime.p, 4);
  });

  it('reads "at most 20 % can tell" exactly where the table allows it', () => {
    for (const assessors of [36, 60, 96]) {
      const most = mostCorrectWhenSimilar(TRIANGLE, assessors, 0.2);
      if (most === undefined) continue;
      expect(discriminatorsAtMost(TRIANGLE, { correct: most, assessors })).toBeLessThanOrEqual(0.2);
      expect(discriminatorsAtMost(TRIANGLE, { correct: most + 1, assessors })).toBeGreaterThan(0.2);
    }
  });

  it('never calls a handful similar', () => {
    expect(mostCorrectWhenSimilar(TRIANGLE, 6, 0.3)).toBeUndefined();
    expect(mostCorrectWhenSimilar(TRIANGLE, 1, 0.9)).toBeUndefined();
  });
});
