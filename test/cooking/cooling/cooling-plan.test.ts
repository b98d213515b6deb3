import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { FOOD_CODE_COOLING } from '../../../src/cooking/cooling/cooling.js';
import { type CoolingPlanRequest, coolingPlanOf } from '../../../src/cooking/cooling/cooling-plan.js';

const stockpot = { contentsMl: 8000, vesselMl: 12_000, startC: 98, lateMinutes: 15 } as const;

function planned(request: CoolingPlanRequest) {
  const plan = coolingPlanOf(request);
  if (!plan.ok) throw new Error(plan.problem);
  return plan;
}

describe('getting a pot cold in time', () => {
  it('leaves a deep pot alone in an ice bath, with the ice that takes', () => {
    expect(planned(stockpot)).toMatchObject({ where: 'pot', way: 'ice-bath' });
    expect(planned(stockpot).iceG / 8000).toBeCloseTo(0.94, 1);
  });

  it('takes shallow pans for a pot that even that leaves warm', () => {
    const plan = planned({ ...stockpot, contentsMl: 60_000, vesselMl: 90_000 });
    expect(plan.where).toBe('shallow pans');
    expect(plan.depthCm).toBeLessThanOrEqual(3);
    // Charts of pan volumes: one of 9 by 13 by 2 in holds 3.3 to 3.5 L to its rim.
    expect(60_000 / plan.containers).toBeLessThanOrEqual(0.7 * 3300);
  });

  it('has no way left when it comes too late', () => {
    expect(coolingPlanOf({ ...stockpot, lateMinutes: 119 })).toEqual({
      ok: false,
      problem: 'too-late-to-cool',
      lateMinutes: 119,
    });
  });

  // FDA Food Code 3-501.14(A).
  it('always meets the Food Code when it is begun within a quarter of an hour', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 100, max: 130_000 }),
        fc.double({ min: 1.5, max: 10, noNaN: true }),
        fc.double({ min: 80, max: 125, noNaN: true }),
        (contentsMl, share, startC) => {
          const plan = planned({ contentsMl, vesselMl: contentsMl * share, startC, lateMinutes: 15 });
          expect(15 + plan.firstMinutes).toBeLessThanOrEqual(FOOD_CODE_COOLING.firstMinutes);
          expect(15 + plan.lastMinutes).toBeLessThanOrEqual(FOOD_CODE_COOLING.lastMinutes);
          expect(plan.firstMinutes).toBeLessThanOrEqual(plan.lastMinutes);
        },
      ),
    );
  });

  it('names what is wrong with an impossible figure', () => {
    expect(() => coolingPlanOf({ ...stockpot, contentsMl: 0 })).toThrow(/contentsMl/);
    expect(() => coolingPlanOf({ ...stockpot, lateMinutes: -1 })).toThrow(/lateMinutes/);
  });
});
