/** Tallow, water, salt and xanthan gum blended to a spread: oil droplets in thickened water. */

import type { SourceId } from '../../safety/sources.js';
import { KEEPING, type Keeping } from '../../safety/storage.js';
import { ML_PER_US_CUP, ML_PER_US_TBSP, ML_PER_US_TSP } from '../../words/units.js';
import { liquidWaterDensityGPerMl } from '../heat/water-properties.js';
import type { Calculation } from '../working.js';
import { SALT, SALT_IN_BRINE_AT_MOST } from './composition.js';
import { TALLOW_DENSITY_G_PER_ML } from './tallow.js';

/** Xanthan gum is a loose powder: a teaspoon weighs 2.4 to 3.2 g (from memory). */
export const XANTHAN_G_PER_TSP = 2.8;

const SALT_G_PER_TSP = SALT.householdG.tsp;

/** To a cup of tallow: ½ cup of water, ⅛ tsp of salt, ⅛ tsp of xanthan gum. Common practice, no source. */
const RECIPE = {
  waterPerTallow: 1 / 2,
  saltGPerTallowMl: SALT_G_PER_TSP / 8 / ML_PER_US_CUP,
  xanthanGPerTallowMl: XANTHAN_G_PER_TSP / 8 / ML_PER_US_CUP,
};

/** Equal balls fill 74 % of a space at most (close packing): beyond it oil droplets no longer fit into the water. */
export const CLOSEST_PACKING = Math.PI / (3 * Math.SQRT2);

/** Useful share of the water phase (xanthan-range). */
export const XANTHAN_USEFUL = { low: 0.0005, high: 0.005 } as const;

/** Salt in the water phase that stops what grows in low-acid food: 10 % (botulism-limits). */
const PRESERVING_SALT_IN_WATER = 0.1;

const MEASURED_AT_C = 20;

export const BLEND_SECONDS = 30;

export interface SaltedBlendRequest {
  readonly tallowG: number;
  /** Without it, half the volume of the tallow. */
  readonly waterMl?: number | undefined;
  /** Without it, ⅛ tsp for each cup of tallow. */
  readonly saltG?: number | undefined;
  /** Without it, ⅛ tsp for each cup of tallow. */
  readonly xanthanG?: number | undefined;
}

export type Verdict =
  | 'oil-in-water'
  | 'may-break'
  | 'more-water-than-fat'
  | 'xanthan-useful'
  | 'xanthan-too-thin'
  | 'xanthan-gummy'
  | 'salt-dissolves'
  | 'salt-gritty';

/** What an amount does, with the figure that says so and the limit it is held against. */
export interface Effect {
  readonly about: 'water' | 'xanthan' | 'salt';
  readonly verdict: Verdict;
  readonly value: number;
  readonly limit: number;
  readonly text: string;
  readonly sources: readonly SourceId[];
}

export interface SaltedBlend {
  readonly tallowG: number;
  /** As poured. */
  readonly tallowMl: number;
  readonly waterMl: number;
  readonly saltG: number;
  readonly saltTsp: number;
  readonly xanthanG: number;
  readonly xanthanTsp: number;
  readonly totalG: number;
  readonly totalMl: number;
  readonly fatFraction: number;
  readonly waterFraction: number;
  readonly saltFraction: number;
  /** Fat as a share of the volume. */
  readonly fatVolumeFraction: number;
  readonly xanthanOfWater: number;
  readonly saltInWater: number;
  readonly undissolvedSaltG: number;
  readonly sodiumMgPerTbsp: number;
  /** As the usual recipe has it for this tallow. */
  readonly usualWaterMl: number;
  /** The least water that keeps the fat at the closest packing. */
  readonly leastWaterMl: number;
  /** Xanthan gum that is useful for this much water. */
  readonly xanthanLowG: number;
  readonly xanthanHighG: number;
  readonly effects: readonly Effect[];
  /** Whether the salt in the water reaches the 10 % that stops botulism: at amounts people eat it never does. */
  readonly preservedBySalt: boolean;
  readonly keeps: Keeping;
  readonly cautions: readonly string[];
  readonly calculation: Calculation;
}

/**
 * A salted blend for some tallow: the usual recipe scaled, or what other amounts do.
 * A cup of tallow with the usual amounts is 0.67 fat by volume, with 0.30 % of xanthan gum and 0.63 % of salt in its water.
 * Throws RangeError when tallow or water is not above 0, or salt or xanthan gum is negative.
 */
export function saltedBlendOf(request: SaltedBlendRequest): SaltedBlend {
  const { tallowG } = request;
  positive('tallowG', tallowG);
  const tallowMl = tallowG / TALLOW_DENSITY_G_PER_ML.pouring;
  const usualWaterMl = tallowMl * RECIPE.waterPerTallow;
  const {
    waterMl = usualWaterMl,
    saltG = tallowMl * RECIPE.saltGPerTallowMl,
    xanthanG = tallowMl * RECIPE.xanthanGPerTallowMl,
  } = request;
  positive('waterMl', waterMl);
  notNegative('saltG', saltG);
  notNegative('xanthanG', xanthanG);

  const waterG = waterMl * liquidWaterDensityGPerMl(MEASURED_AT_C);
  const totalG = tallowG + waterG + saltG + xanthanG;
  const totalMl = tallowMl + waterMl;
  const fatVolumeFraction = tallowMl / totalMl;
  const xanthanOfWater = xanthanG / waterG;
  const saltInWater = saltG / (saltG + waterG);
  const dissolvesG = (waterG * SALT_IN_BRINE_AT_MOST) / (1 - SALT_IN_BRINE_AT_MOST);
  const undissolvedSaltG = Math.max(0, saltG - dissolvesG);
  const sodiumMg = saltG * SALT.sodiumMgPerG;
  return {
    tallowG,
    tallowMl,
    waterMl,
    saltG,
    saltTsp: saltG / SALT_G_PER_TSP,
    xanthanG,
    xanthanTsp: xanthanG / XANTHAN_G_PER_TSP,
    totalG,
    totalMl,
    fatFraction: tallowG / totalG,
    waterFraction: waterG / totalG,
    saltFraction: saltG / totalG,
    fatVolumeFraction,
    xanthanOfWater,
    saltInWater,
    undissolvedSaltG,
    sodiumMgPerTbsp: (sodiumMg / totalMl) * ML_PER_US_TBSP,
    usualWaterMl,
    leastWaterMl: tallowMl * (1 / CLOSEST_PACKING - 1),
    xanthanLowG: waterG * XANTHAN_USEFUL.low,
    xanthanHighG: waterG * XANTHAN_USEFUL.high,
    effects: [waterEffect(fatVolumeFraction), xanthanEffect(xanthanOfWater), saltEffect(saltInWater)],
    preservedBySalt: saltInWater >= PRESERVING_SALT_IN_WATER,
    keeps: KEEPING['salted-blend'],
    cautions: ['salted-blend-cold-only'],
    calculation: {
      formula:
        'each share = its weight ÷ the weight of the blend; fat by volume = tallow as poured ÷ tallow and water',
      constants: [
        {
          name: 'Tallow weighs, as poured,',
          value: TALLOW_DENSITY_G_PER_ML.pouring,
          unit: 'g/mL',
          source: 'pouring-density',
        },
        {
          name: 'Water weighs, at 20 °C,',
          value: liquidWaterDensityGPerMl(MEASURED_AT_C),
          unit: 'g/mL',
          source: 'crc-water-density',
        },
        { name: 'A teaspoon of salt weighs', value: SALT_G_PER_TSP, unit: 'g', source: SALT.source },
        { name: 'Sodium in salt', value: SALT.sodiumMgPerG, unit: 'mg/g', source: SALT.source },
      ],
      assumptions: [
        {
          text: 'Usual: 1 cup of tallow, ½ cup of water, ⅛ tsp of salt, ⅛ tsp of xanthan gum, blended for 30 s and chilled.',
          sources: ['practice-salted-blend'],
        },
        {
          text: `A teaspoon of xanthan gum weighs about ${XANTHAN_G_PER_TSP} g (from memory).`,
          sources: [],
        },
        { text: 'Salt stays in the water and does not dissolve in fat.', sources: ['salt-in-fat'] },
        {
          text: 'It is preserved by nothing but the cold.',
          sources: ['food-code-date', 'botulism-limits', 'botulism-cold'],
        },
      ],
      steps: [
        { name: 'Fat by volume', value: fatVolumeFraction, unit: '' },
        { name: 'Xanthan gum in the water', value: xanthanOfWater * 100, unit: '%' },
        { name: 'Salt in the water', value: saltInWater * 100, unit: '%' },
        { name: 'Sodium', value: sodiumMg, unit: 'mg' },
      ],
    },
  };
}

function waterEffect(fatVolumeFraction: number): Effect {
  const base = { about: 'water', value: fatVolumeFraction, limit: CLOSEST_PACKING, sources: [] } as const;
  if (fatVolumeFraction > CLOSEST_PACKING)
    return {
      ...base,
      verdict: 'may-break',
      text: 'So little water leaves no room around the droplets of fat: it may break, or turn into water in fat.',
    };
  if (fatVolumeFraction < 0.5)
    return {
      ...base,
      limit: 0.5,
      verdict: 'more-water-than-fat',
      text: 'It holds more water than fat: thin, closer to a dressing than to a spread, and the droplets rise.',
    };
  return {
    ...base,
    verdict: 'oil-in-water',
    text: 'The droplets of fat have room in the water: it should stay fat in water.',
  };
}

function xanthanEffect(xanthanOfWater: number): Effect {
  const base = {
    about: 'xanthan',
    value: xanthanOfWater,
    sources: ['xanthan-range', 'xanthan-cfr'],
  } as const;
  if (xanthanOfWater < XANTHAN_USEFUL.low)
    return {
      ...base,
      limit: XANTHAN_USEFUL.low,
      verdict: 'xanthan-too-thin',
      text: 'So little xanthan gum hardly thickens the water: the fat will rise and separate.',
    };
  if (xanthanOfWater > XANTHAN_USEFUL.high)
    return {
      ...base,
      limit: XANTHAN_USEFUL.high,
      verdict: 'xanthan-gummy',
      text: 'So much xanthan gum for the water turns gummy and slimy, and may not wet through.',
    };
  return {
    ...base,
    limit: XANTHAN_USEFUL.high,
    verdict: 'xanthan-useful',
    text: 'The xanthan gum is within its useful range for this much water.',
  };
}

function saltEffect(saltInWater: number): Effect {
  const gritty = saltInWater > SALT_IN_BRINE_AT_MOST;
  return {
    about: 'salt',
    verdict: gritty ? 'salt-gritty' : 'salt-dissolves',
    value: saltInWater,
    limit: SALT_IN_BRINE_AT_MOST,
    text: gritty
      ? 'The water cannot dissolve so much salt and the fat dissolves none: the rest stays gritty.'
      : 'All the salt dissolves in the water; the fat dissolves none, so the water is much saltier than the blend.',
    sources: ['salt-solubility', 'salt-in-fat'],
  };
}

/** What a teaspoon measure stands for, for amounts given by volume. */
export function saltGOf(ml: number): number {
  return (ml / ML_PER_US_TSP) * SALT_G_PER_TSP;
}

function positive(name: string, value: number): void {
  if (!(Number.isFinite(value) && value > 0))
    throw new RangeError(`${name} must be a finite number above 0, not ${value}`);
}

function notNegative(name: string, value: number): void {
  if (!(Number.isFinite(value) && value >= 0))
    throw new RangeError(`${name} must be a finite number from 0 up, not ${value}`);
}
