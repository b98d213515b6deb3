import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { waterFor } from '../../../src/cooking/water/water.js';
import { volumeRangeWords, volumeWords } from '../../../src/words/amounts.js';
import { CUTS, METHODS, moistureOf } from '../../../src/words/methods.js';
import { G_PER_LB, G_PER_OZ, ML_PER_US_CUP } from '../../../src/words/units.js';

const anyFatG = fc.double({ min: 1, max: 500_000, noNaN: true });
const anyMethod = fc.constantFrom(...METHODS.map(({ value }) => value));
const anyCut = fc.constantFrom(...CUTS.map(({ value }) => value));

describe('water for a wet render', () => {
  // Common practice, no source: 8 US cups to 2 to 3 lb of raw fat.
  it('is 8 cups for 2 lb 8 oz', () => {
    const { waterMl, kind } = waterFor({ fatG: 40 * G_PER_OZ, method: 'open-pot', cut: 'ground' });
    expect(kind).toBe('wet');
    expect(volumeWords(waterMl, 'us')).toBe('8 cups');
    expect(waterMl).toBeCloseTo(8 * ML_PER_US_CUP, 9);
  });

  it('is 12 to 18 cups for 4 lb 8 oz', () => {
    const { waterLowMl, waterHighMl } = waterFor({ fatG: 72 * G_PER_OZ, method: 'open-pot', cut: 'ground' });
    expect(waterLowMl).toBeCloseTo(12 * ML_PER_US_CUP, 9);
    expect(waterHighMl).toBeCloseTo(18 * ML_PER_US_CUP, 9);
    expect(volumeRangeWords(waterLowMl, waterHighMl, 'us')).toBe('12 to 18 cups');
  });

  it('is 1.39 to 2.09 L for a kilogram', () => {
    const { waterLowMl, waterHighMl } = waterFor({ fatG: 1000, method: 'pressure', cut: 'cubed' });
    expect(waterLowMl / 1000).toBeCloseTo(1.39, 2);
    expect(waterHighMl / 1000).toBeCloseTo(2.09, 2);
  });

  it('takes at least two hours', () => {
    expect(waterFor({ fatG: 1000, method: 'open-pot', cut: 'ground' }).minutesLow).toBe(120);
  });

  it('needs a larger vessel under pressure, which may only be half full', () => {
    const request = { fatG: 2 * G_PER_LB, cut: 'ground' } as const;
    const open = waterFor({ ...request, method: 'open-pot' }).vesselMl;
    expect(waterFor({ ...request, method: 'pressure' }).vesselMl).toBeCloseTo((open * 4) / 3, 6);
  });

  it('is also what a slow cooker takes', () => {
    const slow = waterFor({ fatG: 1000, method: 'slow-cooker', cut: 'ground' });
    expect(slow.kind).toBe('wet');
  });
});

describe('water for a dry render', () => {
  // Common practice, no source: about a cup to start.
  it.each(['stovetop-dry', 'oven', 'smoker'] as const)('is a starter of a cup (%s)', (method) => {
    const water = waterFor({ fatG: 3000, method, cut: 'cubed' });
    expect(water.kind).toBe('starter');
    expect(volumeRangeWords(water.waterLowMl, water.waterHighMl, 'us')).toBe('1 cup');
  });

  it('is less than a cup when there is little fat', () => {
    const { waterMl } = waterFor({ fatG: 100, method: 'oven', cut: 'cubed' });
    expect(waterMl).toBeLessThan(ML_PER_US_CUP);
    expect(waterMl).toBeLessThanOrEqual(waterFor({ fatG: 100, method: 'open-pot', cut: 'cubed' }).waterLowMl);
  });
});

describe('water for any render', () => {
  it('runs from low through suggested to high, and more fat never takes less', () => {
    fc.assert(
      fc.property(anyFatG, anyFatG, anyMethod, anyCut, (fatG, moreG, method, cut) => {
        const water = waterFor({ fatG, method, cut });
        expect(water.waterLowMl).toBeLessThanOrEqual(water.waterMl);
        expect(water.waterMl).toBeLessThanOrEqual(water.waterHighMl);
        expect(water.vesselMl).toBeGreaterThan(water.waterMl);
        expect(
          Object.values(water)
            .filter((value) => typeof value === 'number')
            .every(Number.isFinite),
        ).toBe(true);
        const more = waterFor({ fatG: fatG + moreG, method, cut });
        expect(more.waterMl).toBeGreaterThanOrEqual(water.waterMl);
        expect(more.vesselMl).toBeGreaterThan(water.vesselMl);
      }),
    );
  });

  it('says what it takes as given, each with a source', () => {
    for (const { value: method } of METHODS) {
      const { assumptions } = waterFor({ fatG: 1000, method, cut: 'ground' });
      expect(assumptions.every(({ sources }) => sources.length > 0)).toBe(true);
      expect(assumptions.flatMap(({ sources }) => sources)).toContain(
        moistureOf(method) === 'dry' ? 'practice-dry-starter' : 'practice-water-ratio',
      );
    }
  });

  it('cannot be asked for nothing', () => {
    for (const fatG of [0, -1, Number.NaN, Number.POSITIVE_INFINITY])
      expect(() => waterFor({ fatG, method: 'open-pot', cut: 'ground' })).toThrow(RangeError);
  });
});
