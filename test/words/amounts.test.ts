import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseQuantity } from '../../src/chat/quantity.js';
import {
  altitudeWords,
  capacityWords,
  lengthWords,
  type MeasureSystem,
  minutesWords,
  powerWords,
  pressureWords,
  roundWeightWords,
  temperatureWords,
  volumeRangeWords,
  volumeWords,
  weightRangeWords,
  weightWords,
} from '../../src/words/amounts.js';
import {
  DURATION_UNITS,
  G_PER_LB,
  G_PER_OZ,
  KPA_PER_PSI,
  LENGTH_UNITS,
  MASS_UNITS,
  ML_PER_US_CUP,
  ML_PER_US_GALLON,
  ML_PER_US_QUART,
  ML_PER_US_TBSP,
  ML_PER_US_TSP,
  POWER_UNITS,
  PRESSURE_UNITS,
  TEMPERATURE_UNITS,
  type UnitsOfMeasure,
  VOLUME_UNITS,
} from '../../src/words/units.js';
import { percentRangeWords, percentWords } from '../../src/words/yield-words.js';

const SYSTEMS: readonly MeasureSystem[] = ['us', 'metric'];

/** Spread evenly over orders of magnitude. */
function sizes(least: number, most: number): fc.Arbitrary<number> {
  return fc
    .double({ min: Math.log(least), max: Math.log(most), noNaN: true })
    .map((log) => Math.min(most, Math.max(least, Math.exp(log))));
}

function read(text: string, units: UnitsOfMeasure): number {
  const quantity = parseQuantity(text, units);
  if (!quantity.ok) throw new Error(`“${text}” was not read: ${quantity.problem}`);
  return quantity.value;
}

function error(printed: string, exact: number, units: UnitsOfMeasure): number {
  return Math.abs(read(printed, units) - exact) / exact;
}

describe('weights', () => {
  it.each([
    [72 * G_PER_OZ, '4 lb 8 oz'],
    [40 * G_PER_OZ, '2 lb 8 oz'],
    [16 * G_PER_OZ, '1 lb'],
    [15.97 * G_PER_OZ, '1 lb'],
    [20.5 * G_PER_OZ, '1 lb 4.5 oz'],
    [12 * G_PER_OZ, '12 oz'],
    [1 * G_PER_OZ, '1 oz'],
    [6, '6 g'],
    [0.75, '0.75 g'],
    [40 * G_PER_LB, '40 lb'],
    [20.3 * G_PER_LB, '20 lb 4 oz'],
    [500_000, '1102 lb'],
    [0, '0 g'],
  ])('%d g are written %s in US measures', (grams, written) => {
    expect(roundWeightWords(grams, 'us')).toBe(written);
  });

  it.each([
    [2300, '2.3 kg'],
    [450, '450 g'],
    [735, '740 g'],
    [999, '1 kg'],
    [1225, '1.23 kg'],
    [0.75, '0.75 g'],
    [500_000, '500 kg'],
  ])('%d g are written %s in metric measures', (grams, written) => {
    expect(roundWeightWords(grams, 'metric')).toBe(written);
  });

  it('that a person weighed are shown as the scale showed them', () => {
    expect(weightWords(2268, 'metric')).toBe('2.268 kg');
    expect(weightWords(987, 'metric')).toBe('987 g');
    expect(weightWords(20.3 * G_PER_OZ, 'us')).toBe('1 lb 4.3 oz');
    expect(weightWords(72 * G_PER_OZ, 'us')).toBe('4 lb 8 oz');
    expect(weightWords(30 * G_PER_LB, 'us')).toBe('30 lb');
  });

  it('come as a range with the unit once where that reads well', () => {
    expect(weightRangeWords(360, 600, 'metric')).toBe('360 to 600 g');
    expect(weightRangeWords(735, 1225, 'metric')).toBe('740 g to 1.23 kg');
    expect(weightRangeWords(26 * G_PER_OZ, 43 * G_PER_OZ, 'us')).toBe('1 lb 10 oz to 2 lb 11 oz');
    expect(weightRangeWords(2 * G_PER_LB, 3 * G_PER_LB, 'us')).toBe('2 to 3 lb');
    expect(weightRangeWords(1000, 1000, 'metric')).toBe('1 kg');
  });

  it('of a range are both in grams or both in ounces', () => {
    expect(weightRangeWords(10.2, 17, 'us')).toBe('0.36 to 0.6 oz');
    expect(weightRangeWords(3, 6, 'us')).toBe('3 to 6 g');
    expect(weightRangeWords(0, 12 * G_PER_OZ, 'us')).toBe('0 to 12 oz');
    expect(weightRangeWords(0, 182 * G_PER_OZ, 'us')).toBe('0 oz to 11 lb 6 oz');
    fc.assert(
      fc.property(sizes(0.01, 500_000), sizes(1, 1000), (lowG, ratio) => {
        const shown = weightRangeWords(lowG, lowG * ratio, 'us');
        expect(/ (?:oz|lb)\b/.test(shown) && / g\b/.test(shown)).toBe(false);
      }),
    );
  });

  it.each(SYSTEMS)('are never off by more than 2 %% when read back (%s, 1 g to 500 kg)', (system) => {
    fc.assert(
      fc.property(sizes(1, 500_000), (grams) => {
        expect(error(roundWeightWords(grams, system), grams, MASS_UNITS)).toBeLessThanOrEqual(0.02 + 1e-9);
        expect(error(weightWords(grams, system), grams, MASS_UNITS)).toBeLessThanOrEqual(0.005 + 1e-9);
      }),
      { numRuns: 2000 },
    );
  });

  it.each(SYSTEMS)('printed, read and printed again stay the same (%s)', (system) => {
    fc.assert(
      fc.property(sizes(1, 500_000), (grams) => {
        const scale = weightWords(grams, system);
        expect(weightWords(read(scale, MASS_UNITS), system)).toBe(scale);
      }),
      { numRuns: 2000 },
    );
  });
});

describe('volumes', () => {
  it.each([
    [8 * ML_PER_US_CUP, '8 cups'],
    [14.4 * ML_PER_US_CUP, '14 ½ cups'],
    [2.5 * ML_PER_US_CUP, '2 ½ cups'],
    [ML_PER_US_CUP, '1 cup'],
    [ML_PER_US_CUP / 3, '⅓ cup'],
    [1.125 * ML_PER_US_CUP, '1 cup 2 tbsp'],
    [3.875 * ML_PER_US_CUP, '3 ¾ cups 2 tbsp'],
    [2 * ML_PER_US_TBSP, '2 tbsp'],
    [7 * ML_PER_US_TSP, '2 tbsp 1 tsp'],
    [1.25 * ML_PER_US_TSP, '1 ¼ tsp'],
    [ML_PER_US_TSP / 8, '⅛ tsp'],
    [0.19 * ML_PER_US_TSP, '0.19 tsp'],
    [8 * ML_PER_US_QUART, '8 qt'],
    [5 * ML_PER_US_GALLON, '5 gal'],
    [0.1, '0.1 ml'],
    [0, '0 ml'],
  ])('%d mL are written %s in US measures', (ml, written) => {
    expect(volumeWords(ml, 'us')).toBe(written);
  });

  it.each([
    [1391, '1.4 L'],
    [2086, '2.1 L'],
    [250, '250 ml'],
    [2.5, '2.5 ml'],
    [1_000_000, '1000 L'],
  ])('%d mL are written %s in metric measures', (ml, written) => {
    expect(volumeWords(ml, 'metric')).toBe(written);
  });

  it('come as a range in one measure where both fit it', () => {
    expect(volumeRangeWords(12 * ML_PER_US_CUP, 18 * ML_PER_US_CUP, 'us')).toBe('12 to 18 cups');
    expect(volumeRangeWords(0.75 * ML_PER_US_CUP, 1.5 * ML_PER_US_CUP, 'us')).toBe('¾ to 1 ½ cups');
    expect(volumeRangeWords(ML_PER_US_CUP, ML_PER_US_CUP, 'us')).toBe('1 cup');
    expect(volumeRangeWords(404, 674, 'us')).toBe('1 ⅔ to 2 ¾ cups');
    expect(volumeRangeWords(20, 90, 'us')).toBe('4 tsp to 6 tbsp');
    expect(volumeRangeWords(0, 2 * ML_PER_US_CUP, 'us')).toBe('0 to 2 cups');
    expect(volumeRangeWords(1391, 2086, 'metric')).toBe('1.4 to 2.1 L');
    expect(volumeRangeWords(800, 1200, 'metric')).toBe('800 ml to 1.2 L');
  });

  it.each(SYSTEMS)('are never off by more than 2 %% when read back (%s, 0.1 mL to 1000 L)', (system) => {
    fc.assert(
      fc.property(sizes(0.1, 1e6), (ml) => {
        expect(error(volumeWords(ml, system), ml, VOLUME_UNITS)).toBeLessThanOrEqual(0.02 + 1e-9);
      }),
      { numRuns: 3000 },
    );
  });

  it('of a range are what a cook can measure: one measure, or one and whole or half spoons', () => {
    // 8 oz and 4 oz of ground fat, 36 to 60 % of it at 0.89 g/mL.
    expect(volumeRangeWords(91.7, 152.9, 'us')).toBe('6 tbsp to ⅔ cup');
    expect(volumeRangeWords(45.9, 76.4, 'us')).toBe('3 to 5 tbsp');
    expect(volumeRangeWords(1.125 * ML_PER_US_CUP, 2 * ML_PER_US_CUP, 'us')).toBe('1 cup 2 tbsp to 2 cups');
    fc.assert(
      fc.property(sizes(10, 1e6), sizes(1, 10), (lowMl, ratio) => {
        const number = String.raw`(?:\d+(?: [⅛¼⅓⅜½⅝⅔¾⅞])?|[⅛¼⅓⅜½⅝⅔¾⅞])`;
        const one = String.raw`${number}(?: (?:cups?|qt|gal|tsp)| tbsp| cups? (?:\d|½|\d ½) tbsp| tbsp ${number} tsp)?`;
        const range = volumeRangeWords(lowMl, lowMl * ratio, 'us');
        expect(range).toMatch(new RegExp(`^${one}(?: to ${one})?$`));
      }),
      { numRuns: 2000 },
    );
  });

  it.each([
    // What a range of an eighth or more either way allows, in the marks of a kitchen.
    ['us', 0.06],
    ['metric', 0.02],
  ] as const)('of a range are hardly off when read back (%s)', (system, most) => {
    fc.assert(
      fc.property(sizes(0.1, 1e6), sizes(1, 5), (lowMl, ratio) => {
        const [low = '', high = ''] = volumeRangeWords(lowMl, lowMl * ratio, system).split(' to ');
        const printedHigh = high === '' ? low : high;
        const measure = printedHigh.replace(/^[\d. ]*[⅛¼⅓⅜½⅝⅔¾⅞]?\s*/, '');
        const printedLow = /[a-z]/i.test(low) ? low : `${low} ${measure}`;
        expect(error(printedLow, lowMl, VOLUME_UNITS)).toBeLessThanOrEqual(most + 1e-9);
        expect(error(printedHigh, lowMl * ratio, VOLUME_UNITS)).toBeLessThanOrEqual(
          high === '' ? 2.1 * most : most + 1e-9,
        );
      }),
      { numRuns: 2000 },
    );
  });

  it('of a vessel are rounded up, since it must hold the load', () => {
    // 8 cups of water and 2 lb of fat, with a third left empty: 4.5 US qt.
    expect(capacityWords(2857.6 * 1.5, 'us')).toBe('4.6 qt');
    expect(capacityWords(8 * ML_PER_US_QUART, 'us')).toBe('8 qt');
    expect(capacityWords(6000, 'metric')).toBe('6 L');
    fc.assert(
      fc.property(sizes(100, 1e6), fc.constantFrom(...SYSTEMS), (ml, system) => {
        const shown = read(capacityWords(ml, system), VOLUME_UNITS);
        expect(shown).toBeGreaterThanOrEqual(ml * (1 - 1e-9));
        expect(shown).toBeLessThanOrEqual(ml * 1.02 + 1e-6);
      }),
    );
  });
});

describe('other amounts', () => {
  it('are written as a cook says them', () => {
    expect(percentWords(0.4812)).toBe('48 %');
    expect(percentWords(0.4812, 1)).toBe('48.1 %');
    expect(percentWords(-0.0001)).toBe('0 %');
    expect(percentRangeWords(0.36, 0.6)).toBe('36 to 60 %');
    expect(temperatureWords(115.5556, 'us')).toBe('240 °F');
    expect(temperatureWords(94.6, 'metric')).toBe('95 °C');
    expect(pressureWords(10 * KPA_PER_PSI, 'us')).toBe('10 psi');
    expect(pressureWords(68.9476, 'metric')).toBe('69 kPa');
    expect(altitudeWords(1609.344, 'us')).toBe('5280 ft');
    expect(altitudeWords(1609.344, 'metric')).toBe('1609 m');
    expect(altitudeWords(-0.1, 'metric')).toBe('0 m');
    expect(lengthWords(0.2286, 'us')).toBe('9 in');
    expect(lengthWords(0.025, 'metric')).toBe('2.5 cm');
    expect(powerWords(1800)).toBe('1800 W');
  });

  it.each([
    [135, '2 h 15 min'],
    [120, '2 h'],
    [45, '45 min'],
    [0.5, '30 s'],
    [1.5, '1 min 30 s'],
    [59.7, '1 h'],
    [0, '0 min'],
    [3 * 1440 + 240, '3 days 4 h'],
  ])('%d minutes are written %s', (minutes, written) => {
    expect(minutesWords(minutes)).toBe(written);
  });

  it('read back to within their rounding', () => {
    fc.assert(
      fc.property(sizes(1, 20_000), (minutes) => {
        expect(error(minutesWords(minutes), minutes, DURATION_UNITS)).toBeLessThanOrEqual(0.05);
      }),
    );
    fc.assert(
      fc.property(
        fc.double({ min: -40, max: 400, noNaN: true }),
        fc.constantFrom(...SYSTEMS),
        (celsius, system) => {
          const shown = read(temperatureWords(celsius, system), TEMPERATURE_UNITS);
          expect(Math.abs(shown - celsius)).toBeLessThanOrEqual(0.5 + 1e-9);
        },
      ),
    );
    fc.assert(
      fc.property(sizes(1, 300), fc.constantFrom(...SYSTEMS), (kPa, system) => {
        expect(Math.abs(read(pressureWords(kPa, system), PRESSURE_UNITS) - kPa)).toBeLessThanOrEqual(
          0.5 + 1e-9,
        );
      }),
    );
    fc.assert(
      fc.property(sizes(1, 9000), fc.constantFrom(...SYSTEMS), (metres, system) => {
        expect(Math.abs(read(altitudeWords(metres, system), LENGTH_UNITS) - metres)).toBeLessThanOrEqual(
          0.5 + 1e-9,
        );
      }),
    );
    fc.assert(
      fc.property(sizes(100, 100_000), (watts) => {
        expect(error(powerWords(watts), watts, POWER_UNITS)).toBeLessThanOrEqual(0.02 + 1e-9);
      }),
    );
    fc.assert(
      fc.property(sizes(0.001, 3), fc.constantFrom(...SYSTEMS), (metres, system) => {
        expect(error(lengthWords(metres, system), metres, LENGTH_UNITS)).toBeLessThanOrEqual(0.02 + 1e-9);
      }),
    );
  });

  it('that make no sense throw', () => {
    for (const nonsense of [Number.NaN, Number.POSITIVE_INFINITY, -1]) {
      expect(() => roundWeightWords(nonsense, 'us')).toThrow(RangeError);
      expect(() => volumeWords(nonsense, 'metric')).toThrow(RangeError);
      expect(() => minutesWords(nonsense)).toThrow(RangeError);
    }
    expect(() => weightRangeWords(2, 1, 'us')).toThrow(RangeError);
    expect(() => temperatureWords(Number.NaN, 'us')).toThrow(RangeError);
  });
});
