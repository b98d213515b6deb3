import { describe, expect, it } from 'vitest';
import { median, modifiedZ } from '../../../src/statistics/questions/modified-z.js';

describe('modified z', () => {
  it('flags the last two of the worked example', () => {
    // NIST/SEMATECH e-Handbook 1.3.5.17: median 2.45, median deviation 0.15; z from -1.574 to 25.856 and 26.305
    const {
      median: middle,
      medianDeviation,
      scale,
      z,
    } = modifiedZ([2.1, 2.6, 2.4, 2.5, 2.3, 2.1, 2.3, 2.6, 8.2, 8.3]);
    expect(middle).toBeCloseTo(2.45, 12);
    expect(medianDeviation).toBeCloseTo(0.15, 12);
    expect(scale).toBe('median-deviation');
    expect(z[0]).toBeCloseTo(-1.574, 3);
    expect(z[8]).toBeCloseTo(25.856, 3);
    expect(z[9]).toBeCloseTo(26.305, 3);
  });

  it('falls back to the mean deviation when more than half are the same', () => {
    const { scale, z } = modifiedZ([5, 5, 5, 5, 9]);
    expect(scale).toBe('mean-deviation');
    expect(z[4]).toBeCloseTo(4 / (1.253314 * 0.8), 12);
  });

  it('finds nothing odd when all are the same, and needs a value', () => {
    expect(modifiedZ([5, 5, 5])).toMatchObject({ scale: 'none', z: [0, 0, 0] });
    expect(() => modifiedZ([])).toThrow(RangeError);
  });

  it('takes the mean of the middle two of an even number', () => {
    expect(median([4, 1, 3, 2])).toBe(2.5);
  });
});
