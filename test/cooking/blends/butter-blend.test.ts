import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  BUTTER_BLEND_CAP_C,
  butterBlendFor,
  butterBlendOf,
  TALLOW_MELTS_C,
} from '../../../src/cooking/blends/butter-blend.js';
import { SALT_IN_BRINE_AT_MOST } from '../../../src/cooking/blends/composition.js';
import { workingOf } from '../../../src/cooking/working.js';
import { ML_PER_US_CUP } from '../../../src/words/units.js';

describe('butter and tallow', () => {
  // USDA SR records of salted butter (cup 227 g) and tallow (cup 205 g), worked out by hand: water 36.0 g or 8.3 %,
  // fat 90.1 %, sodium 338 mg in 100 g, salt 9.3 % of the water phase.
  const blend = butterBlendOf({ butterG: 227, butter: 'salted', tallowG: 205 });

  it('a cup of each holds what the USDA records say', () => {
    expect(blend.waterFraction).toBeCloseTo(0.083, 3);
    expect(blend.fatFraction).toBeCloseTo(0.901, 3);
    expect(blend.saltInWater).toBeCloseTo(0.093, 3);
    const sodiumMgPer100G = ((227 * 6.43) / blend.totalG) * 100;
    expect(Math.round(sodiumMgPer100G)).toBe(338);
    expect(blend.undissolvedSaltG).toBe(0);
  });

  it('a cup of butter is a cup', () => {
    expect(blend.butterMl).toBeCloseTo(ML_PER_US_CUP, 6);
  });

  // USDA SR: a tablespoon of salted butter is 14.2 g with 91 mg of sodium; half of it is tallow.
  it('a tablespoon has about half the sodium of one of butter', () => {
    expect(Math.abs(blend.sodiumMgPerTbsp - 91 / 2)).toBeLessThan(2.5);
  });

  it('melts below 100 °F, no hotter than tallow melts, and carries milk', () => {
    expect(BUTTER_BLEND_CAP_C).toBeCloseTo(37.7778, 4);
    expect(BUTTER_BLEND_CAP_C).toBeLessThan(TALLOW_MELTS_C.low);
    expect(blend.keeps.refrigerator.daysHigh).toBe(60);
    // US FALCPA, from memory: milk is a major allergen.
    expect(blend.keeps.note).toMatch(/^Contains milk\./);
  });

  it('meets a total, a ratio by volume and a share of salt', () => {
    const made = butterBlendFor({
      total: { g: 1000 },
      butter: 'unsalted',
      butterToTallow: 2,
      saltFraction: 0.02,
    });
    if (!made.ok) throw new Error(made.problem);
    expect(made.totalG).toBeCloseTo(1000, 9);
    expect(made.butterMl / made.tallowMl).toBeCloseTo(2, 9);
    expect(made.saltFraction).toBeCloseTo(0.02, 9);
    expect(made.addedSaltG).toBeLessThan(20);
  });

  it('meets a total by volume', () => {
    const made = butterBlendFor({ total: { ml: 2 * ML_PER_US_CUP }, butter: 'salted' });
    if (!made.ok) throw new Error(made.problem);
    expect(made.totalMl).toBeCloseTo(2 * ML_PER_US_CUP, 6);
    expect(made.butterMl).toBeCloseTo(ML_PER_US_CUP, 6);
  });

  it('cannot be less salty than its salted butter', () => {
    const answer = butterBlendFor({ total: { g: 500 }, butter: 'salted', saltFraction: 0 });
    if (answer.ok || answer.problem !== 'butter-is-saltier') throw new Error('expected a problem');
    expect(answer.leastSaltFraction).toBeGreaterThan(0.005);
    expect(
      butterBlendFor({ total: { g: 500 }, butter: 'salted', saltFraction: answer.leastSaltFraction }).ok,
    ).toBe(true);
  });

  // Salt dissolves to 26.4 % of the brine by weight at room temperature (solubility tables).
  it('cannot hold more salt than the water of the butter dissolves', () => {
    const answer = butterBlendFor({ total: { g: 500 }, butter: 'unsalted', saltFraction: 0.2 });
    if (answer.ok || answer.problem !== 'salt-will-not-dissolve') throw new Error('expected a problem');
    const most = butterBlendFor({
      total: { g: 500 },
      butter: 'unsalted',
      saltFraction: answer.mostSaltFraction,
    });
    if (!most.ok) throw new Error(most.problem);
    expect(most.saltInWater).toBeCloseTo(SALT_IN_BRINE_AT_MOST, 6);
  });

  it('adds up, is finite, and has more sodium with more salt', () => {
    const grams = fc.double({ min: 1, max: 20_000, noNaN: true });
    fc.assert(
      fc.property(
        grams,
        grams,
        fc.double({ min: 0, max: 100, noNaN: true }),
        fc.constantFrom('salted' as const, 'unsalted' as const),
        (butterG, tallowG, addedSaltG, butter) => {
          const made = butterBlendOf({ butterG, butter, tallowG, addedSaltG });
          expect(made.fatFraction + made.waterFraction + made.saltFraction).toBeLessThanOrEqual(1 + 1e-9);
          expect(made.fatFraction).toBeGreaterThan(0);
          const saltier = butterBlendOf({ butterG, butter, tallowG, addedSaltG: addedSaltG + 1 });
          expect(saltier.sodiumMgPerTbsp).toBeGreaterThan(made.sodiumMgPerTbsp);
          expect(saltier.undissolvedSaltG).toBeGreaterThanOrEqual(made.undissolvedSaltG);
          workingOf([], [{ title: 'Blend', calculation: made.calculation }]);
        },
      ),
    );
  });

  it('names what is wrong with an impossible figure', () => {
    expect(() => butterBlendOf({ butterG: 0, butter: 'salted', tallowG: 5 })).toThrow(/butterG/);
    expect(() => butterBlendOf({ butterG: 5, butter: 'salted', tallowG: 5, addedSaltG: -1 })).toThrow(
      /addedSaltG/,
    );
    expect(() => butterBlendFor({ total: { ml: 0 }, butter: 'salted' })).toThrow(/ml/);
    expect(() => butterBlendFor({ total: { g: 1 }, butter: 'salted', butterToTallow: 0 })).toThrow(
      /butterToTallow/,
    );
    expect(() => butterBlendFor({ total: { g: 1 }, butter: 'salted', saltFraction: 2 })).toThrow(
      /saltFraction/,
    );
  });
});
