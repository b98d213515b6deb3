import { coarsestStep, DECIMAL_STEPS, isWithinTolerance, roundTo } from './rounding.js';
import { ML_PER_US_CUP, ML_PER_US_GALLON, ML_PER_US_QUART, ML_PER_US_TBSP, ML_PER_US_TSP } from './units.js';

/** A US kitchen measure, the parts it is marked in (coarsest marking first) and the numbers of it that cooks write. */
export interface KitchenMeasure {
  readonly name: 'gal' | 'qt' | 'cup' | 'tbsp' | 'tsp';
  readonly ml: number;
  readonly markings: readonly (readonly number[])[];
  readonly least: number;
  readonly most: number;
}

const WHOLE = [0, 1];
const HALVES = [0, 1 / 2, 1];
const QUARTERS = [0, 1 / 4, 1 / 2, 3 / 4, 1];
const THIRDS_AND_QUARTERS = [0, 1 / 4, 1 / 3, 1 / 2, 2 / 3, 3 / 4, 1];
const EIGHTHS = [0, 1 / 8, 1 / 4, 3 / 8, 1 / 2, 5 / 8, 3 / 4, 7 / 8, 1];

const CUP: KitchenMeasure = {
  name: 'cup',
  ml: ML_PER_US_CUP,
  markings: [WHOLE, HALVES, THIRDS_AND_QUARTERS],
  least: 1 / 4,
  most: Number.POSITIVE_INFINITY,
};
const TBSP: KitchenMeasure = {
  name: 'tbsp',
  ml: ML_PER_US_TBSP,
  markings: [WHOLE, HALVES],
  least: 1,
  most: 7,
};
const TSP: KitchenMeasure = {
  name: 'tsp',
  ml: ML_PER_US_TSP,
  markings: [WHOLE, HALVES, QUARTERS, EIGHTHS],
  least: 1 / 8,
  most: 5,
};

/** Largest first. Up to two dozen cups are counted in cups, a pot of four gallons and more in gallons. */
const MEASURES: readonly KitchenMeasure[] = [
  {
    name: 'gal',
    ml: ML_PER_US_GALLON,
    markings: [WHOLE, HALVES, QUARTERS],
    least: 4,
    most: Number.POSITIVE_INFINITY,
  },
  {
    name: 'qt',
    ml: ML_PER_US_QUART,
    markings: [WHOLE, HALVES, QUARTERS],
    least: 6.25,
    most: Number.POSITIVE_INFINITY,
  },
  CUP,
  TBSP,
  TSP,
];

const GLYPHS = new Map([
  [125, '⅛'],
  [250, '¼'],
  [333, '⅓'],
  [375, '⅜'],
  [500, '½'],
  [625, '⅝'],
  [667, '⅔'],
  [750, '¾'],
  [875, '⅞'],
]);

/**
 * A volume in the measures that hang in a US kitchen: "12 cups", "2 ½ cups", "3 ¾ cups 2 tbsp", "1 ¼ tsp".
 * Within 2 %. Undefined below what a ⅛ teaspoon can measure.
 */
export function formatUsVolume(ml: number): string | undefined {
  for (const measure of MEASURES) {
    const number = ml / measure.ml;
    const marked =
      number * 1.02 < measure.least || number > measure.most ? undefined : onMarking(ml, measure);
    if (marked !== undefined) return count(marked, measure);
  }
  return compound(ml) ?? decimal(ml);
}

/** Two volumes with one measure, "12 to 18 cups", or undefined when no single measure shows both within 2 %. */
export function formatUsVolumeRange(lowMl: number, highMl: number): string | undefined {
  for (const measure of MEASURES) {
    if (highMl < measure.least * measure.ml || lowMl < (measure.least * measure.ml) / 4) continue;
    const low = onMarking(lowMl, measure);
    const high = onMarking(highMl, measure);
    if (low === undefined || high === undefined || low === 0) continue;
    return low === high ? count(high, measure) : `${mixed(low)} to ${count(high, measure)}`;
  }
  return undefined;
}

/** The nearest number of a measure that its markings show, on the coarsest marking that is within tolerance. */
function onMarking(ml: number, measure: KitchenMeasure): number | undefined {
  const number = ml / measure.ml;
  for (const marking of measure.markings) {
    const nearest = nearestMarked(number, marking);
    if (nearest > 0 && isWithinTolerance(nearest, number)) return nearest;
  }
  return undefined;
}

function nearestMarked(number: number, marking: readonly number[]): number {
  const whole = Math.floor(number);
  return marking
    .map((part) => whole + part)
    .reduce((best, next) => (Math.abs(next - number) < Math.abs(best - number) ? next : best));
}

/** "3 ¾ cups 2 tbsp": the largest measure filled to a mark, the rest in spoons. */
function compound(ml: number): string | undefined {
  const base = ml >= CUP.least * CUP.ml ? CUP : TBSP;
  const marking = base === CUP ? THIRDS_AND_QUARTERS : WHOLE;
  const number = ml / base.ml;
  const filled = Math.floor(number) + (marking.findLast((part) => part <= number % 1) ?? 0);
  if (filled === 0) return undefined;
  const restMl = ml - filled * base.ml;
  const spoons = base === CUP ? [TBSP, TSP] : [TSP];
  for (const spoon of spoons) {
    for (const spoonMarking of spoon.markings) {
      const rest = nearestMarked(restMl / spoon.ml, spoonMarking);
      if (rest > 0 && isWithinTolerance(filled * base.ml + rest * spoon.ml, ml))
        return `${count(filled, base)} ${count(rest, spoon)}`;
    }
  }
  return undefined;
}

function decimal(ml: number): string | undefined {
  const measure = ml >= TBSP.ml ? TBSP : TSP;
  const number = ml / measure.ml;
  if (number < TSP.least) return undefined;
  return `${roundTo(number, coarsestStep(number, DECIMAL_STEPS))} ${measure.name}`;
}

function count(number: number, measure: KitchenMeasure): string {
  return `${mixed(number)} ${measure.name}${measure.name === 'cup' && number > 1 ? 's' : ''}`;
}

/** "2 ½": a whole number and a fraction as cooks write it. */
function mixed(number: number): string {
  const whole = Math.floor(number);
  const glyph = GLYPHS.get(Math.round((number - whole) * 1000));
  if (glyph === undefined) return String(Math.round(number));
  return whole === 0 ? glyph : `${whole} ${glyph}`;
}
