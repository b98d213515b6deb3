import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  COOLING_WAYS,
  type CoolingRequest,
  coolingDeadlines,
  coolingOf,
  FOOD_CODE_COOLING,
  waysThatCoolInTime,
} from '../../../src/cooking/cooling/cooling.js';
import { workingOf } from '../../../src/cooking/working.js';
import { celsiusFromFahrenheit } from '../../../src/words/units.js';

const HOUR = 3_600_000;
const deepPot = { depthCm: 20, widthCm: 30, startC: 98 };
const shallowPan = { depthCm: 5, widthCm: 25, startC: 98 };

const request: fc.Arbitrary<CoolingRequest> = fc.record({
  depthCm: fc.double({ min: 0.5, max: 140, noNaN: true }),
  widthCm: fc.double({ min: 0.5, max: 150, noNaN: true }),
  startC: fc.double({ min: 57, max: 125, noNaN: true }),
  way: fc.constantFrom(...COOLING_WAYS),
});

describe('the Food Code', () => {
  // FDA Food Code 3-501.14(A): 57 °C (135 °F) to 21 °C (70 °F) within 2 hours, to 5 °C (41 °F) within 6 hours in all.
  it('gives 2 hours to 70 °F and 6 in all to 41 °F', () => {
    const end = Date.UTC(2025, 10, 1, 18);
    expect(coolingDeadlines(end)).toEqual({ firstByMs: end + 2 * HOUR, lastByMs: end + 6 * HOUR });
    expect(FOOD_CODE_COOLING.firstC).toBeLessThanOrEqual(celsiusFromFahrenheit(70));
    expect(FOOD_CODE_COOLING.lastC).toBeLessThanOrEqual(celsiusFromFahrenheit(41));
  });

  it('needs an instant to count from', () => {
    expect(() => coolingDeadlines(Number.NaN)).toThrow(/finite/);
  });
});

describe('cooling', () => {
  // Common advice of food-safety bodies: a deep pot in a refrigerator does not cool in time; shallow pans and ice
  // baths do.
  it('does not happen in time for a deep pot on the counter or in the refrigerator', () => {
    for (const way of ['counter', 'refrigerator', 'ice-bath'] as const)
      expect(coolingOf({ ...deepPot, way }).meetsFoodCode).toBe(false);
    expect(waysThatCoolInTime(deepPot)).toEqual(['stirred-ice-bath']);
  });

  it('happens in time for a shallow pan in an ice bath', () => {
    expect(coolingOf({ ...shallowPan, way: 'ice-bath' }).meetsFoodCode).toBe(true);
    expect(waysThatCoolInTime(shallowPan)).toContain('ice-bath');
  });

  it('never gets to 41 °F in a warm room', () => {
    expect(coolingOf({ ...shallowPan, way: 'counter' })).toMatchObject({ lastMinutes: null, deepestCm: 0 });
  });

  it('says how deep a container of that width may be', () => {
    const { deepestCm } = coolingOf({ ...deepPot, way: 'ice-bath' });
    expect(deepestCm).toBeGreaterThanOrEqual(3);
    expect(coolingOf({ ...deepPot, depthCm: deepestCm, way: 'ice-bath' }).meetsFoodCode).toBe(true);
    expect(coolingOf({ ...deepPot, depthCm: deepestCm + 1, way: 'ice-bath' }).meetsFoodCode).toBe(false);
  });

  it('is finite, in order, and slower for what is deeper, wider or hotter', () => {
    const orNever = (minutes: number | null) => minutes ?? Number.POSITIVE_INFINITY;
    fc.assert(
      fc.property(request, (any) => {
        const here = coolingOf(any);
        expect(orNever(here.firstMinutes)).toBeGreaterThan(0);
        expect(orNever(here.lastMinutes)).toBeGreaterThanOrEqual(orNever(here.firstMinutes));
        for (const more of [
          { ...any, depthCm: any.depthCm + 1 },
          { ...any, widthCm: Math.min(150, any.widthCm + 1) },
          { ...any, startC: any.startC + 1 },
        ])
          expect(orNever(coolingOf(more).lastMinutes)).toBeGreaterThanOrEqual(
            orNever(here.lastMinutes) * (1 - 1e-12),
          );
        expect(here.meetsFoodCode).toBe(waysThatCoolInTime(any).includes(any.way));
        workingOf([], [{ title: 'Cooling', calculation: here.calculation }]);
      }),
    );
  });

  it('is faster in an ice bath than in a refrigerator, and faster still when stirred', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 40 }), (depthCm) => {
        const [, cold = 0, ice = 0, stirred = 0] = COOLING_WAYS.map(
          (way) => coolingOf({ depthCm, widthCm: 30, startC: 98, way }).lastMinutes ?? 0,
        );
        expect(ice).toBeLessThan(cold);
        expect(stirred).toBeLessThan(ice);
      }),
    );
  });

  it('names what is wrong with an impossible figure', () => {
    expect(() => coolingOf({ ...deepPot, depthCm: 0, way: 'counter' })).toThrow(/depthCm/);
    expect(() => coolingOf({ ...deepPot, startC: 20, way: 'counter' })).toThrow(/21 to 130 °C/);
  });
});
