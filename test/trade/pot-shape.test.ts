import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { depthM, potShape } from '../../src/trade/pot-shape.js';

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

  it('names what is wrong with an impossible size', () => {
    expect(() => potShape(0)).toThrow(/capacityMl/);
    expect(() => potShape(1000, 2)).toThrow(/5 to 150/);
  });
});
