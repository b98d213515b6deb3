import { refuseUnreadable, subcommand } from '../../src/chat/command.js';
import { parseOptions, type ValuesOf } from '../../src/chat/option.js';
import { type Refusal, reply } from '../../src/chat/reply.js';
import { SALT_IN_BRINE_AT_MOST } from '../../src/cooking/blends/composition.js';
import {
  BLEND_SECONDS,
  CLOSEST_PACKING,
  type Effect,
  type SaltedBlend,
  saltedBlendOf,
  saltGOf,
  XANTHAN_G_PER_TSP,
  XANTHAN_USEFUL,
} from '../../src/cooking/blends/salted-blend.js';
import { TALLOW_DENSITY_G_PER_ML } from '../../src/cooking/blends/tallow.js';
import type { WorkingInput } from '../../src/cooking/working.js';
import { type Asked, askedPlainly, originOf } from '../../src/kitchen/asked.js';
import * as option from '../../src/kitchen/options.js';
import { type Answer, showingWork } from '../../src/kitchen/working.js';
import type { Records } from '../../src/records/database.js';
import { shownCautions } from '../../src/safety/cautions-shown.js';
import { sourceLines } from '../../src/safety/sources-shown.js';
import { roundWeightWords, type Units, volumeWords } from '../../src/words/amount-words.js';
import { ML_PER_US_TSP } from '../../src/words/units.js';
import { keepsWords, shareWords, sodiumWords } from './words.js';

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
export function saltedBlend(db: Records) {
  const work = showingWork(db, 'blend-salted', answer);
  return {
    subcommand: subcommand({
      description: 'A salted spread of tallow and water, and what other amounts do to it',
      options: OPTIONS,
      run: (_values, call, given) => work.say(askedPlainly(given), call),
    }),
    handlers: work.handlers,
  };
}

function answer(asked: Asked): Answer | Refusal {
  const read = parseOptions(OPTIONS, asked.said);
  if (!read.ok) return refuseUnreadable(read.problems);
  const { tallow, water, salt, xanthan, unit } = read.values;
  const blend = saltedBlendOf({
    tallowG: 'g' in tallow ? tallow.g : tallow.ml * TALLOW_DENSITY_G_PER_ML.pouring,
    waterMl: water,
    saltG: salt && ('g' in salt ? salt.g : saltGOf(salt.ml)),
    xanthanG: xanthan && ('g' in xanthan ? xanthan.g : (xanthan.ml / ML_PER_US_TSP) * XANTHAN_G_PER_TSP),
  });
  return {
    kind: 'answer',
    reply: reply({
      title: `Salted blend: about ${volumeWords(blend.totalMl, unit)}, ${shareWords(blend.fatFraction)} fat`,
      lines: [
        `${amountsWords(blend, unit)} Blend the warm, liquid tallow into the rest for ${BLEND_SECONDS} s, then chill it at once.`,
        ...changesWords(read.values, blend, unit),
        `By weight ${shareWords(blend.fatFraction)} fat, ${shareWords(blend.waterFraction)} water, ${shareWords(blend.saltFraction)} salt; ${sodiumWords(blend.sodiumMgPerTbsp)} of sodium in a tablespoon.`,
        keepsWords(blend.keeps),
      ],
      cautions: shownCautions({ activity: 'salted-blend' }),
      sources: sourceLines(['practice-salted-blend', 'usda-salt', 'xanthan-range']),
      figures: figuresOf(blend),
    }),
    inputs: inputsOf(asked, blend, unit),
    parts: [{ title: 'Blend', calculation: blend.calculation }],
  };
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
function changesWords({ water, salt, xanthan }: Values, blend: SaltedBlend, unit: Units): readonly string[] {
  const isChanged = { water, salt, xanthan };
  const [first, ...others] = blend.effects;
  if (Object.values(isChanged).every((value) => value === undefined))
    return first === undefined ? [] : [effectWords(first)];
  const told = [first, ...others].filter(
    (effect) =>
      effect !== undefined &&
      (isChanged[effect.about] !== undefined ||
        // More or less water makes the gum in it thicker or thinner.
        (effect.about === 'xanthan' && water !== undefined) ||
        effect.verdict === 'may-break'),
  );
  const usual =
    water === undefined
      ? []
      : [
          `Usual would be ${volumeWords(blend.usualWaterMl, unit)} of water; to stay fat in water it takes ${volumeWords(blend.leastWaterMl, unit)} at least.`,
        ];
  return [...usual, ...told.flatMap((effect) => (effect === undefined ? [] : [effectWords(effect)]))];
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

function inputsOf(asked: Asked, blend: SaltedBlend, unit: Units): readonly WorkingInput[] {
  const input = (name: string, option: string, value: string): WorkingInput => ({
    name,
    value,
    unit: '',
    origin: originOf(asked, option),
  });
  return [
    input(
      'Tallow',
      'tallow',
      `${volumeWords(blend.tallowMl, unit)}, ${roundWeightWords(blend.tallowG, unit)}`,
    ),
    input('Water', 'water', volumeWords(blend.waterMl, unit)),
    input('Salt', 'salt', `${Number(blend.saltG.toPrecision(3))} g`),
    input('Xanthan gum', 'xanthan', `${Number(blend.xanthanG.toPrecision(3))} g`),
  ];
}

function figuresOf(blend: SaltedBlend) {
  const { refrigerator, freezer } = blend.keeps;
  return {
    tallowG: blend.tallowG,
    tallowMl: blend.tallowMl,
    waterMl: blend.waterMl,
    saltG: blend.saltG,
    saltMl: blend.saltTsp * ML_PER_US_TSP,
    xanthanG: blend.xanthanG,
    xanthanMl: blend.xanthanTsp * ML_PER_US_TSP,
    totalG: blend.totalG,
    totalMl: blend.totalMl,
    fatFraction: blend.fatFraction,
    waterFraction: blend.waterFraction,
    saltFraction: blend.saltFraction,
    fatVolumeFraction: blend.fatVolumeFraction,
    fatVolumeLimit: CLOSEST_PACKING,
    xanthanOfWater: blend.xanthanOfWater,
    xanthanUsefulLow: XANTHAN_USEFUL.low,
    xanthanUsefulHigh: XANTHAN_USEFUL.high,
    saltInWater: blend.saltInWater,
    saltInWaterLimit: SALT_IN_BRINE_AT_MOST,
    undissolvedSaltG: blend.undissolvedSaltG,
    sodiumMgPerTbsp: blend.sodiumMgPerTbsp,
    usualWaterMl: blend.usualWaterMl,
    leastWaterMl: blend.leastWaterMl,
    blendSeconds: BLEND_SECONDS,
    keepsDays: refrigerator.daysHigh,
    keepsFrozenDaysLow: freezer.daysLow,
    keepsFrozenDaysHigh: freezer.daysHigh,
  };
}
