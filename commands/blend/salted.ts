import type { ValuesOf } from '../../src/chat/option.js';
import { type Figures, figuresOf, reply } from '../../src/chat/reply.js';
import { SALT_IN_BRINE_AT_MOST } from '../../src/cooking/blends/composition.js';
import {
  BLEND_C,
  BLEND_SECONDS,
  CLOSEST_PACKING,
  type Effect,
  JUG_ML,
  portionsOf,
  type SaltedBlend,
  saltedBlendOf,
  saltGOf,
  XANTHAN_G_PER_TSP,
  XANTHAN_USEFUL,
} from '../../src/cooking/blends/salted-blend.js';
import { TALLOW_DENSITY_G_PER_ML } from '../../src/cooking/blends/tallow.js';
import type { WorkingInput } from '../../src/cooking/working.js';
import { type Asked, type CalculationSpec, inputFrom } from '../../src/kitchen/asked.js';
import * as option from '../../src/kitchen/options.js';
import { cautionsShown } from '../../src/safety/choose.js';
import type { Circumstance } from '../../src/safety/occasion.js';
import { sourceLines } from '../../src/safety/sources.js';
import { roundWeightWords, temperatureWords, type Units, volumeWords } from '../../src/words/amounts.js';
import { ML_PER_US_TSP } from '../../src/words/units.js';
import { contentFigures, contentWords, isSalty, keepsWords, shareWords } from './words.js';

const OPTIONS = {
  tallow: option.tallowAmount(true, 'Tallow, by weight or volume'),
  water: option.waterVolume('Water, where it is not half the volume of the tallow', false),
  salt: option.amount({
    description: 'Salt, where it is not ⅛ tsp for each cup of tallow',
    required: false,
    example: '1/2 tsp',
    orNone: true,
  }),
  xanthan: option.amount({
    description: 'Xanthan gum, where it is not ⅛ tsp for each cup of tallow',
    required: false,
    example: '1/4 tsp',
    orNone: true,
  }),
  unit: option.unitSystem(),
} as const;

type Values = ValuesOf<typeof OPTIONS>;

/** `/blend salted`: a spread of tallow and water. */
export const SALTED_BLEND: CalculationSpec<typeof OPTIONS> = {
  description: 'A salted spread of tallow and water, and what other amounts do to it',
  options: OPTIONS,
  answer(asked) {
    const { tallow, water, salt, xanthan, unit } = asked.values;
    const blend = saltedBlendOf({
      tallowG: option.gramsOf(tallow, TALLOW_DENSITY_G_PER_ML.pouring),
      waterMl: water,
      saltG: salt && ('g' in salt ? salt.g : saltGOf(salt.ml)),
      xanthanG: xanthan && option.gramsOf(xanthan, XANTHAN_G_PER_TSP / ML_PER_US_TSP),
    });
    return {
      reply: reply({
        title: `Salted blend: about ${volumeWords(blend.totalMl, unit)}, ${shareWords(blend.fatFraction)} fat`,
        lines: [
          amountsWords(blend, unit),
          blendingWords(blend, unit),
          ...changesWords(asked.values, blend),
          contentWords(blend),
          keepsWords(blend.keeps),
        ],
        ...cautionsShown({ activity: 'salted-blend', circumstances: circumstancesOf(blend) }, { unit }),
        sources: sourceLines(['practice-salted-blend', 'usda-salt', 'xanthan-range']),
        figures: saltedFigures(blend),
      }),
      inputs: inputsOf(asked, blend),
      parts: [{ title: 'Blend', calculation: blend.calculation }],
    };
  },
};

function circumstancesOf({ totalMl, saltFraction }: SaltedBlend): readonly Circumstance[] {
  return [
    ...(portionsOf(totalMl) > 1 ? (['large'] as const) : []),
    ...(isSalty(saltFraction) ? (['salty'] as const) : []),
  ];
}

/** How to blend something hot without wearing it. */
function blendingWords({ totalMl }: SaltedBlend, unit: Units): string {
  const warm = `${temperatureWords(BLEND_C.low, unit)} to ${temperatureWords(BLEND_C.high, unit)}`;
  const portions = portionsOf(totalMl);
  const times = portions === 1 ? '' : ` Take ${portions} portions in a jug of ${volumeWords(JUG_ML, unit)}.`;
  return `Tallow at ${warm}, water no colder. Blend ${BLEND_SECONDS} s, the jug half full at most and its lid vented, then chill it at once.${times}`;
}

function amountsWords(blend: SaltedBlend, unit: Units): string {
  const { tallowG, tallowMl, waterMl, saltG, saltTsp, xanthanG, xanthanTsp } = blend;
  const parts = [
    `${volumeWords(tallowMl, unit)} of tallow as poured, ${roundWeightWords(tallowG, unit)}`,
    `${volumeWords(waterMl, unit)} of water`,
    saltG === 0 ? 'no salt' : `${spoonWords(saltTsp, saltG, unit)} of salt`,
    xanthanG === 0 ? 'no xanthan gum' : `${spoonWords(xanthanTsp, xanthanG, unit)} of xanthan gum`,
  ];
  return `${parts.join('; ')}.`;
}

/** Less than a pinch has no spoon. */
const SMALLEST_SPOON = 1 / 8 - 1e-9;

/** A spoon for those who have no fine scale, grams for those who have. */
function spoonWords(tsp: number, grams: number, unit: Units): string {
  const weight = roundWeightWords(grams, 'metric');
  return unit === 'metric' || tsp < SMALLEST_SPOON
    ? weight
    : `${volumeWords(tsp * ML_PER_US_TSP, 'us')} (${weight})`;
}

/** What each amount does; for the usual amounts one sentence is enough. */
function changesWords({ water, salt, xanthan, unit }: Values, blend: SaltedBlend): readonly string[] {
  const isChanged = {
    water: water !== undefined,
    salt: salt !== undefined,
    // More or less water makes the gum in it thicker or thinner.
    xanthan: xanthan !== undefined || water !== undefined,
  };
  if (!Object.values(isChanged).includes(true)) return blend.effects.slice(0, 1).map(effectWords);
  const told = blend.effects.filter(({ about, verdict }) => isChanged[about] || verdict === 'may-break');
  const usual =
    water === undefined
      ? []
      : [
          `Usual would be ${volumeWords(blend.usualWaterMl, unit)} of water; to stay fat in water it takes ${volumeWords(blend.leastWaterMl, unit)} at least.`,
        ];
  return [...usual, ...told.map(effectWords)];
}

function effectWords({ about, value, limit, text, verdict }: Effect): string {
  switch (about) {
    case 'water':
      return `Fat is ${shareWords(value)} of the volume; ${verdict === 'more-water-than-fat' ? 'half' : shareWords(limit)} is where it turns. ${text}`;
    case 'xanthan':
      return `Xanthan gum is ${shareWords(value)} of the water; useful is ${shareWords(XANTHAN_USEFUL.low)} to ${shareWords(XANTHAN_USEFUL.high)}. ${text}`;
    case 'salt':
      return `Salt is ${shareWords(value)} of the salt water; ${shareWords(limit)} is all that dissolves. ${text}`;
  }
}

function inputsOf(asked: Asked<Values>, blend: SaltedBlend): readonly WorkingInput[] {
  const { unit } = asked.values;
  const input = inputFrom(asked);
  const tallow = `${volumeWords(blend.tallowMl, unit)}, ${roundWeightWords(blend.tallowG, unit)}`;
  return [
    input('Tallow', 'tallow', tallow),
    input('Water', 'water', volumeWords(blend.waterMl, unit)),
    input('Salt', 'salt', `${Number(blend.saltG.toPrecision(3))} g`),
    input('Xanthan gum', 'xanthan', `${Number(blend.xanthanG.toPrecision(3))} g`),
  ];
}

function saltedFigures(blend: SaltedBlend): Figures {
  const { refrigerator, freezer } = blend.keeps;
  return {
    ...contentFigures(blend),
    ...figuresOf(blend, 'waterMl', 'saltG', 'xanthanG', 'fatVolumeFraction', 'xanthanOfWater'),
    ...figuresOf(blend, 'usualWaterMl', 'leastWaterMl'),
    saltMl: blend.saltTsp * ML_PER_US_TSP,
    xanthanMl: blend.xanthanTsp * ML_PER_US_TSP,
    fatVolumeLimit: CLOSEST_PACKING,
    xanthanUsefulLow: XANTHAN_USEFUL.low,
    xanthanUsefulHigh: XANTHAN_USEFUL.high,
    saltInWaterLimit: SALT_IN_BRINE_AT_MOST,
    blendSeconds: BLEND_SECONDS,
    blendLowC: BLEND_C.low,
    blendHighC: BLEND_C.high,
    jugMl: JUG_ML,
    portions: portionsOf(blend.totalMl),
    keepsDays: refrigerator.daysHigh,
    keepsFrozenDaysLow: freezer.daysLow,
    keepsFrozenDaysHigh: freezer.daysHigh,
  };
}
