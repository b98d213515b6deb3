import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type CoolingRequest,
  coolingOf,
  FOOD_CODE_COOLING,
  iceG,
  PAN_WAYS,
  POT_WAYS,
  waysThatCoolInTime,
} from '../../../src/cooking/cooling/cooling.js';
import { workingOf } from '../../../src/cooking/working.js';
import { celsiusFromFahrenheit } from '../../../src/words/units.js';

const COOLING_WAYS = [...POT_WAYS, 'pan-in-ice'] as const;
const deepPot = { depthCm: 20, widthCm: 30, startC: 98 };
const shallowPan = { depthCm: 3, widthCm: 25, startC: 98 };

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
    expect(waysThatCoolInTime(deepPot, POT_WAYS)).toEqual(['ice-bath']);
  });

  it('happens in time for a shallow pan on ice', () => {
    expect(waysThatCoolInTime(shallowPan, PAN_WAYS)).toContain('pan-in-ice');
  });

  // Computed elsewhere, in one dimension: broth that moves under set fat (0.17 W/(m K)), 5.3 L in a pot of 22.9 cm.
  it('takes as long in an ice bath as a model of broth that stirs itself', () => {
    const depthCm = 5300 / (Math.PI * 11.45 ** 2);
    const { firstMinutes, lastMinutes } = coolingOf({ depthCm, widthCm: 22.9, startC: 100, way: 'ice-bath' });
    expect(Math.abs((firstMinutes ?? 0) / 49 - 1)).toBeLessThan(0.2);
    expect(Math.abs((lastMinutes ?? 0) / 108 - 1)).toBeLessThan(0.1);
  });

  // Heat of melting of ice, 334 kJ/kg (steam tables): 1 L × 3.6 kJ/K × 95 K ÷ 355 kJ/kg.
  it('takes about a kilogram of ice a litre', () => {
    expect(iceG({ contentsMl: 1000, startC: 100 }) / 1000).toBeCloseTo(0.96, 1);
  });

  it('never gets to 41 °F in a warm room', () => {
    expect(coolingOf({ ...shallowPan, way: 'counter' })).toMatchObject({ lastMinutes: null });
  });

  it('happens in time in a still ice bath up to some depth, and beyond it no more', () => {
    const inTime = (depthCm: number) =>
      waysThatCoolInTime({ ...deepPot, depthCm }, POT_WAYS).includes('ice-bath');
    const depths = Array.from({ length: 100 }, (_, at) => at + 1);
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
        expect(waysThatCoolInTime(any, [any.way]).includes(any.way)).toBe(
          orNever(firstMinutes) <= 120 && orNever(lastMinutes) <= 360,
        );
        workingOf([], [{ title: 'Cooling', calculation: here.calculation }]);
      }),
    );
  });

  it('is faster on ice than in a refrigerator, and faster still where the broth stirs itself', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 40 }), (depthCm) => {
        const [, cold = 0, moving = 0, ice = 0] = COOLING_WAYS.map(
          (way) => coolingOf({ depthCm, widthCm: 30, startC: 98, way }).lastMinutes ?? 0,
        );
        expect(ice).toBeLessThan(cold);
        expect(moving).toBeLessThan(ice);
      }),
    );
  });

  it('names what is wrong with an impossible figure', () => {
    expect(() => coolingOf({ ...deepPot, depthCm: 0, way: 'counter' })).toThrow(/depthCm/);
    expect(() => coolingOf({ ...deepPot, startC: 20, way: 'counter' })).toThrow(/from 21 to 130/);
  });
});
