import { describe, expect, it } from 'vitest';
import { verdictOf } from '../../src/statistics/verdict.js';

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
});
