/** Butter and tallow melted together. */

import { assumed } from '../../safety/sources.js';
import { KEEPING, type Keeping } from '../../safety/storage.js';
import { assertNotNegative, assertPositive } from '../../words/numbers.js';
import { celsiusFromFahrenheit, ML_PER_US_TBSP } from '../../words/units.js';
import type { Calculation } from '../working.js';
import {
  BUTTER,
  BUTTER_DENSITY_G_PER_ML,
  type ButterKind,
  mostSaltG,
  SALT,
  SALT_G_PER_SODIUM_MG,
} from './composition.js';
import { POURING_CONSTANT, pouringMl, TALLOW_DENSITY_G_PER_ML } from './tallow.js';

/** Common practice melts it below 100 °F. */
export const BUTTER_BLEND_CAP_C = celsiusFromFahrenheit(100);

/** What works: the tallow is melted clear, cooled to this, 100 to 110 °F, and soft butter stirred in. Common practice, no source. */
export const STIR_IN_C = { low: celsiusFromFahrenheit(100), high: celsiusFromFahrenheit(110) } as const;

/** 100 °F is no hotter than where tallow melts, and inside 40 to 140 °F: be brief, then chill at once. */
export const TALLOW_MELTS_C = { low: 40, high: 50 } as const;

interface ButterBlendAmounts {
  readonly butterG: number;
  readonly butter: ButterKind;
  readonly tallowG: number;
  /** Stirred in besides what is in the butter. */
  readonly addedSaltG?: number | undefined;
}

export interface ButterBlendTarget {
  /** How much blend, by weight or by volume. */
  readonly total: { readonly g: number } | { readonly ml: number };
  readonly butter: ButterKind;
  /** Butter to tallow by volume; 1 is common practice. */
  readonly butterToTallow?: number | undefined;
  /** Salt as a share of the weight; without it none is added. */
  readonly saltFraction?: number | undefined;
}

export type ButterBlend = ReturnType<typeof butterBlendOf>;

/** Salted butter alone brings more salt than was asked for; unsalted butter can do it. */
interface TooLittleSaltAsked {
  readonly ok: false;
  readonly problem: 'butter-is-saltier';
  readonly askedSaltFraction: number;
  readonly leastSaltFraction: number;
}

/** The water in the butter cannot take up so much salt. */
interface TooMuchSaltAsked {
  readonly ok: false;
  readonly problem: 'salt-will-not-dissolve';
  readonly askedSaltFraction: number;
  readonly mostSaltFraction: number;
}

const SALT_DENSITY_G_PER_ML = 2.16;

/**
 * What a blend of some butter and some tallow holds.
 * A cup of salted butter (227 g) and 205 g of tallow are 90.1 % fat, 8.3 % water and 0.86 % salt.
 * Throws RangeError when a weight is negative or not finite, or butter or tallow is 0.
 */
export function butterBlendOf({ butterG, butter, tallowG, addedSaltG = 0 }: ButterBlendAmounts) {
  assertPositive({ butterG, tallowG });
  assertNotNegative({ addedSaltG });
  const { fat, water, sodiumMgPerG, source } = BUTTER[butter];
  const totalG = butterG + tallowG + addedSaltG;
  const waterG = butterG * water;
  const saltG = butterG * saltShare(butter) + addedSaltG;
  const sodiumMg = butterG * sodiumMgPerG + addedSaltG * SALT.sodiumMgPerG;
  const butterMl = butterG / BUTTER_DENSITY_G_PER_ML;
  const tallowMl = pouringMl(tallowG);
  const totalMl = butterMl + tallowMl + addedSaltG / SALT_DENSITY_G_PER_ML;
  const fatFraction = (butterG * fat + tallowG) / totalG;
  const sodiumMgPerTbsp = (sodiumMg / totalMl) * ML_PER_US_TBSP;
  const keeps: Keeping = KEEPING['butter-blend'];
  return {
    ok: true as const,
    butterG,
    butterMl,
    tallowG,
    /** As poured. */
    tallowMl,
    addedSaltG,
    totalG,
    totalMl,
    fatFraction,
    waterFraction: waterG / totalG,
    /** All salt, that of the butter included. */
    saltFraction: saltG / totalG,
    /** Salt as a share of salt and water, if all of it stays in the water: fat takes up none. */
    saltInWater: saltG / (saltG + waterG),
    /** Salt that the water cannot take up, which stays gritty. */
    undissolvedSaltG: Math.max(0, saltG - mostSaltG(waterG)),
    sodiumMgPerTbsp,
    meltBelowC: BUTTER_BLEND_CAP_C,
    keeps,
    calculation: {
      formula: 'each share = what butter, tallow and salt bring ÷ the weight of the blend',
      constants: [
        { name: 'Fat in butter', value: fat, unit: 'g/g', source },
        { name: 'Water in butter', value: water, unit: 'g/g', source },
        { name: 'Sodium in butter', value: sodiumMgPerG, unit: 'mg/g', source },
        { name: 'Sodium in salt', value: SALT.sodiumMgPerG, unit: 'mg/g', source: SALT.source },
        { name: 'Butter weighs', value: BUTTER_DENSITY_G_PER_ML, unit: 'g/mL', source },
        POURING_CONSTANT,
      ],
      assumptions: [
        assumed('Equal volumes of salted butter and tallow are usual.', 'practice-butter-blend'),
        assumed('Salted butter differs by maker: 580 to 714 mg of sodium in 100 g (from memory).'),
        assumed('Salt stays in the water of the butter and does not dissolve in fat.', 'salt-in-fat'),
        assumed(
          `100 °F is below where tallow melts, ${TALLOW_MELTS_C.low} to ${TALLOW_MELTS_C.high} °C, and in the danger zone: it may stay grainy, and it has to be brief.`,
          'tallow-melting-range',
          'fsis-danger-zone',
        ),
      ],
      steps: [
        { name: 'Blend', value: totalG, unit: 'g' },
        { name: 'Salt, that of the butter included', value: saltG, unit: 'g' },
        { name: 'Sodium', value: sodiumMg, unit: 'mg' },
      ],
    } satisfies Calculation,
  };
}

/**
 * The amounts for a total: butter to tallow by volume, and salt as a share of the weight.
 * Throws RangeError when the total or the ratio is not above 0, or the share of salt is outside 0 to less than 1.
 */
export function butterBlendFor(
  target: ButterBlendTarget,
): ButterBlend | TooLittleSaltAsked | TooMuchSaltAsked {
  const { total, butter, butterToTallow = 1, saltFraction } = target;
  assertPositive({ ...total, butterToTallow });
  if (saltFraction !== undefined && !(saltFraction >= 0 && saltFraction < 1))
    throw new RangeError(`saltFraction must be from 0 to less than 1, not ${saltFraction}`);
  const butterWeight = butterToTallow * BUTTER_DENSITY_G_PER_ML;
  const butterShare = butterWeight / (butterWeight + TALLOW_DENSITY_G_PER_ML.pouring);
  if (saltFraction !== undefined) {
    const leastSaltFraction = butterShare * saltShare(butter);
    if (saltFraction < leastSaltFraction - 1e-9)
      return { ok: false, problem: 'butter-is-saltier', askedSaltFraction: saltFraction, leastSaltFraction };
    const mostSaltFraction = dissolvedSaltFraction(butterShare, butter);
    if (saltFraction > mostSaltFraction + 1e-9)
      return {
        ok: false,
        problem: 'salt-will-not-dissolve',
        askedSaltFraction: saltFraction,
        mostSaltFraction,
      };
  }
  const ofOneGram = sharesOf(butterShare, butter, saltFraction);
  const totalG = 'g' in total ? total.g : total.ml / butterBlendOf(ofOneGram).totalMl;
  return butterBlendOf({
    butterG: ofOneGram.butterG * totalG,
    butter,
    tallowG: ofOneGram.tallowG * totalG,
    addedSaltG: ofOneGram.addedSaltG * totalG,
  });
}

/** Of one gram of blend. The salt of the butter counts; x more makes up s: (natural (1 − x) + x) = s. */
function sharesOf(butterShare: number, butter: ButterKind, saltFraction: number | undefined) {
  const natural = butterShare * saltShare(butter);
  const addedSaltG = saltFraction === undefined ? 0 : Math.max(0, (saltFraction - natural) / (1 - natural));
  return {
    butterG: (1 - addedSaltG) * butterShare,
    butter,
    tallowG: (1 - addedSaltG) * (1 - butterShare),
    addedSaltG,
  };
}

function saltShare(butter: ButterKind): number {
  return BUTTER[butter].sodiumMgPerG * SALT_G_PER_SODIUM_MG;
}

/** All the salt that the water of the butter takes up, as a share of the blend. */
function dissolvedSaltFraction(butterShare: number, butter: ButterKind): number {
  const saltG = mostSaltG(butterShare * BUTTER[butter].water);
  const addedG = saltG - butterShare * saltShare(butter);
  return saltG / (1 + addedG);
}
