import { describe, expect, it } from 'vitest';
import {
  FREEZER_HEADSPACE_MM,
  KEEPING,
  keepingWords,
  type Stored,
  type StoredFood,
  useBy,
} from '../../src/safety/storage.js';

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
    // NCHFP, garlic in oil, reviewed 2015 (Nummer and others, 2011): 4 days; the page of 2002 said 7.
    ['garlic-blend', 'refrigerator', 4, 4],
    // NC State extension (Fraser, 2004): used frying fat within a month.
    ['frying-fat', 'refrigerator', 30, 30],
  ] as const)('%s in the %s: %d to %d days', (stored, place, daysLow, daysHigh) => {
    expect(KEEPING[stored][place]).toMatchObject({ daysLow, daysHigh });
  });

  it('is in order, and no shorter in the freezer', () => {
    for (const stored of ALL) {
      const { refrigerator, freezer = refrigerator }: StoredFood = KEEPING[stored];
      for (const { daysLow, daysHigh } of [refrigerator, freezer])
        expect(daysLow).toBeLessThanOrEqual(daysHigh);
      expect(freezer.daysHigh).toBeGreaterThanOrEqual(refrigerator.daysHigh);
    }
  });

  it('counts the day it was made for what holds water', () => {
    expect(useBy(KEEPING['salted-blend'].refrigerator, made)).toBe(made + 6 * DAY);
    expect(useBy(KEEPING.tallow.refrigerator, made)).toBe(made + 180 * DAY);
  });

  it('gives every stored thing a day in every place where a time is known', () => {
    for (const stored of ALL) {
      const { refrigerator, freezer = refrigerator }: StoredFood = KEEPING[stored];
      for (const time of [refrigerator, freezer]) expect(useBy(time, made)).toBeGreaterThan(made);
    }
    expect(() => useBy(KEEPING.tallow.freezer, Number.NaN)).toThrow(/storedAtMs/);
  });

  it('is told in days or months', () => {
    expect(keepingWords(KEEPING['raw-fat-ground'].refrigerator)).toBe('1 to 2 days');
    expect(keepingWords(KEEPING['butter-blend'].refrigerator)).toBe('1 to 2 months');
    expect(keepingWords(KEEPING['frying-fat'].refrigerator)).toBe('1 month');
  });

  // NCHFP, headspace for freezing: wide mouth ½ in a pint and 1 in a quart, narrow mouth ¾ and 1½ in.
  it('leaves room in a jar for the freezer', () => {
    const { wide, narrow } = FREEZER_HEADSPACE_MM;
    for (const [mm, inches] of [
      [wide.pint, 0.5],
      [wide.quart, 1],
      [narrow.pint, 0.75],
      [narrow.quart, 1.5],
    ] as const)
      expect(mm / 25.4).toBeCloseTo(inches, 9);
  });

  // US FALCPA (from memory): milk is a major allergen and is named.
  it('names milk on the lid of a blend with butter', () => {
    expect(KEEPING['butter-blend'].lid).toContain('contains milk');
    expect(KEEPING['garlic-blend'].brief).toContain('milk');
  });

  // FDA hazards guidance, appendix 4: toxin of Clostridium botulinum is neither seen nor smelt.
  it('sends nobody’s nose after botulism', () => {
    for (const stored of ['salted-blend', 'garlic-blend'] as const)
      expect(KEEPING[stored].off).toContain('go by the day');
  });

  it('has something to write on every lid and a way to see that it is off', () => {
    for (const stored of ALL) {
      const { lid, off, room }: StoredFood = KEEPING[stored];
      for (const words of [lid, off, room]) expect(words.length).toBeGreaterThan(3);
    }
  });
});
