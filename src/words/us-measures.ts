import {
  coarsestStep,
  DECIMAL_STEPS,
  isWithinTolerance,
  RANGE_TOLERANCE,
  ROUNDING_TOLERANCE,
  roundTo,
} from './numbers.js';
import { ML_PER_US_CUP, ML_PER_US_GALLON, ML_PER_US_QUART, ML_PER_US_TBSP, ML_PER_US_TSP } from './units.js';

/** A US kitchen measure, the parts it is marked in (coarsest marking first) and the numbers of it that cooks write. */
interface KitchenMeasure {
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

const CUP = measure('cup', ML_PER_US_CUP, [WHOLE, HALVES, THIRDS_AND_QUARTERS], 1 / 4);
const TBSP = measure('tbsp', ML_PER_US_TBSP, [WHOLE, HALVES], 1, 7);
const TSP = measure('tsp', ML_PER_US_TSP, [WHOLE, HALVES, QUARTERS, EIGHTHS], 1 / 8, 5);

/** Largest first. Up to two dozen cups are counted in cups, a pot of four gallons and more in gallons. */
const MEASURES: readonly KitchenMeasure[] = [
  measure('gal', ML_PER_US_GALLON, [WHOLE, HALVES, QUARTERS], 4),
  measure('qt', ML_PER_US_QUART, [WHOLE, HALVES, QUARTERS], 6.25),
  CUP,
  TBSP,
  TSP,
];

function measure(
  name: KitchenMeasure['name'],
  ml: number,
  markings: KitchenMeasure['markings'],
  least: number,
  most = Number.POSITIVE_INFINITY,
): KitchenMeasure {
  return { name, ml, markings, least, most };
}

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
export function usVolume(ml: number): string | undefined {
  return inOneMeasure(ml, onMarking) ?? compound(ml) ?? decimal(ml);
}

/**
 * Two volumes of a range, in one measure where its markings suit both: "12 to 18 cups", "1 ⅔ to 2 ¾ cups". Else each in
 * its own measure, with spoons beside cups only where no marking suits: "6 tbsp to ⅔ cup", "1 cup 2 tbsp to 2 cups".
 * Within 6 %. Undefined below what a ⅛ teaspoon can measure.
 */
export function usVolumeRange(lowMl: number, highMl: number): string | undefined {
  if (lowMl === 0) {
    const high = inMarkings(highMl);
    return high && `0 to ${high}`;
  }
  for (const marked of [onMarking, roughlyOnMarking]) {
    for (const measure of MEASURES.filter((one) => holdsBoth(one, lowMl, highMl))) {
      const low = marked(lowMl, measure);
      const high = marked(highMl, measure);
      if (low !== undefined && high !== undefined)
        return low === high ? count(high, measure) : `${mixed(low)} to ${count(high, measure)}`;
    }
  }
  const [low, high] = [inMarkings(lowMl), inMarkings(highMl)];
  if (low === undefined || high === undefined) return undefined;
  return low === high ? low : `${low} to ${high}`;
}

function holdsBoth({ ml, least, most }: KitchenMeasure, lowMl: number, highMl: number): boolean {
  return highMl >= least * ml && lowMl >= (least * ml) / 4 && highMl <= most * ml;
}

/** One end of a range in one measure, or in cups and spoons. */
function inMarkings(ml: number): string | undefined {
  return inOneMeasure(ml, roughlyOnMarking) ?? compound(ml, [TBSP], RANGE_TOLERANCE);
}

function inOneMeasure(ml: number, marking: typeof onMarking): string | undefined {
  for (const measure of MEASURES.filter((one) => isCountedIn(ml, one))) {
    const marked = marking(ml, measure);
    if (marked !== undefined) return count(marked, measure);
  }
  return undefined;
}

function isCountedIn(ml: number, { ml: oneMl, least, most }: KitchenMeasure): boolean {
  const number = ml / oneMl;
  return number * (1 + ROUNDING_TOLERANCE) >= least && number <= most;
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

/** The same, or where none is within tolerance the nearest on the finest marking, if that will do for a range. */
function roughlyOnMarking(ml: number, measure: KitchenMeasure): number | undefined {
  const number = ml / measure.ml;
  const nearest = nearestMarked(number, measure.markings.at(-1) ?? WHOLE);
  const suits = nearest > 0 && isWithinTolerance(nearest, number, RANGE_TOLERANCE);
  return onMarking(ml, measure) ?? (suits ? nearest : undefined);
}

function nearestMarked(number: number, marking: readonly number[]): number {
  const whole = Math.floor(number);
  return marking
    .map((part) => whole + part)
    .reduce((best, next) => (Math.abs(next - number) < Math.abs(best - number) ? next : best));
}

/** "3 ¾ cups 2 tbsp": the largest measure filled to a mark, the rest in spoons. */
function compound(
  ml: number,
  cupSpoons: readonly KitchenMeasure[] = [TBSP, TSP],
  tolerance: number = ROUNDING_TOLERANCE,
): string | undefined {
  const base = ml >= CUP.least * CUP.ml ? CUP : TBSP;
  const marking = base === CUP ? THIRDS_AND_QUARTERS : WHOLE;
  const number = ml / base.ml;
  const filled = Math.floor(number) + (marking.findLast((part) => part <= number % 1) ?? 0);
  if (filled === 0) return undefined;
  const restMl = ml - filled * base.ml;
  const spoons = base === CUP ? cupSpoons : [TSP];
  for (const spoon of spoons) {
    for (const spoonMarking of spoon.markings) {
      const rest = nearestMarked(restMl / spoon.ml, spoonMarking);
      if (rest > 0 && isWithinTolerance(filled * base.ml + rest * spoon.ml, ml, tolerance))
        return `${count(filled, base)} ${count(rest, spoon)}`;
    }
  }
  return undefined;
}

function decimal(ml: number): string | undefined {
  if (ml < TSP.least * TSP.ml) return undefined;
  const { ml: oneMl, name } = ml >= TBSP.ml ? TBSP : TSP;
  return `${roundTo(ml / oneMl, coarsestStep(ml / oneMl, DECIMAL_STEPS))} ${name}`;
}

function count(number: number, { name }: KitchenMeasure): string {
  return `${mixed(number)} ${name === 'cup' && number > 1 ? 'cups' : name}`;
}

/** "2 ½": a whole number and a fraction as cooks write it. */
function mixed(number: number): string {
  const whole = Math.floor(number);
  const glyph = GLYPHS.get(Math.round((number - whole) * 1000));
  if (glyph === undefined) return String(Math.round(number));
  return whole === 0 ? glyph : `${whole} ${glyph}`;
}
