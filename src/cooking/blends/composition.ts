/**
 * What foods are made of, as published.
 * Source: USDA FoodData Central, SR Legacy (Standard Reference, release 27 by content).
 */

import type { SourceId } from '../../safety/sources.js';
import { ML_PER_US_CUP, ML_PER_US_TBSP, ML_PER_US_TSP } from '../../words/units.js';

export type HouseholdMeasure = 'tsp' | 'tbsp' | 'cup' | 'stick';

/** Shares are fractions of the weight. */
export interface Composition {
  readonly fat: number;
  readonly water: number;
  readonly protein: number;
  /** Milligrams of sodium in a gram of the food. */
  readonly sodiumMgPerG: number;
  /** Grams in the household measures that the record prints. */
  readonly householdG: Readonly<Partial<Record<HouseholdMeasure, number>>>;
  readonly source: SourceId;
}

/** A raw piece of fat. Its sodium was not read and nothing needs it. */
export type RawComposition = Omit<Composition, 'sodiumMgPerG' | 'householdG'>;

export const RAW_FAT = {
  suet: { fat: 0.94, water: 0.04, protein: 0.015, source: 'usda-suet' },
  trimmings: { fat: 0.7089, water: 0.2021, protein: 0.0821, source: 'usda-separable-fat' },
} as const satisfies Record<string, RawComposition>;

export const TALLOW = {
  fat: 1,
  water: 0,
  protein: 0,
  sodiumMgPerG: 0,
  householdG: { tbsp: 12.8, cup: 205 },
  source: 'usda-tallow',
} as const satisfies Composition;

export type ButterKind = 'salted' | 'unsalted';

const BUTTER_MEASURES = { tbsp: 14.2, stick: 113, cup: 227 };

export const BUTTER: Readonly<Record<ButterKind, Composition>> = {
  salted: {
    fat: 0.8111,
    water: 0.1587,
    protein: 0.0085,
    sodiumMgPerG: 6.43,
    householdG: BUTTER_MEASURES,
    source: 'usda-butter-salted',
  },
  unsalted: {
    fat: 0.8111,
    water: 0.1794,
    protein: 0.0085,
    sodiumMgPerG: 0.11,
    householdG: BUTTER_MEASURES,
    source: 'usda-butter-unsalted',
  },
};

export const SALT = {
  fat: 0,
  water: 0.002,
  protein: 0,
  sodiumMgPerG: 387.58,
  householdG: { tsp: 6, tbsp: 18, cup: 292 },
  source: 'usda-salt',
} as const satisfies Composition;

/** Grams of salt that hold a milligram of sodium: molar masses of NaCl and Na. */
export const SALT_G_PER_SODIUM_MG = 58.443 / 22.99 / 1000;

/** Most salt that water takes up near room temperature, as a share of the brine by weight (salt-solubility). */
export const SALT_IN_BRINE_AT_MOST = 0.264;

const MEASURE_ML: Readonly<Record<HouseholdMeasure, number>> = {
  tsp: ML_PER_US_TSP,
  tbsp: ML_PER_US_TBSP,
  cup: ML_PER_US_CUP,
  stick: ML_PER_US_CUP / 2,
};

/**
 * Density in g/mL that a printed household weight stands for. A cup of butter is 0.959.
 * Throws RangeError when the record prints no such measure.
 */
export function householdDensityGPerMl(food: Composition, measure: HouseholdMeasure): number {
  const grams = food.householdG[measure];
  if (grams === undefined) throw new RangeError(`${food.source} gives no weight for a ${measure}`);
  return grams / MEASURE_ML[measure];
}
