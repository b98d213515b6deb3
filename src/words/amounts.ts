/**
 * Amounts as cooks write them. No thousands separators, so that what is printed can be typed back.
 * Every function throws a RangeError for what is not a finite number, and for negative sizes.
 */

import { coarsestStep, DECIMAL_STEPS, roundTo, roundUpTo } from './rounding.js';
import {
  fahrenheitFromCelsius,
  G_PER_OZ,
  KPA_PER_PSI,
  M_PER_FT,
  M_PER_INCH,
  ML_PER_US_QUART,
  W_PER_BTU_PER_HOUR,
} from './units.js';
import { formatUsVolume, formatUsVolumeRange } from './us-measures.js';

/** Below half an ounce a scale is read in grams. */
const LEAST_IN_OUNCES_G = G_PER_OZ / 2;

/** Down to a hundred-thousandth, for the low end of a range that spans everything. */
const FINE_STEPS = [1e-5, 1e-4, ...DECIMAL_STEPS];

export type MeasureSystem = 'us' | 'metric';

export function isMeasureSystem(value: unknown): value is MeasureSystem {
  return value === 'us' || value === 'metric';
}

/** A calculated weight, rounded to what is worth weighing out, within 2 %: "4 lb 8 oz", "12 oz", "2.3 kg", "450 g". */
export function formatWeight(grams: number, system: MeasureSystem): string {
  checkSize(grams, 'weight');
  if (system === 'metric' || grams < LEAST_IN_OUNCES_G)
    return formatMetric(grams, friendlyGrams(grams), 'g', 'kg');
  const ounces = grams / G_PER_OZ;
  return formatOunces(roundTo(ounces, friendlyOunces(ounces)));
}

/** A weight as a kitchen scale shows it, for what a person weighed: "1 lb 4.5 oz", "2.268 kg". Within 0.5 % from 1 g up. */
export function formatScaleWeight(grams: number, system: MeasureSystem): string {
  checkSize(grams, 'weight');
  if (system === 'metric' || grams < G_PER_OZ) return formatMetric(grams, scaleGrams(grams), 'g', 'kg');
  const ounces = grams / G_PER_OZ;
  return formatOunces(roundTo(ounces, ounces < 10 ? 0.01 : ounces < 320 ? 0.1 : 1));
}

/** "1 lb 10 oz to 2 lb 11 oz", "0.36 to 0.6 oz", "730 to 980 g". In US measures both ends are in ounces or both in grams. */
export function formatWeightRange(lowG: number, highG: number, system: MeasureSystem): string {
  checkOrder(lowG, highG);
  const high = formatWeight(highG, system);
  const isLowTooSmall = lowG < LEAST_IN_OUNCES_G && highG >= LEAST_IN_OUNCES_G;
  if (system === 'us' && isLowTooSmall) {
    checkSize(lowG, 'weight');
    const ounces = lowG / G_PER_OZ;
    return joinRange(formatOunces(roundTo(ounces, coarsestStep(ounces, FINE_STEPS))), high);
  }
  return joinRange(formatWeight(lowG, system), high);
}

/** A volume within 2 %: "12 cups", "1 ¼ tsp", "8 qt", "1.4 L", "250 ml". */
export function formatVolume(ml: number, system: MeasureSystem): string {
  checkSize(ml, 'volume');
  const us = system === 'us' && ml > 0 ? formatUsVolume(ml) : undefined;
  return us ?? formatMetric(ml, coarsestStep(ml, DECIMAL_STEPS), 'ml', 'L');
}

/** "12 to 18 cups", "6 tbsp to ⅔ cup", "1.4 to 2.1 L". Within 6 % in US measures, as a range is rough; within 2 % in metric. */
export function formatVolumeRange(lowMl: number, highMl: number, system: MeasureSystem): string {
  checkOrder(lowMl, highMl);
  const us = system === 'us' ? formatUsVolumeRange(lowMl, highMl) : undefined;
  return us ?? joinRange(formatVolume(lowMl, system), formatVolume(highMl, system));
}

/** The size of a vessel that must hold this much, in the unit pots are sold by. Rounded up, within 2 %: "5.3 qt", "4.5 L". */
export function formatCapacity(ml: number, system: MeasureSystem): string {
  checkSize(ml, 'capacity');
  const number = ml / (system === 'us' ? ML_PER_US_QUART : 1000);
  return `${roundUpTo(number, coarsestStep(number, DECIMAL_STEPS, 'up'))} ${system === 'us' ? 'qt' : 'L'}`;
}

/** A fraction of one as "48 %". */
export function formatPercent(fraction: number, decimals = 0): string {
  checkFinite(fraction, 'fraction');
  return `${withDecimals(fraction * 100, decimals)} %`;
}

/** "36 to 60 %". */
export function formatPercentRange(low: number, high: number, decimals = 0): string {
  checkOrder(low, high);
  return joinRange(formatPercent(low, decimals), formatPercent(high, decimals));
}

/** "212 °F" or "100 °C". */
export function formatTemperature(temperatureC: number, system: MeasureSystem, decimals = 0): string {
  checkFinite(temperatureC, 'temperature');
  return system === 'us'
    ? `${withDecimals(fahrenheitFromCelsius(temperatureC), decimals)} °F`
    : `${withDecimals(temperatureC, decimals)} °C`;
}

/** "10 psi" or "69 kPa". */
export function formatPressure(kPa: number, system: MeasureSystem): string {
  checkSize(kPa, 'pressure');
  return system === 'us' ? `${roundTo(kPa / KPA_PER_PSI, 0.1)} psi` : `${roundTo(kPa, 1)} kPa`;
}

/** "2 h 15 min", "45 min", "30 s", "3 days 4 h". Whole minutes, seconds below ten minutes, hours from two days. */
export function formatDuration(minutes: number): string {
  checkSize(minutes, 'duration');
  if (minutes < 10) {
    const seconds = Math.round(minutes * 60);
    return joinParts([Math.floor(seconds / 60), 'min'], [seconds % 60, 's']) ?? '0 min';
  }
  const whole = Math.round(minutes);
  if (whole < 48 * 60) return joinParts([Math.floor(whole / 60), 'h'], [whole % 60, 'min']) ?? '0 min';
  const hours = Math.round(minutes / 60);
  return joinParts([Math.floor(hours / 24), 'days'], [hours % 24, 'h']) ?? '0 min';
}

/** "5280 ft" or "1609 m". Below sea level is negative. */
export function formatAltitude(altitudeM: number, system: MeasureSystem): string {
  checkFinite(altitudeM, 'altitude');
  return system === 'us' ? `${withDecimals(altitudeM / M_PER_FT, 0)} ft` : `${withDecimals(altitudeM, 0)} m`;
}

/** The size of a pan or the depth of fat in it: "9 in", "2.5 cm". */
export function formatLength(lengthM: number, system: MeasureSystem): string {
  checkSize(lengthM, 'length');
  const number = lengthM / (system === 'us' ? M_PER_INCH : 0.01);
  return `${roundTo(number, coarsestStep(number, DECIMAL_STEPS))} ${system === 'us' ? 'in' : 'cm'}`;
}

/** Burners are rated either way wherever they are sold, so the unit is asked for: "1800 W", "15000 BTU/h". */
export function formatPower(watts: number, unit: 'W' | 'BTU/h'): string {
  checkSize(watts, 'power');
  const number = unit === 'W' ? watts : watts / W_PER_BTU_PER_HOUR;
  return `${roundTo(number, coarsestStep(number, DECIMAL_STEPS))} ${unit}`;
}

function friendlyGrams(grams: number): number {
  return coarsestStep(grams, DECIMAL_STEPS);
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

function formatOunces(ounces: number): string {
  if (ounces < 16) return `${ounces} oz`;
  const pounds = Math.floor(ounces / 16);
  return joinParts([pounds, 'lb'], [roundTo(ounces - pounds * 16, 0.01), 'oz']) ?? '0 oz';
}

function formatMetric(value: number, step: number, small: string, large: string): string {
  const rounded = roundTo(value, step);
  return rounded < 1000 ? `${rounded} ${small}` : `${roundTo(rounded / 1000, 1e-5)} ${large}`;
}

function joinParts(...parts: readonly (readonly [number, string])[]): string | undefined {
  const shown = parts.filter(([number]) => number !== 0).map(([number, unit]) => `${number} ${unit}`);
  return shown.length === 0 ? undefined : shown.join(' ');
}

/** "a to b", with the unit once when both are one number of the same unit. */
function joinRange(low: string, high: string): string {
  if (low === high) return low;
  const [lowNumber, lowUnit, ...lowRest] = low.split(' ');
  const [, highUnit, ...highRest] = high.split(' ');
  const isSingle = lowRest.length === 0 && highRest.length === 0;
  return isSingle && lowUnit === highUnit ? `${lowNumber} to ${high}` : `${low} to ${high}`;
}

/** Fixed decimals, never "-0". */
function withDecimals(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? text.replace('-', '') : text;
}

function checkFinite(value: number, what: string): void {
  if (!Number.isFinite(value)) throw new RangeError(`a ${what} must be a finite number, not ${value}`);
}

function checkSize(value: number, what: string): void {
  if (!(Number.isFinite(value) && value >= 0))
    throw new RangeError(`a ${what} must be a finite number from 0 up, not ${value}`);
}

function checkOrder(low: number, high: number): void {
  if (!(low <= high)) throw new RangeError(`a range must run from low to high, not from ${low} to ${high}`);
}
