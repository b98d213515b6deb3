import { describe, expect, it } from 'vitest';
import { BUTTER, BUTTER_DENSITY_G_PER_ML, RAW_FAT, SALT } from '../../../src/cooking/blends/composition.js';
import { TALLOW_DENSITY_G_PER_ML } from '../../../src/cooking/blends/tallow.js';
import { ML_PER_US_CUP, ML_PER_US_TBSP, ML_PER_US_TSP } from '../../../src/words/units.js';

/** USDA SR Legacy, as a share of the weight. */
const PROTEIN = { suet: 0.015, trimmings: 0.0821, butter: 0.0085 };

describe('published composition', () => {
  it('never adds up to more than the food', () => {
    for (const [food, protein] of [
      [RAW_FAT.suet, PROTEIN.suet],
      [RAW_FAT.trimmings, PROTEIN.trimmings],
      [BUTTER.salted, PROTEIN.butter],
      [BUTTER.unsalted, PROTEIN.butter],
    ] as const)
      expect(food.fat + food.water + protein).toBeLessThanOrEqual(1);
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
    for (const gPerMl of [205 / ML_PER_US_CUP, 12.8 / ML_PER_US_TBSP])
      expect(Math.abs(gPerMl / TALLOW_DENSITY_G_PER_ML.pouring - 1)).toBeLessThan(0.04);
  });

  // ASHRAE component densities at 20 °C: fat 0.91724, protein 1.3195 g/mL; water 0.9982 (CRC); salt 2.16 (from memory).
  it('puts a cup of butter within 3 % of the density of its parts', () => {
    const { fat, water } = BUTTER.salted;
    const rest = 1 - fat - water - PROTEIN.butter;
    const ofParts = 1 / (fat / 0.91724 + water / 0.9982 + PROTEIN.butter / 1.3195 + rest / 2.16);
    expect(Math.abs(BUTTER_DENSITY_G_PER_ML / ofParts - 1)).toBeLessThan(0.03);
  });

  // USDA SR: a stick of butter (half a cup) 113 g, a tablespoon 14.2 g; a teaspoon of salt 6.0 g, a cup 292 g.
  it('agrees between the measures of one food', () => {
    for (const gPerMl of [113 / (ML_PER_US_CUP / 2), 14.2 / ML_PER_US_TBSP])
      expect(Math.abs(gPerMl / BUTTER_DENSITY_G_PER_ML - 1)).toBeLessThan(0.01);
    expect(Math.abs(SALT.gPerTsp / ML_PER_US_TSP / (292 / ML_PER_US_CUP) - 1)).toBeLessThan(0.02);
  });
});
