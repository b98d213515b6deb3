import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { boilOff } from '../../../src/cooking/heat/boil-off.js';
import { type TopUpRequest, topUps } from '../../../src/cooking/water/top-ups.js';

const LIDS = ['on', 'ajar', 'off'] as const;

const rate = (mlPerHour: number) => ({
  mlPerHour,
  mlPerHourLow: mlPerHour / 2,
  mlPerHourHigh: mlPerHour * 2,
});

const request: fc.Arbitrary<TopUpRequest> = fc.record({
  waterMl: fc.integer({ min: 10, max: 50_000 }),
  minutes: fc.integer({ min: 1, max: 1440 }),
  boilOff: fc.double({ min: 0, max: 20_000, noNaN: true }).map(rate),
});

describe('how long the water lasts', () => {
  it('needs no top-up while a third is left', () => {
    const plan = topUps({ waterMl: 3000, minutes: 120, boilOff: rate(1000) });
    expect(plan).toMatchObject({
      ok: true,
      enough: true,
      topUps: [],
      dryAtMinutes: 180,
      biggerStartMl: 3000,
    });
    expect(plan.ok && plan.waterLeftMl).toBeCloseTo(1000, 9);
  });

  // A choice of ours, no source: nobody tops up more often than every ten minutes.
  it('asks for nothing more often than every ten minutes', () => {
    expect(topUps({ waterMl: 3000, minutes: 20, boilOff: rate(9000) })).toMatchObject({ ok: true });
    expect(topUps({ waterMl: 3000, minutes: 15, boilOff: rate(12_600) })).toMatchObject({ ok: false });
  });

  it('spreads equal top-ups over the render', () => {
    const plan = topUps({ waterMl: 3000, minutes: 300, boilOff: rate(1000) });
    expect(
      plan.ok && plan.topUps.map(({ atMinutes, ml }) => [Math.round(atMinutes), Math.round(ml)]),
    ).toEqual([
      [105, 1500],
      [195, 1500],
    ]);
    expect(plan.biggerStartMl).toBeCloseTo(7500, 9);
  });

  it('never runs dry when nothing boils away', () => {
    expect(topUps({ waterMl: 1000, minutes: 600, boilOff: rate(0) })).toMatchObject({
      ok: true,
      enough: true,
      dryAtMinutes: null,
    });
  });

  it('gives up on a splash of water over a roaring burner, and says what would do', () => {
    const plan = topUps({ waterMl: 100, minutes: 240, boilOff: rate(3000) });
    expect(plan).toMatchObject({ ok: false, problem: 'boils-away-too-fast', dryAtMinutes: 2 });
    expect(plan.biggerStartMl).toBeCloseTo(18_000, 6);
  });

  it('always leaves a third and never holds more than at the start', () => {
    fc.assert(
      fc.property(request, (any) => {
        const plan = topUps(any);
        if (!plan.ok) return;
        const mlPerMinute = any.boilOff.mlPerHour / 60;
        const least = any.waterMl / 3 - 1e-6;
        let added = 0;
        for (const { atMinutes, ml } of plan.topUps) {
          const before = any.waterMl + added - mlPerMinute * atMinutes;
          added += ml;
          expect(before).toBeGreaterThanOrEqual(least);
          expect(before + ml).toBeLessThanOrEqual(any.waterMl + 1e-6);
          expect(atMinutes).toBeLessThan(any.minutes);
        }
        expect(plan.waterLeftMl).toBeGreaterThanOrEqual(least);
        expect(plan.waterLeftMl).toBeCloseTo(any.waterMl + added - mlPerMinute * any.minutes, 6);
      }),
    );
  });

  it('puts the dry times in order, and a bigger start makes top-ups needless', () => {
    fc.assert(
      fc.property(request, (any) => {
        const { dryAtLowMinutes, dryAtMinutes, dryAtHighMinutes, biggerStartMl } = topUps(any);
        const infinite = Number.POSITIVE_INFINITY;
        expect(dryAtLowMinutes ?? infinite).toBeLessThanOrEqual(dryAtMinutes ?? infinite);
        expect(dryAtMinutes ?? infinite).toBeLessThanOrEqual(dryAtHighMinutes ?? infinite);
        expect(topUps({ ...any, waterMl: biggerStartMl })).toMatchObject({ ok: true, enough: true });
      }),
    );
  });

  it('is never dry earlier with the lid further on', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 500, max: 100_000 }),
        fc.integer({ min: 0, max: 4000 }),
        fc.option(fc.integer({ min: 100, max: 60_000 }), { nil: undefined }),
        (vesselMl, altitudeM, powerW) => {
          const burner = powerW === undefined ? undefined : { powerW };
          const [on = 0, ajar = 0, off = 0] = LIDS.map(
            (lid) =>
              topUps({
                waterMl: vesselMl / 3,
                minutes: 240,
                boilOff: boilOff({ vesselMl, altitudeM, lid, burner }),
              }).dryAtMinutes ?? Number.POSITIVE_INFINITY,
          );
          expect(on).toBeGreaterThanOrEqual(ajar);
          expect(ajar).toBeGreaterThanOrEqual(off);
        },
      ),
    );
  });

  it('names what is wrong with an impossible figure', () => {
    expect(() => topUps({ waterMl: 0, minutes: 1, boilOff: rate(1) })).toThrow(/waterMl/);
    expect(() => topUps({ waterMl: 1, minutes: Number.NaN, boilOff: rate(1) })).toThrow(/minutes/);
    expect(() => topUps({ waterMl: 1, minutes: 1, boilOff: rate(-1) })).toThrow(/mlPerHour/);
  });
});
