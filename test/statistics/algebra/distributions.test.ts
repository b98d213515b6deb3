import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { tQuantile, tTwoSided } from '../../../src/statistics/algebra/distributions.js';
import { studentizedRangeUpper } from '../../../src/statistics/algebra/studentized-range.js';
import { relativeError } from '../reference-sets.js';

interface Values {
  readonly t_two_sided: readonly { readonly t: number; readonly df: number; readonly p: number }[];
  readonly t_quantile: readonly { readonly prob: number; readonly df: number; readonly t: number }[];
  readonly studentized_range_upper: readonly {
    readonly q: number;
    readonly means: number;
    readonly df: number;
    readonly p: number;
  }[];
}

const FILE = new URL('../../reference/stats/distributions.json', import.meta.url);

describe('distributions agree with R', () => {
  const values = () => JSON.parse(readFileSync(FILE, 'utf8')) as Values;

  it("for Student's t", () => {
    for (const { t, df, p } of values().t_two_sided)
      expect(relativeError(tTwoSided(t, df), p)).toBeLessThan(1e-12);
    for (const { prob, df, t } of values().t_quantile)
      expect(relativeError(tQuantile(prob, df), t)).toBeLessThan(1e-12);
  });

  it('for the studentized range', () => {
    // R's own integral is off by up to 2.1e-5 at 2.4 degrees of freedom: for two means its values miss those of its t
    for (const { q, means, df, p } of values().studentized_range_upper)
      expect(Math.abs(studentizedRangeUpper(q, means, df) - p)).toBeLessThan(df < 5 ? 3e-5 : 1e-9);
  });
});

describe('distributions', () => {
  it("have the tabled quantiles of Student's t", () => {
    // NIST/SEMATECH e-Handbook 1.3.6.7.2, the column for 0.975
    for (const [df, t] of [
      [1, 12.706],
      [2, 4.303],
      [5, 2.571],
      [10, 2.228],
      [30, 2.042],
    ] as const)
      expect(tQuantile(0.975, df)).toBeCloseTo(t, 3);
  });

  it('make the studentized range of two means a t test', () => {
    // |difference| / (s √2) is |t|, so that Q = √2 |t|
    for (const df of [2, 2.4, 7, 60, 4000])
      for (const t of [0.1, 1, 2.5, 6])
        expect(studentizedRangeUpper(Math.SQRT2 * t, 2, df)).toBeCloseTo(tTwoSided(t, df), 11);
  });

  it('have the tabled upper 5 % points of the studentized range', () => {
    // Standard table (Harter 1960), from memory: 3, 4 and 6 means with 10, 20 and 60 degrees of freedom
    for (const [q, means, df] of [
      [3.877, 3, 10],
      [3.958, 4, 20],
      [4.163, 6, 60],
    ] as const)
      expect(studentizedRangeUpper(q, means, df)).toBeCloseTo(0.05, 4);
  });

  it('end in the normal distribution', () => {
    for (const df of [1e9, 1e20, Number.POSITIVE_INFINITY]) {
      expect(tQuantile(0.975, df)).toBeCloseTo(1.959963985, 7);
      expect(tTwoSided(1.959963985, df)).toBeCloseTo(0.05, 8);
      expect(studentizedRangeUpper(Math.SQRT2 * 1.959963985, 2, df)).toBeCloseTo(0.05, 8);
    }
  });

  it('refuse arguments that mean nothing', () => {
    expect(() => tQuantile(1, 5)).toThrow(RangeError);
    expect(() => tTwoSided(1, 0)).toThrow(RangeError);
    expect(() => studentizedRangeUpper(1, 1, 5)).toThrow(RangeError);
    expect(() => studentizedRangeUpper(1, 3, 1.9)).toThrow(RangeError);
    expect(() => studentizedRangeUpper(-1, 3, 5)).toThrow(RangeError);
  });
});
