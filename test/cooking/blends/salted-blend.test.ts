import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  CLOSEST_PACKING,
  type SaltedBlendRequest,
  saltedBlendOf,
  saltGOf,
} from '../../../src/cooking/blends/salted-blend.js';
import { TALLOW_DENSITY_G_PER_ML } from '../../../src/cooking/blends/tallow.js';
import { workingOf } from '../../../src/cooking/working.js';
import { ML_PER_US_CUP, ML_PER_US_TBSP, ML_PER_US_TSP } from '../../../src/words/units.js';

/** Stops what grows in low-acid food: 10 % (the source botulism-limits). */
const PRESERVING_SALT_IN_WATER = 0.1;

const cupG = ML_PER_US_CUP * TALLOW_DENSITY_G_PER_ML.pouring;
const verdicts = (request: SaltedBlendRequest) =>
  saltedBlendOf(request).effects.map(({ verdict }) => verdict);

describe('the usual salted blend', () => {
  const blend = saltedBlendOf({ tallowG: cupG });

  // Common practice, no source: 1 cup tallow, ½ cup water, ⅛ tsp salt, ⅛ tsp xanthan gum.
  it('is half a cup of water and an eighth of a teaspoon of each powder to a cup of tallow', () => {
    expect(blend.waterMl).toBeCloseTo(ML_PER_US_CUP / 2, 9);
    expect(blend.saltTsp).toBeCloseTo(1 / 8, 9);
    expect(blend.xanthanTsp).toBeCloseTo(1 / 8, 9);
  });

  // Worked out by hand from the USDA weights of salt (teaspoon 6.0 g, 38,758 mg sodium in 100 g) and water at 20 °C:
  // 0.75 g of salt in 118.1 g of water are 0.63 %; the whole holds about 90 mg of sodium in 100 g, 63 % fat and 36.5 %
  // water when a cup of tallow is 205 g (SR); 4 % is the spread of published densities.
  it('is nearly two thirds fat, with 0.63 % salt and about 0.3 % xanthan gum in its water', () => {
    expect(blend.saltInWater).toBeCloseTo(0.0063, 4);
    expect(blend.xanthanOfWater).toBeGreaterThan(0.0026);
    expect(blend.xanthanOfWater).toBeLessThan(0.0034);
    expect(Math.abs(blend.fatFraction - 0.63)).toBeLessThan(0.02);
    expect(Math.abs(blend.waterFraction - 0.365)).toBeLessThan(0.02);
    expect(Math.abs((0.75 * 387.58) / blend.totalG - 0.9)).toBeLessThan(0.03);
    expect(blend.fatVolumeFraction).toBeCloseTo(2 / 3, 9);
  });

  it('holds together, is thickened, and dissolves its salt', () => {
    expect(verdicts({ tallowG: cupG })).toEqual(['oil-in-water', 'xanthan-useful', 'salt-dissolves']);
  });

  it('is kept by nothing but the cold, for 7 days', () => {
    expect(blend.saltInWater).toBeLessThan(PRESERVING_SALT_IN_WATER);
    expect(blend.keeps.refrigerator.daysHigh).toBe(7);
  });

  // By hand: a tablespoon is a 24th of the 1 ½ cups; 0.75 g × 387.58 mg/g ÷ 24.
  it('has 12 mg of sodium in a tablespoon', () => {
    expect(blend.sodiumMgPerTbsp).toBeCloseTo((0.75 * 387.58) / 24, 6);
  });
});

describe('other amounts', () => {
  it('2 cups of tallow in 3 tablespoons of water may break and turn gummy', () => {
    const request = { tallowG: 2 * cupG, waterMl: 3 * ML_PER_US_TBSP };
    expect(verdicts(request)).toEqual(['may-break', 'xanthan-gummy', 'salt-dissolves']);
    const { fatVolumeFraction, leastWaterMl } = saltedBlendOf(request);
    expect(fatVolumeFraction).toBeCloseTo(32 / 35, 9);
    expect(verdicts({ ...request, waterMl: leastWaterMl * 1.001 })[0]).toBe('oil-in-water');
    const waterG = 3 * ML_PER_US_TBSP * 0.9982;
    expect(verdicts({ ...request, xanthanG: 0.00499 * waterG })[1]).toBe('xanthan-useful');
  });

  it('much water makes it thin', () => {
    expect(verdicts({ tallowG: cupG, waterMl: 2 * ML_PER_US_CUP, xanthanG: 0.1 })).toEqual([
      'more-water-than-fat',
      'xanthan-too-thin',
      'salt-dissolves',
    ]);
  });

  // Salt dissolves to 26.4 % of the brine by weight (solubility tables): 42.3 g in half a cup of water.
  it('salt beyond what the water takes stays gritty', () => {
    const brine = saltedBlendOf({ tallowG: cupG, saltG: 50 });
    expect(brine.effects[2]?.verdict).toBe('salt-gritty');
    expect(Math.abs(50 - brine.undissolvedSaltG - 42.3)).toBeLessThan(0.2);
  });

  // By hand: 13.1 g, about 2 ¼ tsp, bring the salt in half a cup of water to 10 %.
  it('takes some 2 ¼ teaspoons of salt to reach 10 % in its water', () => {
    expect(saltedBlendOf({ tallowG: cupG, saltG: 13 }).saltInWater).toBeLessThan(PRESERVING_SALT_IN_WATER);
    expect(saltedBlendOf({ tallowG: cupG, saltG: 13.2 }).saltInWater).toBeGreaterThan(
      PRESERVING_SALT_IN_WATER,
    );
    expect(saltGOf(2.25 * ML_PER_US_TSP)).toBeCloseTo(13.5, 9);
  });

  // Close packing of equal balls, π ÷ (3 √2): mathematics.
  it('breaks beyond 74 % fat by volume', () => {
    expect(CLOSEST_PACKING).toBeCloseTo(0.7405, 4);
  });

  it('adds up and scales: twice of everything is the same blend', () => {
    const amount = fc.double({ min: 0.1, max: 10_000, noNaN: true });
    fc.assert(
      fc.property(amount, amount, amount, amount, (tallowG, waterMl, saltG, xanthanG) => {
        const request = { tallowG, waterMl, saltG, xanthanG };
        const once = saltedBlendOf(request);
        const twice = saltedBlendOf({
          tallowG: 2 * tallowG,
          waterMl: 2 * waterMl,
          saltG: 2 * saltG,
          xanthanG: 2 * xanthanG,
        });
        expect(
          once.fatFraction + once.waterFraction + once.saltFraction + xanthanG / once.totalG,
        ).toBeCloseTo(1, 9);
        expect(twice.sodiumMgPerTbsp).toBeCloseTo(once.sodiumMgPerTbsp, 6);
        expect(twice.fatVolumeFraction).toBeCloseTo(once.fatVolumeFraction, 12);
        expect(twice.effects.map(({ verdict }) => verdict)).toEqual(
          once.effects.map(({ verdict }) => verdict),
        );
        workingOf([], [{ title: 'Blend', calculation: once.calculation }]);
      }),
    );
  });

  it('names what is wrong with an impossible figure', () => {
    expect(() => saltedBlendOf({ tallowG: 0 })).toThrow(/tallowG/);
    expect(() => saltedBlendOf({ tallowG: 1, waterMl: 0 })).toThrow(/waterMl/);
    expect(() => saltedBlendOf({ tallowG: 1, saltG: -1 })).toThrow(/saltG/);
    expect(() => saltedBlendOf({ tallowG: 1, xanthanG: Number.NaN })).toThrow(/xanthanG/);
  });
});
