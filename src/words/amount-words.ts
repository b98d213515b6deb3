import { DateTime } from 'luxon';
import {
  formatAltitude,
  formatCapacity,
  formatDuration,
  formatLength,
  formatPercent,
  formatPercentRange,
  formatPower,
  formatPressure,
  formatScaleWeight,
  formatTemperature,
  formatVolume,
  formatVolumeRange,
  formatWeight,
  formatWeightRange,
  type MeasureSystem,
} from './amounts.js';
import { isWithinTolerance } from './rounding.js';

/** How replies spell amounts: in the units asked for, or in both, US first. */
export type Units = MeasureSystem | undefined;

function inUnits(units: Units, format: (system: MeasureSystem) => string): string {
  if (units !== undefined) return format(units);
  const [us, metric] = [format('us'), format('metric')];
  return us === metric ? us : `${us} (${metric})`;
}

/** A weight that somebody measured. */
export const weightWords = (grams: number, units?: Units): string =>
  inUnits(units, (system) => formatScaleWeight(grams, system));

/** A weight that was calculated. */
export const roundWeightWords = (grams: number, units?: Units): string =>
  inUnits(units, (system) => formatWeight(grams, system));

export const weightRangeWords = (lowG: number, highG: number, units?: Units): string =>
  inUnits(units, (system) => formatWeightRange(lowG, highG, system));

export const volumeWords = (ml: number, units?: Units): string =>
  inUnits(units, (system) => formatVolume(ml, system));

export const volumeRangeWords = (lowMl: number, highMl: number, units?: Units): string =>
  inUnits(units, (system) => formatVolumeRange(lowMl, highMl, system));

export const capacityWords = (ml: number, units?: Units): string =>
  inUnits(units, (system) => formatCapacity(ml, system));

export const temperatureWords = (temperatureC: number, units?: Units): string =>
  inUnits(units, (system) => formatTemperature(temperatureC, system));

export const altitudeWords = (altitudeM: number, units?: Units): string =>
  inUnits(units, (system) => formatAltitude(altitudeM, system));

export const lengthWords = (lengthM: number, units?: Units): string =>
  inUnits(units, (system) => formatLength(lengthM, system));

export const pressureWords = (kPa: number, units?: Units): string =>
  inUnits(units, (system) => formatPressure(kPa, system));

export const powerWords = (watts: number): string => formatPower(watts, 'W');

export const minutesWords = (minutes: number): string => formatDuration(minutes);

/** A yield: "48 %". */
export const percentWords = (fraction: number): string => formatPercent(fraction);

/** "36 to 60 %". */
export const percentRangeWords = (low: number, high: number): string => formatPercentRange(low, high);

/** A yield with one decimal, where two are compared: "47.6 %". */
export const finePercentWords = (fraction: number): string => formatPercent(fraction, 1);

/** A difference of two yields: "2 points more", "about the same". */
export function pointsWords(difference: number): string {
  const points = Math.round(Math.abs(difference) * 100);
  if (points === 0) return 'about the same';
  return `${points} ${points === 1 ? 'point' : 'points'} ${difference > 0 ? 'more' : 'less'}`;
}

/** "Sunday, 22 November 2026", in the community's zone. */
export function dayWords(at: Date, zone: string): string {
  return DateTime.fromJSDate(at, { zone }).toFormat('cccc, d LLLL yyyy');
}

/** A plain number in as few digits as stay within 2 % of it: "3.5", "90", "0.017". */
export function roughly(value: number): string {
  for (let digits = 1; digits < 4; digits++) {
    const rounded = Number(value.toPrecision(digits));
    if (isWithinTolerance(rounded, value)) return String(rounded);
  }
  return String(Number(value.toPrecision(4)));
}

/** "1 batch", "3 batches", "12,000 batches". */
export function countWords(count: number, one: string, many: string): string {
  return `${count < 10_000 ? count : count.toLocaleString('en-US')} ${count === 1 ? one : many}`;
}
