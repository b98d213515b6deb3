import { describe, expect, it } from 'vitest';
import {
  BUTTER,
  householdDensityGPerMl,
  RAW_FAT,
  SALT,
  TALLOW,
} from '../../../src/cooking/blends/composition.js';
import { TALLOW_DENSITY_G_PER_ML } from '../../../src/cooking/blends/tallow.js';

describe('published composition', () => {
  it('never adds up to more than the food', () => {
    for (const food of [RAW_FAT.suet, RAW_FAT.trimmings, TALLOW, BUTTER.salted, BUTTER.unsalted, SALT])
      expect(food.fat + food.water + food.protein).toBeLessThanOrEqual(1);
  });

  // 21 USC 321a (from memory): butter holds at least 80 % milkfat.
  it('keeps butter within the law', () => {
    for (const butter of Object.values(BUTTER)) expect(butter.fat).toBeGreaterThanOrEqual(0.8);
  });

  // Sodium is 39.3 % of sodium chloride by molar mass; the table salt of the record is a little damp.
  it('has the sodium of table salt near that of sodium chloride', () => {
    expect(Math.abs(SALT.sodiumMgPerG / (22.99 / 58.443) / 1000 - 1)).toBeLessThan(0.02);
  });
});

describe('household weights against densities', () => {
  // USDA SR: cup of tallow 205 g, tablespoon 12.8 g. Published densities of tallow differ by 4 %.
  it('puts a cup and a tablespoon of tallow within 4 % of the density when poured', () => {
    for (const measure of ['cup', 'tbsp'] as const) {
      const gPerMl = householdDensityGPerMl(TALLOW, measure);
      expect(Math.abs(gPerMl / TALLOW_DENSITY_G_PER_ML.pouring - 1)).toBeLessThan(0.04);
    }
  });

  // ASHRAE component densities at 20 °C: fat 0.91724, protein 1.3195 g/mL; water 0.9982 (CRC); salt 2.16 (from memory).
  it('puts a cup of butter within 3 % of the density of its parts', () => {
    const { fat, water, protein } = BUTTER.salted;
    const rest = 1 - fat - water - protein;
    const ofParts = 1 / (fat / 0.91724 + water / 0.9982 + protein / 1.3195 + rest / 2.16);
    expect(Math.abs(householdDensityGPerMl(BUTTER.salted, 'cup') / ofParts - 1)).toBeLessThan(0.03);
  });

  it('agrees between the measures of one food', () => {
    const cup = householdDensityGPerMl(BUTTER.salted, 'cup');
    expect(Math.abs(householdDensityGPerMl(BUTTER.salted, 'stick') / cup - 1)).toBeLessThan(0.01);
    expect(Math.abs(householdDensityGPerMl(BUTTER.salted, 'tbsp') / cup - 1)).toBeLessThan(0.01);
    expect(
      Math.abs(householdDensityGPerMl(SALT, 'tsp') / householdDensityGPerMl(SALT, 'cup') - 1),
    ).toBeLessThan(0.02);
  });

  it('says when a record prints no such measure', () => {
    expect(() => householdDensityGPerMl(TALLOW, 'stick')).toThrow(/usda-tallow gives no weight for a stick/);
  });
});
