/**
 * What foods are made of, as published, in fractions of the weight.
 * Source: USDA FoodData Central, SR Legacy (Standard Reference, release 27 by content).
 */

import type { SourceId } from '../../safety/sources.js';
import { ML_PER_US_CUP } from '../../words/units.js';

export const RAW_FAT = {
  suet: { fat: 0.94, water: 0.04, source: 'usda-suet' },
  trimmings: { fat: 0.7089, water: 0.2021, source: 'usda-separable-fat' },
} as const;

export type ButterKind = 'salted' | 'unsalted';

interface Butter {
  readonly fat: number;
  readonly water: number;
  /** Milligrams of sodium in a gram. */
  readonly sodiumMgPerG: number;
  readonly source: SourceId;
}

export const BUTTER: Readonly<Record<ButterKind, Butter>> = {
  salted: { fat: 0.8111, water: 0.1587, sodiumMgPerG: 6.43, source: 'usda-butter-salted' },
  unsalted: { fat: 0.8111, water: 0.1794, sodiumMgPerG: 0.11, source: 'usda-butter-unsalted' },
};

/** The records print 227 g for a cup of either. */
export const BUTTER_DENSITY_G_PER_ML = 227 / ML_PER_US_CUP;

export const SALT = { sodiumMgPerG: 387.58, gPerTsp: 6, source: 'usda-salt' } as const;

/** Grams of salt that hold a milligram of sodium: molar masses of NaCl and Na. */
export const SALT_G_PER_SODIUM_MG = 58.443 / 22.99 / 1000;

/** Most salt that water takes up near room temperature, as a share of the brine by weight (salt-solubility). */
export const SALT_IN_BRINE_AT_MOST = 0.264;

/** The most salt that so much water takes up, in grams. */
export function mostSaltG(waterG: number): number {
  return (waterG * SALT_IN_BRINE_AT_MOST) / (1 - SALT_IN_BRINE_AT_MOST);
}
