import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { depthM, isPossiblePot, potShape } from '../../../src/cooking/heat/pot-shape.js';

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
