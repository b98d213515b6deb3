import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { RAW_FAT } from '../../../src/cooking/blends/composition.js';
import {
  fillLimit,
  loadVolumeMl,
  RAW_FAT_DENSITY_G_PER_ML,
  smallestVesselMl,
} from '../../../src/cooking/water/packing.js';
import { CUTS, METHODS } from '../../../src/words/methods.js';
import { G_PER_LB, ML_PER_US_CUP, ML_PER_US_QUART } from '../../../src/words/units.js';

const EIGHT_CUPS_ML = 8 * ML_PER_US_CUP;

describe('a load in a vessel', () => {
  // Computed apart from this code, from 0.94 g/mL and 1892.7 mL: 2.86 and 3.34 L.
  it.each([
    [2, 2.86, 4.5, 6.0],
    [3, 3.34, 5.3, 7.1],
  ])(
    'of 8 cups and %d lb stands at %d L, and needs %d qt open or %d qt under pressure',
    (lb, litres, open, pressure) => {
      const load = { fatG: lb * G_PER_LB, waterMl: EIGHT_CUPS_ML, cut: 'ground' } as const;
      expect(loadVolumeMl(load) / 1000).toBeCloseTo(litres, 2);
      expect(smallestVesselMl(load, 'open-pot') / ML_PER_US_QUART).toBeCloseTo(open, 1);
      expect(smallestVesselMl(load, 'pressure') / ML_PER_US_QUART).toBeCloseTo(pressure, 1);
    },
  );

  // Component densities at 20 °C, ASHRAE Handbook, Refrigeration: fat 917.24, protein 1319.5; water 998.2 kg/m³.
  it('weighs as much a millilitre as its fat, water and protein do, between suet and trimmings', () => {
    const density = ({ fat, water }: (typeof RAW_FAT)[keyof typeof RAW_FAT], protein: number) =>
      (fat + water + protein) / (fat / 0.91724 + water / 0.9982 + protein / 1.3195);
    // Protein: USDA SR Legacy, NDB 13335 and 13019.
    const [suet, trimmings] = [density(RAW_FAT.suet, 0.015), density(RAW_FAT.trimmings, 0.0821)];
    expect(suet).toBeCloseTo(0.92, 2);
    expect(trimmings).toBeCloseTo(0.96, 2);
    expect(RAW_FAT_DENSITY_G_PER_ML).toBeGreaterThan(suet);
    expect(RAW_FAT_DENSITY_G_PER_ML).toBeLessThan(trimmings);
  });

  it('lets water fill the gaps between cubes before it rises above them', () => {
    const dry = loadVolumeMl({ fatG: 940, waterMl: 0, cut: 'cubed' });
    expect(dry).toBeGreaterThan(1000);
    expect(loadVolumeMl({ fatG: 940, waterMl: 200, cut: 'cubed' })).toBe(dry);
    expect(loadVolumeMl({ fatG: 940, waterMl: 2000, cut: 'cubed' })).toBe(3000);
  });

  it('never gets smaller with more fat or more water, and coarser pieces never take less room', () => {
    const amount = fc.double({ min: 0, max: 1e6, noNaN: true });
    fc.assert(
      fc.property(amount, amount, amount, fc.constantFrom(...CUTS), (fatG, waterMl, more, { value: cut }) => {
        const volume = loadVolumeMl({ fatG, waterMl, cut });
        expect(loadVolumeMl({ fatG: fatG + more, waterMl, cut })).toBeGreaterThanOrEqual(volume);
        expect(loadVolumeMl({ fatG, waterMl: waterMl + more, cut })).toBeGreaterThanOrEqual(volume);
        expect(loadVolumeMl({ fatG, waterMl, cut: 'cubed' })).toBeGreaterThanOrEqual(volume);
      }),
    );
  });

  it('fills a pressure cooker to half and anything else to two thirds', () => {
    for (const { value } of METHODS) expect(fillLimit(value)).toBe(value === 'pressure' ? 1 / 2 : 2 / 3);
  });

  it('of a negative or endless size throws', () => {
    expect(() => loadVolumeMl({ fatG: -1, waterMl: 0, cut: 'ground' })).toThrow(RangeError);
    expect(() => loadVolumeMl({ fatG: 1, waterMl: Number.POSITIVE_INFINITY, cut: 'ground' })).toThrow(
      RangeError,
    );
  });
});
