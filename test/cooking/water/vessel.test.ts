import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fillLimit, loadVolumeMl } from '../../../src/cooking/water/packing.js';
import { vesselFor } from '../../../src/cooking/water/vessel.js';
import { CUTS, METHODS } from '../../../src/words/methods.js';
import { G_PER_LB, ML_PER_US_CUP, ML_PER_US_QUART } from '../../../src/words/units.js';

const load = fc.record({
  fatG: fc.integer({ min: 100, max: 100_000 }),
  waterMl: fc.integer({ min: 0, max: 100_000 }),
  cut: fc.constantFrom(...CUTS.map(({ value }) => value)),
});
const method = fc.constantFrom(...METHODS.map(({ value }) => value));

describe('the smallest vessel for a load', () => {
  // Worked out by hand from 0.94 g/mL: 8 cups and 2 or 3 lb are 2.86 and 3.34 L; half full needs 6.0 and 7.1 US
  // quarts, two thirds full 4.5 and 5.3.
  it.each([
    [2, 'pressure', 6],
    [3, 'pressure', 7.1],
    [2, 'open-pot', 4.5],
    [3, 'open-pot', 5.3],
  ] as const)('for %d lb in 8 cups, %s, is %d quarts', (pounds, how, quarts) => {
    const need = vesselFor({ fatG: pounds * G_PER_LB, waterMl: 8 * ML_PER_US_CUP, cut: 'ground' }, how);
    expect(Math.abs(need.vesselMl / ML_PER_US_QUART - quarts)).toBeLessThan(0.06);
  });

  it('goes up to the next size that is sold', () => {
    const need = vesselFor({ fatG: 2.5 * G_PER_LB, waterMl: 8 * ML_PER_US_CUP, cut: 'ground' }, 'open-pot');
    expect(need.soldSizeMl).toBeCloseTo(5 * ML_PER_US_QUART, 6);
  });

  it('knows no pot that is large enough for everything', () => {
    expect(vesselFor({ fatG: 100_000, waterMl: 100_000, cut: 'ground' }, 'open-pot').soldSizeMl).toBeNull();
  });

  it('is filled to its limit by the load, and grows with fat and with water', () => {
    fc.assert(
      fc.property(load, method, (any, how) => {
        const need = vesselFor(any, how);
        expect(loadVolumeMl(any) / need.vesselMl).toBeCloseTo(fillLimit(how), 12);
        expect(vesselFor({ ...any, fatG: any.fatG + 100 }, how).vesselMl).toBeGreaterThan(need.vesselMl);
        expect(vesselFor({ ...any, waterMl: any.waterMl + 100 }, how).vesselMl).toBeGreaterThanOrEqual(
          need.vesselMl,
        );
        if (need.soldSizeMl !== null) expect(need.soldSizeMl).toBeGreaterThanOrEqual(need.vesselMl);
      }),
    );
  });
});
