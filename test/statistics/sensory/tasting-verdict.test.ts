import { describe, expect, it } from 'vitest';
import { PAIR } from '../../../src/statistics/sensory/paired.js';
import { judgeTasting } from '../../../src/statistics/sensory/tasting-verdict.js';
import { TRIANGLE } from '../../../src/statistics/sensory/triangle.js';

const verdict = (correct: number, assessors: number) =>
  judgeTasting(TRIANGLE, { correct, assessors }).verdict;

describe('verdict on a tasting', () => {
  it('is a difference from the least number of correct answers on', () => {
    // 13 of 24: ISO 4120, table A.1
    expect(verdict(13, 24).kind).toBe('difference');
    expect(verdict(12, 24).kind).toBe('no-sign');
  });

  it('says how much a missing difference could hide', () => {
    const found = verdict(9, 24);
    expect(found.kind).toBe('no-sign');
    // P(X ≤ 9 | 24, 1/3 + 2/3 · 0.3468) = 0.05
    expect(found.discriminatorsAtMost).toBeCloseTo(0.347, 2);
  });

  it('is similar only when enough assessors found as little as guessing does', () => {
    // 60 assessors, at most 21 correct: the construction of ISO 4120, table A.2 for 20 % and 95 %
    expect(verdict(21, 60)).toMatchObject({ kind: 'similar', within: 0.2 });
    expect(verdict(22, 60).kind).toBe('no-sign');
  });

  it('does not take bad luck for similarity', () => {
    // with 24 assessors the table's 6 lies below the 8 that guessing brings
    expect(verdict(3, 24).kind).toBe('no-sign');
    expect(verdict(0, 3).kind).toBe('no-sign');
  });

  it('tells a difference even when it is shown to be small', () => {
    const found = verdict(372, 1000);
    expect(found.kind).toBe('difference');
    expect(found.discriminatorsAtMost).toBeLessThan(0.1);
  });

  it('never says similar because a difference was not found, at any size', () => {
    for (let assessors = 1; assessors <= 100; assessors += 7)
      for (let correct = 0; correct <= assessors; correct += 1) {
        const { kind, discriminatorsAtMost } = verdict(correct, assessors);
        if (kind === 'similar') expect(discriminatorsAtMost).toBeLessThanOrEqual(0.2);
      }
  });

  it('reads a pair with a right answer by the same rule', () => {
    // 12 of 16 one-sided: computed for ISO 5495
    const rule = { significance: 0.05, similarWithin: 0.3, confidence: 0.9 };
    expect(judgeTasting(PAIR, { correct: 12, assessors: 16 }, rule).verdict.kind).toBe('difference');
    expect(judgeTasting(PAIR, { correct: 40, assessors: 80 }, rule).verdict.kind).toBe('similar');
  });
});
