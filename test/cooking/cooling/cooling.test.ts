import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type CoolingRequest,
  coolingOf,
  FOOD_CODE_COOLING,
  waysThatCoolInTime,
} from '../../../src/cooking/cooling/cooling.js';
import { workingOf } from '../../../src/cooking/working.js';
import { celsiusFromFahrenheit } from '../../../src/words/units.js';

const COOLING_WAYS = ['counter', 'refrigerator', 'ice-bath', 'stirred-ice-bath'] as const;
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
    expect(FOOD_CODE_COOLING).toMatchObject({ firstMinutes: 2 * 60, lastMinutes: 6 * 60 });
    expect(FOOD_CODE_COOLING.firstC).toBeLessThanOrEqual(celsiusFromFahrenheit(70));
    expect(FOOD_CODE_COOLING.lastC).toBeLessThanOrEqual(celsiusFromFahrenheit(41));
  });
});

describe('cooling', () => {
  // Common advice of food-safety bodies: a deep pot in a refrigerator does not cool in time; shallow pans and ice
  // baths do.
  it('does not happen in time for a deep pot on the counter or in the refrigerator', () => {
    expect(waysThatCoolInTime(deepPot)).toEqual(['stirred-ice-bath']);
  });

  it('happens in time for a shallow pan in an ice bath', () => {
    expect(waysThatCoolInTime(shallowPan)).toContain('ice-bath');
  });

  it('never gets to 41 °F in a warm room', () => {
    expect(coolingOf({ ...shallowPan, way: 'counter' })).toMatchObject({ lastMinutes: null });
  });

  it('happens in time in a still ice bath up to some depth, and beyond it no more', () => {
    const inTime = (depthCm: number) => waysThatCoolInTime({ ...deepPot, depthCm }).includes('ice-bath');
    const depths = Array.from({ length: 20 }, (_, at) => at + 1);
    const deepestCm = depths.filter(inTime).length;
    expect(deepestCm).toBeGreaterThanOrEqual(3);
    expect(depths.map(inTime)).toEqual(depths.map((depthCm) => depthCm <= deepestCm));
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
        const { firstMinutes, lastMinutes } = here;
        expect(waysThatCoolInTime(any).includes(any.way)).toBe(
          orNever(firstMinutes) <= 120 && orNever(lastMinutes) <= 360,
        );
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
    expect(() => coolingOf({ ...deepPot, startC: 20, way: 'counter' })).toThrow(/from 21 to 130/);
  });
});
