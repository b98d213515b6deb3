import { describe, expect, it } from 'vitest';
import { KEEPING, type Stored, useBy } from '../../src/safety/storage.js';

const DAY = 86_400_000;
const made = Date.UTC(2025, 10, 3, 18);
const ALL = Object.keys(KEEPING) as Stored[];

describe('how long what keeps', () => {
  // FSIS and FoodSafety.gov chart: ground beef 1 to 2 days, roasts 3 to 5; freezer 3 to 4 and 4 to 12 months.
  // USDA FoodKeeper: bacon grease 6 and 12 months, butter 1 to 2 and 6 to 9 months.
  // FDA Food Code 3-501.17 (from memory): 7 days at 41 °F or below, the day made being day 1.
  it.each([
    ['raw-fat-ground', 'refrigerator', 1, 2],
    ['raw-fat-ground', 'freezer', 90, 120],
    ['raw-fat-whole', 'refrigerator', 3, 5],
    ['raw-fat-whole', 'freezer', 120, 360],
    ['tallow', 'refrigerator', 180, 180],
    ['tallow', 'freezer', 360, 360],
    ['butter-blend', 'refrigerator', 30, 60],
    ['butter-blend', 'freezer', 180, 270],
    ['salted-blend', 'refrigerator', 7, 7],
  ] as const)('%s in the %s: %d to %d days', (stored, place, daysLow, daysHigh) => {
    expect(KEEPING[stored][place]).toMatchObject({ daysLow, daysHigh });
  });

  it('is in order, and no shorter in the freezer', () => {
    for (const stored of ALL) {
      const { refrigerator, freezer } = KEEPING[stored];
      for (const { daysLow, daysHigh } of [refrigerator, freezer])
        expect(daysLow).toBeLessThanOrEqual(daysHigh);
      expect(freezer.daysHigh).toBeGreaterThanOrEqual(refrigerator.daysHigh);
    }
  });

  it('counts the day it was made for what holds water', () => {
    expect(useBy('salted-blend', 'refrigerator', made)).toBe(made + 6 * DAY);
    expect(useBy('tallow', 'refrigerator', made)).toBe(made + 180 * DAY);
  });

  it('gives every stored thing a day in every place', () => {
    for (const stored of ALL)
      for (const place of ['refrigerator', 'freezer'] as const)
        expect(useBy(stored, place, made)).toBeGreaterThan(made);
    expect(() => useBy('tallow', 'freezer', Number.NaN)).toThrow(/storedAtMs/);
  });
});
