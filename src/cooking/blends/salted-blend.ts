/** Tallow, water, salt and xanthan gum blended to a spread: oil droplets in thickened water. */

import { assumed } from '../../safety/sources.js';
import { KEEPING, type Keeping } from '../../safety/storage.js';
import { assertNotNegative, assertPositive } from '../../words/numbers.js';
import { celsiusFromFahrenheit, ML_PER_US_CUP, ML_PER_US_TBSP, ML_PER_US_TSP } from '../../words/units.js';
import { liquidWaterDensityGPerMl } from '../heat/water-properties.js';
import type { Calculation } from '../working.js';
import { mostSaltG, SALT, SALT_IN_BRINE_AT_MOST } from './composition.js';
import { POURING_CONSTANT, pouringMl } from './tallow.js';

/** Xanthan gum is a loose powder: a teaspoon weighs 2.4 to 3.2 g (from memory). */
export const XANTHAN_G_PER_TSP = 2.8;

const SALT_G_PER_TSP = SALT.gPerTsp;

/** To a cup of tallow: ½ cup of water, ⅛ tsp of salt, ⅛ tsp of xanthan gum. Common practice, no source. */
const RECIPE = {
  waterPerTallow: 1 / 2,
  saltGPerTallowMl: SALT_G_PER_TSP / 8 / ML_PER_US_CUP,
  xanthanGPerTallowMl: XANTHAN_G_PER_TSP / 8 / ML_PER_US_CUP,
};

/** Equal balls fill 74 % of a space at most (close packing): beyond it oil droplets no longer fit into the water. */
export const CLOSEST_PACKING = Math.PI / (3 * Math.SQRT2);

/** Useful share of the water phase (xanthan-range; allowed by xanthan-cfr). */
export const XANTHAN_USEFUL = { low: 0.0005, high: 0.005 } as const;

const MEASURED_AT_C = 20;

/** Warm enough that tallow does not set at once, and far too cool to boil water: 120 to 140 °F. Our own margin. */
export const BLEND_C = { low: celsiusFromFahrenheit(120), high: celsiusFromFahrenheit(140) } as const;

/** A jug of 6 cups, filled to half at most, as steam and air lift what is hot. Assumed. */
export const JUG_ML = 6 * ML_PER_US_CUP;

/** How many times such a jug is filled. */
export const portionsOf = (totalMl: number): number => Math.max(1, Math.ceil(totalMl / (JUG_ML / 2) - 1e-9));

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

/** What an amount does, with the figure that says so and the limit it is held against. */
export interface Effect {
  readonly about: 'water' | 'xanthan' | 'salt';
  readonly verdict:
    | 'oil-in-water'
    | 'may-break'
    | 'more-water-than-fat'
    | 'xanthan-useful'
    | 'xanthan-too-thin'
    | 'xanthan-gummy'
    | 'salt-dissolves'
    | 'salt-gritty';
  readonly value: number;
  readonly limit: number;
  readonly text: string;
}

export type SaltedBlend = ReturnType<typeof saltedBlendOf>;

/**
 * A salted blend for some tallow: the usual recipe scaled, or what other amounts do.
 * A cup of tallow with the usual amounts is 0.67 fat by volume, with 0.30 % of xanthan gum and 0.63 % of salt in its water.
 * Throws RangeError when tallow or water is not above 0, or salt or xanthan gum is negative.
 */
export function saltedBlendOf(request: SaltedBlendRequest) {
  const { tallowG } = request;
  assertPositive({ tallowG });
  const tallowMl = pouringMl(tallowG);
  const usualWaterMl = tallowMl * RECIPE.waterPerTallow;
  const {
    waterMl = usualWaterMl,
    saltG = tallowMl * RECIPE.saltGPerTallowMl,
    xanthanG = tallowMl * RECIPE.xanthanGPerTallowMl,
  } = request;
  assertPositive({ waterMl });
  assertNotNegative({ saltG, xanthanG });

  const waterG = waterMl * liquidWaterDensityGPerMl(MEASURED_AT_C);
  const totalG = tallowG + waterG + saltG + xanthanG;
  const totalMl = tallowMl + waterMl;
  const fatVolumeFraction = tallowMl / totalMl;
  const xanthanOfWater = xanthanG / waterG;
  const saltInWater = saltG / (saltG + waterG);
  const sodiumMg = saltG * SALT.sodiumMgPerG;
  const effects: readonly Effect[] = [
    waterEffect(fatVolumeFraction),
    xanthanEffect(xanthanOfWater),
    saltEffect(saltInWater),
  ];
  const keeps: Keeping = KEEPING['salted-blend'];
  return {
    tallowG,
    /** As poured. */
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
    /** Fat as a share of the volume. */
    fatVolumeFraction,
    xanthanOfWater,
    saltInWater,
    undissolvedSaltG: Math.max(0, saltG - mostSaltG(waterG)),
    sodiumMgPerTbsp: (sodiumMg / totalMl) * ML_PER_US_TBSP,
    /** As the usual recipe has it for this tallow. */
    usualWaterMl,
    /** The least water that keeps the fat at the closest packing. */
    leastWaterMl: tallowMl * (1 / CLOSEST_PACKING - 1),
    effects,
    keeps,
    calculation: {
      formula:
        'each share = its weight ÷ the weight of the blend; fat by volume = tallow as poured ÷ tallow and water',
      constants: [
        POURING_CONSTANT,
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
        assumed(
          `Usual: 1 cup of tallow, ½ cup of water, ⅛ tsp of salt, ⅛ tsp of xanthan gum, blended for ${BLEND_SECONDS} s and chilled.`,
          'practice-salted-blend',
        ),
        assumed(`A teaspoon of xanthan gum weighs about ${XANTHAN_G_PER_TSP} g (from memory).`),
        assumed('Salt stays in the water and does not dissolve in fat.', 'salt-in-fat'),
        assumed(
          'It is preserved by nothing but the cold.',
          'food-code-date',
          'botulism-limits',
          'botulism-cold',
        ),
      ],
      steps: [
        { name: 'Fat by volume', value: fatVolumeFraction, unit: '' },
        { name: 'Xanthan gum in the water', value: xanthanOfWater * 100, unit: '%' },
        { name: 'Salt in the water', value: saltInWater * 100, unit: '%' },
        { name: 'Sodium', value: sodiumMg, unit: 'mg' },
      ],
    } satisfies Calculation,
  };
}

function waterEffect(value: number): Effect {
  const base = { about: 'water', value, limit: CLOSEST_PACKING } as const;
  if (value > CLOSEST_PACKING)
    return {
      ...base,
      verdict: 'may-break',
      text: 'So little water leaves no room around the droplets of fat: it may break, or turn into water in fat.',
    };
  if (value < 0.5)
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

function xanthanEffect(value: number): Effect {
  const base = { about: 'xanthan', value, limit: XANTHAN_USEFUL.high } as const;
  if (value < XANTHAN_USEFUL.low)
    return {
      ...base,
      limit: XANTHAN_USEFUL.low,
      verdict: 'xanthan-too-thin',
      text: 'So little xanthan gum hardly thickens the water: the fat will rise and separate.',
    };
  if (value > XANTHAN_USEFUL.high)
    return {
      ...base,
      verdict: 'xanthan-gummy',
      text: 'So much xanthan gum for the water turns gummy and slimy, and may not wet through.',
    };
  return {
    ...base,
    verdict: 'xanthan-useful',
    text: 'The xanthan gum is within its useful range for this much water.',
  };
}

function saltEffect(value: number): Effect {
  const base = { about: 'salt', value, limit: SALT_IN_BRINE_AT_MOST } as const;
  return value > SALT_IN_BRINE_AT_MOST
    ? {
        ...base,
        verdict: 'salt-gritty',
        text: 'The water cannot dissolve so much salt and the fat dissolves none: the rest stays gritty.',
      }
    : {
        ...base,
        verdict: 'salt-dissolves',
        text: 'All the salt dissolves in the water; the fat dissolves none, so the water is much saltier than the blend.',
      };
}

/** What a teaspoon measure stands for, for amounts given by volume. */
export function saltGOf(ml: number): number {
  return (ml / ML_PER_US_TSP) * SALT_G_PER_TSP;
}
