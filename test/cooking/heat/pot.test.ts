import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { depthM, dryLossW, isPossiblePot, potShape } from '../../../src/cooking/heat/pot.js';

describe('the shape of a pot', () => {
  it('is as tall as wide when nothing else is known', () => {
    const { diameterM, heightM } = potShape(10_000);
    expect(diameterM).toBeCloseTo(0.2335, 4);
    expect(heightM).toBeCloseTo(diameterM, 12);
  });

  it('holds its capacity, whatever its width', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 500, max: 200_000 }),
        fc.option(fc.integer({ min: 5, max: 150 }), { nil: undefined }),
        (capacityMl, diameterCm) => {
          const shape = potShape(capacityMl, diameterCm);
          expect(depthM(shape, capacityMl)).toBeCloseTo(shape.heightM, 12);
          expect((shape.topM2 * shape.heightM * 1e6) / capacityMl).toBeCloseTo(1, 12);
          expect(shape.sideM2).toBeCloseTo(Math.PI * shape.diameterM * shape.heightM, 12);
        },
      ),
    );
  });

  it('is possible from a low tray to a tall kettle, and impossible far beyond either', () => {
    expect(isPossiblePot(potShape(8000))).toBe(true);
    expect(isPossiblePot(potShape(8000, 50))).toBe(true);
    // 8 L in 100 cm are 1 cm deep, in 8 cm they are 159 cm tall.
    expect(isPossiblePot(potShape(8000, 100))).toBe(false);
    expect(isPossiblePot(potShape(8000, 8))).toBe(false);
  });

  it('is always possible when no width is known', () => {
    fc.assert(
      fc.property(fc.integer({ min: 900, max: 200_000 }), (capacityMl) => {
        expect(isPossiblePot(potShape(capacityMl))).toBe(true);
      }),
    );
  });

  it('names what is wrong with an impossible size', () => {
    expect(() => potShape(0)).toThrow(/capacityMl/);
    expect(() => potShape(1000, 2)).toThrow(/5 to 150/);
  });
});

describe('what a hot pot loses apart from steam', () => {
  it('is a gas burner’s lowest flame or so for a stock pot', () => {
    // 8 qt, 10 in wide: 0.17 m² of outside, 80 °C above the room, at 12 W for each.
    expect(dryLossW({ vesselMl: 7571, potDiameterCm: 25.4, boilC: 100 })).toBeCloseTo(163, 0);
  });

  it('grows with the pot and with its heat, and is nothing in a pot as warm as the room', () => {
    const pot = { vesselMl: 8000, boilC: 100 };
    expect(dryLossW({ ...pot, vesselMl: 16_000 })).toBeGreaterThan(dryLossW(pot));
    expect(dryLossW({ ...pot, boilC: 115 })).toBeGreaterThan(dryLossW(pot));
    expect(dryLossW({ ...pot, boilC: 20 })).toBe(0);
    expect(() => dryLossW({ ...pot, vesselMl: 0 })).toThrow(/capacityMl/);
  });
});
