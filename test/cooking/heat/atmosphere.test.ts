import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ambientPressureKPa } from '../../../src/cooking/heat/atmosphere.js';
import { KPA_PER_PSI, M_PER_FT } from '../../../src/words/units.js';

describe('standard pressure by altitude', () => {
  // U.S. Standard Atmosphere, 1976, geometric heights, in hPa (printed rows from memory).
  it.each([
    [0, 1013.25],
    [500, 954.61],
    [1000, 898.76],
    [1500, 845.59],
    [2000, 795.01],
    [3000, 701.21],
  ])('at %d m it is %d hPa', (altitudeM, hPa) => {
    expect(Math.abs(ambientPressureKPa(altitudeM) * 10 - hPa)).toBeLessThan(0.01);
  });

  // A handbook table in feet and psia, as read in a stored copy; it agrees within 0.3 %.
  it.each([
    [500, 14.43],
    [1000, 14.175],
    [2000, 13.664],
    [3000, 13.173],
    [5000, 12.23],
    [10_000, 10.108],
  ])('at %d ft it is near %d psi', (feet, psia) => {
    const psi = ambientPressureKPa(feet * M_PER_FT) / KPA_PER_PSI;
    expect(Math.abs(psi / psia - 1)).toBeLessThan(0.003);
  });

  it('falls with height, everywhere', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -2000, max: 10_999, noNaN: true }),
        fc.double({ min: 0.01, max: 1, noNaN: true }),
        (altitudeM, moreM) => {
          expect(ambientPressureKPa(altitudeM + moreM)).toBeLessThan(ambientPressureKPa(altitudeM));
        },
      ),
    );
  });

  it('names its range when asked beyond it', () => {
    for (const altitudeM of [20_000, -2001, Number.NaN, Number.POSITIVE_INFINITY])
      expect(() => ambientPressureKPa(altitudeM)).toThrow(/-2000 to 11000/);
  });
});
