import { describe, expect, it } from 'vitest';
import { isHardlyKnown, spanAStep, verdictOf } from '../../../src/statistics/questions/verdict.js';

const ENOUGH = { batches: 17, members: 6 };

describe('a verdict', () => {
  it('follows the interval', () => {
    const judged = (estimate: number, standardError: number) =>
      verdictOf({ estimate, standardError, df: 40 }, [ENOUGH, ENOUGH]);
    expect(judged(0.052, 0.02)).toBe('more');
    expect(judged(-0.052, 0.02)).toBe('less');
    expect(judged(0.02, 0.02)).toBe('unclear');
    expect(judged(0.02, 0.06)).toBe('too-few');
  });

  it('is not given on too few batches or cooks, however far apart they are', () => {
    const clear = { estimate: 0.2, standardError: 0.02, df: 40 };
    expect(verdictOf(clear, [ENOUGH, { batches: 2, members: 2 }])).toBe('too-few');
    expect(verdictOf(clear, [{ batches: 9, members: 1 }, ENOUGH])).toBe('too-few');
  });

  it('is not given where the interval reaches beyond what yields can differ by', () => {
    const steep = { estimate: -3.351, standardError: 1, df: 4 };
    expect(verdictOf(steep, [ENOUGH, ENOUGH])).toBe('too-few');
    expect(isHardlyKnown({ low: -1, high: 0.4 })).toBe(false);
    expect(isHardlyKnown({ low: -0.2, high: 1.01 })).toBe(true);
    expect(isHardlyKnown({ low: Number.NEGATIVE_INFINITY, high: Number.POSITIVE_INFINITY })).toBe(true);
  });
});

describe('weights or times', () => {
  const hours = (...some: readonly number[]) => spanAStep(some, 1);

  it('differ enough when three batches at either end are about a step apart', () => {
    expect(hours(2, 2, 2, 3, 3, 3)).toBe(true);
    expect(hours(2, 2.05, 2.05, 2.5, 3, 3, 3.1)).toBe(true);
    expect(hours(2, 2, 2, 2.5, 2.5, 2.5)).toBe(false);
  });

  it('do not for one or two batches far out, nor for a few among many', () => {
    expect(hours(2, 2, 2, 2, 9)).toBe(false);
    expect(hours(2, 2, 2, 2, 2, 9, 9)).toBe(false);
    expect(hours(...Array<number>(60).fill(2), 9, 9, 9, 9)).toBe(false);
    expect(hours()).toBe(false);
  });
});
