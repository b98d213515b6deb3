import { describe, expect, it } from 'vitest';
import { wilsonInterval } from '../../../src/statistics/sensory/wilson.js';
import { readReferenceResults, relativeError, SET_NAMES } from '../reference-sets.js';

describe('Wilson interval', () => {
  it('agrees with the published examples', () => {
    // Newcombe (1998), Statistics in Medicine 17, 857-872, table I
    for (const [count, n, low, high] of [
      [81, 263, 0.2553, 0.3662],
      [15, 148, 0.0624, 0.1605],
      [0, 20, 0, 0.1611],
      [1, 29, 0.0061, 0.1718],
    ] as const) {
      const interval = wilsonInterval(count, n);
      expect(interval.low).toBeCloseTo(low, 4);
      expect(interval.high).toBeCloseTo(high, 4);
    }
  });

  it('never leaves 0 to 1 and refuses counts that cannot be', () => {
    expect(wilsonInterval(7, 7).high).toBe(1);
    expect(wilsonInterval(0, 7).low).toBe(0);
    expect(() => wilsonInterval(8, 7)).toThrow(RangeError);
    expect(() => wilsonInterval(0, 0)).toThrow(RangeError);
  });

  it('agrees with prop.test of R on the reference sets', () => {
    for (const set of SET_NAMES) {
      const { share_at_or_above: expected } = readReferenceResults<{
        share_at_or_above: { count: number; n: number; wilson_lower: number; wilson_upper: number };
      }>(set);
      const { low, high } = wilsonInterval(expected.count, expected.n);
      expect(relativeError(low, expected.wilson_lower)).toBeLessThan(1e-9);
      expect(relativeError(high, expected.wilson_upper)).toBeLessThan(1e-9);
    }
  });
});
