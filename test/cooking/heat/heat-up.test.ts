import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { BurnerKind } from '../../../src/cooking/heat/burner.js';
import { type HeatUpRequest, heatUp } from '../../../src/cooking/heat/heat-up.js';
import { boilingPointC } from '../../../src/cooking/heat/steam.js';
import { workingOf } from '../../../src/cooking/working.js';

const LIDS = ['on', 'ajar', 'off'] as const;

const kitchen = {
  fatG: 1134,
  fatStartC: 4,
  waterMl: 1893,
  waterStartC: 20,
  boilC: boilingPointC(0),
  burner: { powerW: 1800, kind: 'electric' },
  lid: 'on',
  vesselMl: 5678,
} as const satisfies HeatUpRequest;

const request: fc.Arbitrary<HeatUpRequest> = fc.record({
  fatG: fc.integer({ min: 100, max: 60_000 }),
  rawFat: fc.constantFrom('suet' as const, 'trimmings' as const),
  fatStartC: fc.integer({ min: -30, max: 95 }),
  waterMl: fc.integer({ min: 200, max: 60_000 }),
  waterStartC: fc.integer({ min: 0, max: 95 }),
  boilC: fc.double({ min: 80, max: 125, noNaN: true }),
  burner: fc.record({
    powerW: fc.integer({ min: 300, max: 60_000 }),
    kind: fc.constantFrom<BurnerKind>('gas', 'electric', 'induction', 'outdoor gas'),
  }),
  lid: fc.constantFrom(...LIDS),
  vesselMl: fc.integer({ min: 2000, max: 200_000 }),
});

const minutesOf = (any: HeatUpRequest) => {
  const answer = heatUp(any);
  return answer.ok ? answer.minutes : Number.POSITIVE_INFINITY;
};

describe('the time to the boil', () => {
  // 2 L from 20 °C take 2 × 0.998 × 335 kJ: 669 kJ, which 1,000 W in the pot give in 11 minutes (steam tables, from
  // memory: liquid enthalpy 419 at 100 °C and 84 kJ/kg at 20 °C).
  it('is near what a kettle takes when there is only water', () => {
    const answer = heatUp({
      ...kitchen,
      fatG: 0,
      waterMl: 2000,
      vesselMl: 2000,
      burner: { powerW: 1000 / 0.84, kind: 'induction' },
    });
    if (!answer.ok) throw new Error(answer.problem);
    const water = answer.calculation.steps.find(({ name }) => name === 'Heat for the water');
    expect(Math.abs((water?.value ?? 0) - 669)).toBeLessThan(2);
    expect(answer.minutes).toBeGreaterThan(11.1);
    expect(answer.minutes).toBeLessThan(14);
  });

  it('is about a quarter of an hour for 2 lb 8 oz in 8 cups on an 1,800 W burner', () => {
    const answer = heatUp(kitchen);
    if (!answer.ok) throw new Error(answer.problem);
    expect(answer.minutes).toBeGreaterThan(10);
    expect(answer.minutes).toBeLessThan(25);
  });

  // From memory, not sure of it: fat takes 100 to 200 kJ/kg to melt between about 20 and 50 °C; the middle is taken.
  // Trimmings are 70.9 % fat (USDA FoodData Central, SR Legacy, separable fat, raw).
  it('counts the melting of the fat, 150 kJ for each kilogram of it, and none where it has melted', () => {
    const heatKJ = (fatStartC: number) => {
      const answer = heatUp({ ...kitchen, fatG: 1000, fatStartC });
      if (!answer.ok) throw new Error(answer.problem);
      return answer.calculation.steps.find(({ name }) => name === 'Heat for the raw fat')?.value ?? 0;
    };
    // Warming alone takes as much from 20 to 50 °C as it does from 50 to 80 °C, give or take a hundredth.
    const warmingKJ = heatKJ(50) - heatKJ(80);
    const meltingKJ = heatKJ(20) - heatKJ(50) - warmingKJ;
    expect(Math.abs(meltingKJ - 0.709 * 150)).toBeLessThan(2);
    // From a refrigerator it is all still to melt; half-way, half of it is.
    expect(heatKJ(35) - heatKJ(65) - warmingKJ).toBeCloseTo(meltingKJ / 2, 0);
  });

  it('is longer from the freezer, by the thawing of the water in the fat', () => {
    expect(
      minutesOf({ ...kitchen, fatStartC: -18 }) - minutesOf({ ...kitchen, fatStartC: 0 }),
    ).toBeGreaterThan(1);
  });

  it('is refused when the pot loses heat as fast as it gets it', () => {
    const answer = heatUp({ ...kitchen, vesselMl: 60_000, burner: { powerW: 300 }, lid: 'off' });
    expect(answer).toMatchObject({ ok: false, problem: 'power-too-low', powerW: 300 });
    if (answer.ok || answer.problem !== 'power-too-low') return;
    expect(
      heatUp({ ...kitchen, vesselMl: 60_000, lid: 'off', burner: { powerW: answer.neededW * 1.5 } }).ok,
    ).toBe(true);
  });

  it('is refused for 900 W under 60 kg of fat', () => {
    const answer = heatUp({
      ...kitchen,
      fatG: 60_000,
      waterMl: 100_000,
      vesselMl: 260_000,
      burner: { powerW: 900, kind: 'electric' },
    });
    expect(answer.ok).toBe(false);
  });

  it('is refused when it would take more than half a day', () => {
    const answer = heatUp({
      ...kitchen,
      fatG: 20_000,
      waterMl: 33_000,
      vesselMl: 80_000,
      burner: { powerW: 1300, kind: 'electric' },
      lid: 'on',
    });
    expect(answer).toMatchObject({ ok: false, problem: 'too-slow', longestMinutes: 720 });
  });

  it('is finite', () => {
    fc.assert(
      fc.property(request, (any) => {
        const answer = heatUp(any);
        if (!answer.ok) return;
        expect(answer.minutes).toBeGreaterThanOrEqual(0);
        expect(Number.isFinite(answer.minutes)).toBe(true);
        workingOf([], [{ title: 'Heat-up', calculation: answer.calculation }]);
      }),
    );
  });

  it('is no shorter for more fat, more water, a colder start, a weaker burner or an open lid', () => {
    fc.assert(
      fc.property(request, (any) => {
        const here = minutesOf({ ...any, fatStartC: 4, waterStartC: 20 }) - 1e-9;
        const base = { ...any, fatStartC: 4, waterStartC: 20 };
        expect(minutesOf({ ...base, fatG: any.fatG * 1.2 })).toBeGreaterThanOrEqual(here);
        expect(minutesOf({ ...base, waterMl: any.waterMl * 1.2 })).toBeGreaterThanOrEqual(here);
        expect(minutesOf({ ...base, waterStartC: 10 })).toBeGreaterThanOrEqual(here);
        expect(
          minutesOf({ ...base, burner: { ...any.burner, powerW: any.burner.powerW * 0.9 } }),
        ).toBeGreaterThanOrEqual(here);
        const [on = 0, ajar = 0, off = 0] = LIDS.map((lid) => minutesOf({ ...base, lid }));
        expect(on).toBeLessThanOrEqual(ajar);
        expect(ajar).toBeLessThanOrEqual(off);
      }),
    );
  });

  it('names what is wrong with an impossible figure', () => {
    expect(() => heatUp({ ...kitchen, fatG: -1 })).toThrow(/fatG/);
    expect(() => heatUp({ ...kitchen, fatStartC: -80 })).toThrow(/fatStartC must be from -30 to 95, not -80/);
    expect(() => heatUp({ ...kitchen, waterStartC: -1 })).toThrow(/waterStartC/);
    expect(() => heatUp({ ...kitchen, boilC: 200 })).toThrow(/boilC must be from 70 to 130/);
    expect(() => heatUp({ ...kitchen, burner: { powerW: 0 } })).toThrow(/powerW/);
  });
});
