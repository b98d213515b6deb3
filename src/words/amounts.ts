/**
 * Amounts as cooks write them. No thousands separators, so that what is printed can be typed back.
 * Every function throws a RangeError for what is not a finite number, and for negative sizes.
 */

import {
  assertNotNegative,
  coarsestStep,
  DECIMAL_STEPS,
  roundTo,
  roundUpTo,
  withDecimals,
} from './numbers.js';
import {
  fahrenheitFromCelsius,
  G_PER_OZ,
  KPA_PER_PSI,
  M_PER_FT,
  M_PER_INCH,
  ML_PER_US_QUART,
} from './units.js';
import { usVolume, usVolumeRange } from './us-measures.js';

export type MeasureSystem = 'us' | 'metric';

/** In which units amounts are spelled: in those asked for, or in both, US first. */
export type Units = MeasureSystem | undefined;

/** Below half an ounce a scale is read in grams. */
const LEAST_IN_OUNCES_G = G_PER_OZ / 2;

/** Down to a hundred-thousandth, for the low end of a range that spans everything. */
const FINE_STEPS = [1e-5, 1e-4, ...DECIMAL_STEPS];

/** A weight that somebody measured, as a kitchen scale shows it: "1 lb 4.5 oz", "2.268 kg". Within 0.5 % from 1 g up. */
export const weightWords = ofSize((grams, system) => {
  if (system === 'metric' || grams < G_PER_OZ) return inThousands(grams, scaleGrams(grams), 'g', 'kg');
  const ounces = grams / G_PER_OZ;
  return ounceWords(roundTo(ounces, ounces < 10 ? 0.01 : ounces < 320 ? 0.1 : 1));
});

/** A calculated weight, rounded to what is worth weighing out, within 2 %: "4 lb 8 oz", "12 oz", "2.3 kg", "450 g". */
export const roundWeightWords = ofSize(roundWeight);

/** "1 lb 10 oz to 2 lb 11 oz", "0.36 to 0.6 oz", "730 to 980 g". In US measures both ends are in ounces or both in grams. */
export const weightRangeWords = ofRange((lowG, highG, system) => {
  const isLowTooSmall = lowG < LEAST_IN_OUNCES_G && highG >= LEAST_IN_OUNCES_G;
  const ounces = lowG / G_PER_OZ;
  const low =
    system === 'us' && isLowTooSmall
      ? ounceWords(roundTo(ounces, coarsestStep(ounces, FINE_STEPS)))
      : roundWeight(lowG, system);
  return range(low, roundWeight(highG, system));
});

/** A volume within 2 %: "12 cups", "1 ¼ tsp", "8 qt", "1.4 L", "250 ml". */
export const volumeWords = ofSize(volume);

/** "12 to 18 cups", "6 tbsp to ⅔ cup", "1.4 to 2.1 L". Within 6 % in US measures, as a range is rough; within 2 % in metric. */
export const volumeRangeWords = ofRange((lowMl, highMl, system) => {
  const us = system === 'us' ? usVolumeRange(lowMl, highMl) : undefined;
  return us ?? range(volume(lowMl, system), volume(highMl, system));
});

/** The size of a vessel that must hold this much, in the unit pots are sold by. Rounded up, within 2 %: "5.3 qt", "4.5 L". */
export const capacityWords = ofSize((ml, system) => {
  const number = ml / (system === 'us' ? ML_PER_US_QUART : 1000);
  return `${roundUpTo(number, coarsestStep(number, DECIMAL_STEPS, 'up'))} ${system === 'us' ? 'qt' : 'L'}`;
});

/** "10 psi" or "69 kPa". */
export const pressureWords = ofSize((kPa, system) =>
  system === 'us' ? `${roundTo(kPa / KPA_PER_PSI, 0.1)} psi` : `${roundTo(kPa, 1)} kPa`,
);

/** The size of a pan or the depth of fat in it, in metres: "9 in", "2.5 cm". */
export const lengthWords = ofSize((lengthM, system) =>
  system === 'us' ? `${friendly(lengthM / M_PER_INCH)} in` : `${friendly(lengthM / 0.01)} cm`,
);

/** "212 °F" or "100 °C". */
export const temperatureWords = inUnits((temperatureC, system) =>
  system === 'us' ? `${whole(fahrenheitFromCelsius(temperatureC))} °F` : `${whole(temperatureC)} °C`,
);

/** "225 to 250 °F" or "107 to 121 °C". */
export const temperatureRangeWords = (lowC: number, highC: number, units?: Units): string =>
  inSystems(units, (system) => range(temperatureWords(lowC, system), temperatureWords(highC, system)));

/** Sentences that give temperatures as "40 °F (4 °C)", with the other first for those who think in it. */
export const celsiusFirst = (text: string, units: Units): string =>
  units === 'metric' ? text.replaceAll(/(−?\d+ °F) \((−?\d+ °C)\)/g, '$2 ($1)') : text;

/** "5280 ft" or "1609 m". Below sea level is negative. */
export const altitudeWords = inUnits((altitudeM, system) =>
  system === 'us' ? `${whole(altitudeM / M_PER_FT)} ft` : `${whole(altitudeM)} m`,
);

/** "1800 W". */
export function powerWords(watts: number): string {
  assertNotNegative({ watts });
  return `${friendly(watts)} W`;
}

/** "2 h 15 min", "45 min", "30 s", "3 days 4 h". Whole minutes, seconds below ten minutes, hours from two days. */
export function minutesWords(minutes: number): string {
  assertNotNegative({ minutes });
  if (minutes < 10) return inTwoUnits(Math.round(minutes * 60), 60, 'min', 's') ?? '0 min';
  const wholeMinutes = Math.round(minutes);
  if (wholeMinutes < 48 * 60) return inTwoUnits(wholeMinutes, 60, 'h', 'min') ?? '0 min';
  return inTwoUnits(Math.round(minutes / 60), 24, 'days', 'h') ?? '0 min';
}

function inUnits(spell: (value: number, system: MeasureSystem) => string) {
  return (value: number, units?: Units): string => inSystems(units, (system) => spell(value, system));
}

function ofSize(spell: (value: number, system: MeasureSystem) => string) {
  return (value: number, units?: Units): string => {
    assertNotNegative({ value });
    return inSystems(units, (system) => spell(value, system));
  };
}

function ofRange(spell: (low: number, high: number, system: MeasureSystem) => string) {
  return (low: number, high: number, units?: Units): string => {
    assertNotNegative({ low, high });
    if (low > high) throw new RangeError(`a range must run from low to high, not from ${low} to ${high}`);
    return inSystems(units, (system) => spell(low, high, system));
  };
}

function inSystems(units: Units, spell: (system: MeasureSystem) => string): string {
  if (units !== undefined) return spell(units);
  const [us, metric] = [spell('us'), spell('metric')];
  return us === metric ? us : `${us} (${metric})`;
}

function roundWeight(grams: number, system: MeasureSystem): string {
  if (system === 'metric' || grams < LEAST_IN_OUNCES_G)
    return inThousands(grams, coarsestStep(grams, DECIMAL_STEPS), 'g', 'kg');
  const ounces = grams / G_PER_OZ;
  return ounceWords(roundTo(ounces, friendlyOunces(ounces)));
}

function volume(ml: number, system: MeasureSystem): string {
  const us = system === 'us' && ml > 0 ? usVolume(ml) : undefined;
  return us ?? inThousands(ml, coarsestStep(ml, DECIMAL_STEPS), 'ml', 'L');
}

/** Whole ounces as soon as the tolerance lets them, quarter pounds from 16 lb, pounds from 50 lb. */
function friendlyOunces(ounces: number): number {
  if (ounces >= 50 * 16) return 16;
  if (ounces >= 16 * 16) return 4;
  return coarsestStep(ounces, [0.01, 0.05, 0.1, 0.25, 0.5, 1]);
}

function scaleGrams(grams: number): number {
  if (grams < 10) return 0.01;
  if (grams < 100) return 0.1;
  if (grams < 10_000) return 1;
  return grams < 100_000 ? 10 : 100;
}

function ounceWords(ounces: number): string {
  return ounces < 16 ? `${ounces} oz` : (inTwoUnits(ounces, 16, 'lb', 'oz') ?? '0 oz');
}

function inThousands(value: number, step: number, small: string, large: string): string {
  const rounded = roundTo(value, step);
  return rounded < 1000 ? `${rounded} ${small}` : `${roundTo(rounded / 1000, 1e-5)} ${large}`;
}

/** "2 h 15 min": what is 0 is left out; undefined where all is. */
function inTwoUnits(amount: number, perLarge: number, large: string, small: string): string | undefined {
  const parts = [
    [Math.floor(amount / perLarge), large],
    [roundTo(amount % perLarge, 0.01), small],
  ] as const;
  const shown = parts.filter(([number]) => number !== 0).map(([number, unit]) => `${number} ${unit}`);
  return shown.length === 0 ? undefined : shown.join(' ');
}

/** "a to b", with the unit once when both are one number of the same unit. */
function range(low: string, high: string): string {
  if (low === high) return low;
  const [lowNumber, lowUnit, ...lowRest] = low.split(' ');
  const [, highUnit, ...highRest] = high.split(' ');
  const isSingle = lowRest.length === 0 && highRest.length === 0;
  return isSingle && lowUnit === highUnit ? `${lowNumber} to ${high}` : `${low} to ${high}`;
}

function friendly(number: number): number {
  return roundTo(number, coarsestStep(number, DECIMAL_STEPS));
}

function whole(value: number): string {
  if (!Number.isFinite(value)) throw new RangeError(`an amount must be a finite number, not ${value}`);
  return withDecimals(value, 0);
}
