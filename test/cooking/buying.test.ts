import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { costPerG, fatToBuy } from '../../src/cooking/buying.js';

const G_PER_LB = 453.59237;
const GALLON_OF_TALLOW_G = 3785.411784 * 0.89;

describe('raw fat to buy', () => {
  // Common practice, no source: ground fat gives 36 to 60 %; the middle is 48 %.
  it('is reckoned from the middle of what a cut gives, with the range', () => {
    const { fatG, fatLowG, fatHighG } = fatToBuy(480, 'trimmings', 'ground');
    expect(fatG).toBeCloseTo(1000, 9);
    expect([fatLowG, fatHighG]).toEqual([800, 480 / 0.36]);
    // Coarse cubes give 12 to 28 %: a gallon from the middle takes 37 lb, not the 62 lb of the low end.
    expect(fatToBuy(GALLON_OF_TALLOW_G, 'trimmings', 'cubed').fatG / G_PER_LB).toBeCloseTo(37.1, 1);
  });

  // USDA SR Legacy: suet 94.00 % fat (NDB 13335), separable fat 70.89 % (NDB 13019). 60 % of trimmings is 85 % of their
  // fat; 85 % of the fat of suet for a gallon takes 9 lb 5 oz.
  it('is less of suet, by the fat that it holds', () => {
    const suet = fatToBuy(GALLON_OF_TALLOW_G, 'suet', 'ground');
    const trimmings = fatToBuy(GALLON_OF_TALLOW_G, 'trimmings', 'ground');
    expect(suet.fatLowG / G_PER_LB).toBeCloseTo(9 + 5 / 16, 1);
    expect(trimmings.fatG / suet.fatG).toBeCloseTo(94 / 70.89, 9);
  });

  it('is in order, in proportion, and more than its tallow', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 1e6, noNaN: true }),
        fc.constantFrom('suet', 'trimmings'),
        fc.constantFrom('ground', 'minced', 'cubed'),
        (tallowG, kind, cut) => {
          const { fatG, fatLowG, fatHighG } = fatToBuy(tallowG, kind, cut);
          expect(tallowG).toBeLessThan(fatLowG);
          expect(fatLowG).toBeLessThan(fatG);
          expect(fatG).toBeLessThan(fatHighG);
          expect(fatToBuy(2 * tallowG, kind, cut).fatG / fatG).toBeCloseTo(2, 9);
        },
      ),
    );
    expect(() => fatToBuy(0, 'suet', 'ground')).toThrow(RangeError);
  });

  // Arithmetic: 1.99 a pound ÷ 0.48 is 4.15 a pound of tallow; 0.48 of energy for 480 g is 1 for a kilogram more.
  it('costs its price and the energy, spread over the tallow', () => {
    const fatPricePerG = 1.99 / G_PER_LB;
    const plain = costPerG({ tallowG: 480, fatG: 1000, fatPricePerG, energyCost: 0 });
    expect(plain * G_PER_LB).toBeCloseTo(1.99 / 0.48, 9);
    const withEnergy = costPerG({ tallowG: 480, fatG: 1000, fatPricePerG, energyCost: 0.48 });
    expect((withEnergy - plain) * 1000).toBeCloseTo(1, 9);
  });
});
