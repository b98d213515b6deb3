import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { SMOKE_STRENGTHS, smokeOf } from '../../../src/cooking/blends/smoke.js';
import { pouringMl } from '../../../src/cooking/blends/tallow.js';

describe('smoking tallow', () => {
  // Common practice, no source: about 2 hours light, about 6 strong, 8 to 12 heavy.
  it.each([
    ['light', 2, 2],
    ['strong', 6, 6],
    ['heavy', 8, 12],
  ] as const)('to %s takes %d to %d hours', (strength, hoursLow, hoursHigh) => {
    expect(smokeOf({ tallowG: 1000, strength })).toMatchObject({ hoursLow, hoursHigh });
  });

  // Common practice, no source: an inch of fat, and an inch of rim that keeps it off the coals.
  it('is in a pan twice as deep as the fat stands in it', () => {
    const { depthCm, panDepthCm } = smokeOf({ tallowG: 1000, strength: 'light' });
    expect([depthCm, panDepthCm]).toEqual([2.5, 5]);
  });

  it('needs a shallow pan: a litre takes 20 cm square', () => {
    const smoke = smokeOf({ tallowG: 890, strength: 'light' });
    expect(smoke.areaCm2).toBeCloseTo(20 * 20, 9);
    expect(smoke).toMatchObject({ pans: 1, pan: { name: '8 in square' } });
  });

  it('keeps above 140 °F', () => {
    expect(smokeOf({ tallowG: 890, strength: 'light' }).holdAboveC).toBe(60);
  });

  it('has pans that hold the fat, and hours in order', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 50_000, noNaN: true }),
        fc.constantFrom(...SMOKE_STRENGTHS),
        (tallowG, strength) => {
          const { pan, pans, depthCm, hours, hoursLow, hoursHigh } = smokeOf({ tallowG, strength });
          expect(pans * pan.widthCm * pan.lengthCm * depthCm).toBeGreaterThanOrEqual(
            pouringMl(tallowG) - 1e-3,
          );
          expect(hoursLow).toBeLessThanOrEqual(hours);
          expect(hours).toBeLessThanOrEqual(hoursHigh);
        },
      ),
    );
  });

  it('needs some tallow', () => {
    for (const tallowG of [0, -1, Number.NaN])
      expect(() => smokeOf({ tallowG, strength: 'light' })).toThrow(/tallowG/);
  });
});
