import { oneLine } from '../../src/chat/clean.js';
import { type Option, parsed, shorten, unreadable, type ValuesOf } from '../../src/chat/option.js';
import { choice, percentage } from '../../src/chat/options.js';
import { type Figures, figuresOf, isRefusal, type Refusal, refusal, reply } from '../../src/chat/reply.js';
import {
  type ButterBlend,
  type ButterBlendTarget,
  butterBlendFor,
  butterBlendOf,
  STIR_IN_C,
  TALLOW_MELTS_C,
} from '../../src/cooking/blends/butter-blend.js';
import { BUTTER, BUTTER_DENSITY_G_PER_ML, type ButterKind } from '../../src/cooking/blends/composition.js';
import { TALLOW_DENSITY_G_PER_ML } from '../../src/cooking/blends/tallow.js';
import type { WorkingInput } from '../../src/cooking/working.js';
import { type Asked, type CalculationSpec, inputFrom } from '../../src/kitchen/asked.js';
import * as option from '../../src/kitchen/options.js';
import { cautionsShown } from '../../src/safety/choose.js';
import type { Circumstance } from '../../src/safety/occasion.js';
import { sourceLines } from '../../src/safety/sources.js';
import { roundWeightWords, temperatureWords, type Units, volumeWords } from '../../src/words/amounts.js';
import { ML_PER_US_CUP } from '../../src/words/units.js';
import { contentFigures, contentWords, isSalty, keepsWords, shareWords } from './words.js';

const MOST_RATIO = 100;

/** Butter to tallow as one number: "2:1" and "2 to 1" are 2, "60/40" is 1.5. */
const ratio: Option<number, false> = {
  description: 'Butter to tallow by volume; equal parts unless said',
  required: false,
  entry: { kind: 'text', maxLength: 20 },
  example: '1:1',
  suggests: false,
  parse: (text) => {
    const [, butter = '', tallow = ''] =
      /^(\d+(?:[.,]\d+)?)\s*(?::|\/|to)\s*(\d+(?:[.,]\d+)?)$/i.exec(text.trim()) ?? [];
    const value = Number(butter.replace(',', '.')) / Number(tallow.replace(',', '.'));
    return value >= 1 / MOST_RATIO && value <= MOST_RATIO
      ? parsed(value)
      : unreadable(
          `“${shorten(oneLine(text))}” is not a ratio of butter to tallow from 1:${MOST_RATIO} to ${MOST_RATIO}:1. For example: 1:1.`,
        );
  },
};

const OPTIONS = {
  butter: option.amount({ description: 'Butter, by weight or volume', required: false, example: '2 sticks' }),
  tallow: option.tallowAmount(false, 'Tallow, by weight or volume'),
  total: option.amount({
    description: 'How much blend to make, instead of the two',
    required: false,
    example: '3 cups',
  }),
  ratio,
  kind: choice({
    description: 'The butter; salted unless said',
    required: false,
    choices: [
      { value: 'salted', label: 'Salted' },
      { value: 'unsalted', label: 'Unsalted' },
    ],
  }),
  salt: percentage({
    description: 'Salt in the blend, as a share of the weight',
    required: false,
    leastPercent: 0,
    mostPercent: 20,
    example: '1.2 %',
  }),
  unit: option.unitSystem(),
} as const;

type Values = ValuesOf<typeof OPTIONS>;

/** `/blend butter`: butter and tallow melted together. */
export const BUTTER_BLEND: CalculationSpec<typeof OPTIONS> = {
  description: 'Butter and tallow melted together: amounts, salt, and how it keeps',
  options: OPTIONS,
  answer(asked) {
    const { unit, kind: butter = 'salted' } = asked.values;
    const blend = blendOf(asked.values);
    if (isRefusal(blend)) return blend;
    if (!blend.ok) return refuseSalt(blend, butter);
    const stirIn = `${temperatureWords(STIR_IN_C.low, unit)} to ${temperatureWords(STIR_IN_C.high, unit)}`;
    const melts = `${temperatureWords(TALLOW_MELTS_C.low, unit)} to ${temperatureWords(TALLOW_MELTS_C.high, unit)}`;
    const gritty =
      blend.undissolvedSaltG > 0
        ? [
            `The water of the butter cannot dissolve all the salt: ${roundWeightWords(blend.undissolvedSaltG, 'metric')} stay gritty.`,
          ]
        : [];
    return {
      reply: reply({
        title: `Butter blend: about ${volumeWords(blend.totalMl, unit)}, ${shareWords(blend.saltFraction)} salt`,
        lines: [
          amountsWords(blend, butter, unit),
          'Contains milk.',
          `Melt the tallow clear, let it cool to ${stirIn}, stir in soft butter, and chill it. Tallow melts at ${melts}: melted together below ${temperatureWords(blend.meltBelowC, unit)}, as some do, it stays grainy.`,
          contentWords(blend),
          ...gritty,
          keepsWords(blend.keeps),
        ],
        ...cautionsShown(
          { activity: 'butter-blend', circumstances: circumstancesOf(blend, butter) },
          { unit },
        ),
        sources: sourceLines(['practice-butter-blend', BUTTER[butter].source, 'foodkeeper']),
        figures: butterFigures(blend, butter),
      }),
      inputs: inputsOf(asked, blend),
      parts: [{ title: 'Blend', calculation: blend.calculation }],
    };
  },
};

/** More than a household eats, so that others will eat of it. Our own choice. */
const FOR_OTHERS_ML = 8 * ML_PER_US_CUP;

function circumstancesOf(
  { totalMl, saltFraction }: ButterBlend,
  butter: ButterKind,
): readonly Circumstance[] {
  return [
    ...(totalMl > FOR_OTHERS_ML ? (['large'] as const) : []),
    ...(isSalty(saltFraction) ? (['salty'] as const) : []),
    ...(butter === 'unsalted' ? (['unsalted'] as const) : []),
  ];
}

/** From two amounts, from one of them and the ratio, or from a total and the ratio. */
function blendOf(values: Values): ReturnType<typeof butterBlendFor> | Refusal {
  const { butter, tallow, total, ratio: butterToTallow, salt: saltFraction, kind = 'salted' } = values;
  const example = 'For example: /blend butter total:"3 cups", or butter:"2 sticks" tallow:"1 cup".';
  const amounts = [butter, tallow].filter((amount) => amount !== undefined);
  if (total === undefined && amounts.length === 0) {
    return refusal('How much of what?', `Say how much blend, how much butter or how much tallow. ${example}`);
  }
  if ((total !== undefined && amounts.length > 0) || (amounts.length === 2 && butterToTallow !== undefined)) {
    return refusal(
      'Too much said',
      `A total or the amounts, and a ratio only where one of the two is left out. ${example}`,
    );
  }
  const butterG = butter && option.gramsOf(butter, BUTTER_DENSITY_G_PER_ML);
  const tallowG = tallow && option.gramsOf(tallow, TALLOW_DENSITY_G_PER_ML.pouring);
  const target = { butter: kind, saltFraction } satisfies Omit<ButterBlendTarget, 'total'>;
  if (butterG !== undefined && tallowG !== undefined) {
    if (saltFraction === undefined) return butterBlendOf({ butterG, butter: kind, tallowG });
    const byVolume = butterG / BUTTER_DENSITY_G_PER_ML / (tallowG / TALLOW_DENSITY_G_PER_ML.pouring);
    return scaled({ ...target, butterToTallow: byVolume }, { butterG });
  }
  const parts = { ...target, butterToTallow };
  if (total !== undefined) return butterBlendFor({ ...parts, total });
  return scaled(parts, butterG === undefined ? { tallowG: tallowG ?? 0 } : { butterG });
}

/** A blend of these proportions with just so much of one part. */
function scaled(
  target: Omit<ButterBlendTarget, 'total'>,
  part: { readonly butterG: number } | { readonly tallowG: number },
): ReturnType<typeof butterBlendFor> {
  const one = butterBlendFor({ ...target, total: { g: 1 } });
  if (!one.ok) return one;
  const times = 'butterG' in part ? part.butterG / one.butterG : part.tallowG / one.tallowG;
  return butterBlendFor({ ...target, total: { g: times } });
}

function refuseSalt(
  problem: Exclude<ReturnType<typeof butterBlendFor>, ButterBlend>,
  butter: ButterKind,
): Refusal {
  if (problem.problem === 'butter-is-saltier') {
    return refusal(
      'The butter alone is saltier',
      `${shareWords(problem.askedSaltFraction)} salt is less than the ${shareWords(problem.leastSaltFraction)} that ${butter} butter brings to it. Ask for that or more, use less butter, or say kind:unsalted.`,
    );
  }
  return refusal(
    'So much salt will not dissolve',
    `Salt dissolves in the water of the butter and not in fat: ${shareWords(problem.mostSaltFraction)} is the most here, and ${shareWords(problem.askedSaltFraction)} would stay gritty.`,
  );
}

function amountsWords(
  { butterMl, butterG, tallowMl, tallowG, addedSaltG }: ButterBlend,
  kind: ButterKind,
  unit: Units,
) {
  const salt = addedSaltG > 0 ? `; ${roundWeightWords(addedSaltG, 'metric')} of salt` : '';
  return `${volumeWords(butterMl, unit)} of ${kind} butter, ${roundWeightWords(butterG, unit)}; ${volumeWords(tallowMl, unit)} of tallow as poured, ${roundWeightWords(tallowG, unit)}${salt}.`;
}

function inputsOf(asked: Asked<Values>, blend: ButterBlend): readonly WorkingInput[] {
  const input = inputFrom(asked);
  const { butter, tallow, total, ratio: butterToTallow = 1, salt, kind = 'salted', unit } = asked.values;
  const ratioWords = `${Number(butterToTallow.toPrecision(3))} to 1`;
  return [
    ...(total === undefined ? [] : [input('Blend', 'total', volumeWords(blend.totalMl, unit))]),
    ...(butter === undefined ? [] : [input('Butter', 'butter', roundWeightWords(blend.butterG, unit))]),
    ...(tallow === undefined ? [] : [input('Tallow', 'tallow', roundWeightWords(blend.tallowG, unit))]),
    ...(butter && tallow ? [] : [input('Butter to tallow by volume', 'ratio', ratioWords)]),
    input('Kind of butter', 'kind', kind),
    ...(salt === undefined ? [] : [input('Salt', 'salt', shareWords(salt))]),
  ];
}

function butterFigures(blend: ButterBlend, kind: ButterKind): Figures {
  const { refrigerator, freezer } = blend.keeps;
  const fatMl = (blend.butterG * BUTTER[kind].fat + blend.tallowG) / TALLOW_DENSITY_G_PER_ML.pouring;
  return {
    ...contentFigures(blend),
    ...figuresOf(blend, 'butterG', 'butterMl', 'addedSaltG', 'meltBelowC'),
    stirInLowC: STIR_IN_C.low,
    stirInHighC: STIR_IN_C.high,
    /** Of the melted blend, its fat as dense as poured tallow. */
    fatVolumeFraction: Math.min(1, fatMl / blend.totalMl),
    /** There is no gum in it. */
    xanthanOfWater: 0,
    tallowMeltsLowC: TALLOW_MELTS_C.low,
    tallowMeltsHighC: TALLOW_MELTS_C.high,
    keepsDaysLow: refrigerator.daysLow,
    keepsDaysHigh: refrigerator.daysHigh,
    keepsFrozenDaysLow: freezer.daysLow,
    keepsFrozenDaysHigh: freezer.daysHigh,
  };
}
