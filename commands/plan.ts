import type { Call } from '../src/chat/call.js';
import { command, deed, refuseUnreadable } from '../src/chat/command.js';
import { parseOptions, type ValuesOf } from '../src/chat/option.js';
import { choice, timeZone, wholeNumber, words, yesOrNo } from '../src/chat/options.js';
import { type Refusal, refusal, reply } from '../src/chat/reply.js';
import { readMomentAhead, suggestZones } from '../src/chat/when.js';
import { seasonAt } from '../src/clockwork/season.js';
import { communityZone } from '../src/records/communities.js';
import type { Records } from '../src/records/database.js';
import { kitOf } from '../src/records/kit.js';
import { FOOD_CODE_COOLING } from '../src/trade/cooling.js';
import { PAN } from '../src/trade/cooling-plan.js';
import { cutLabel, methodLabel } from '../src/trade/methods.js';
import { SMOKE_STRENGTHS } from '../src/trade/smoke.js';
import type { SourceId } from '../src/trade/sources.js';
import {
  EXPECTED_YIELD,
  jarsFor,
  pouringMl,
  shareOfPiece,
  TALLOW_DENSITY_G_PER_ML,
} from '../src/trade/tallow.js';
import { ML_PER_US_PINT, ML_PER_US_TBSP } from '../src/trade/units.js';
import { LEAST_RENDER_MINUTES, waterFor } from '../src/trade/water.js';
import type { WorkingInput } from '../src/trade/working.js';
import { momentTyped, momentWords, scheduleOf } from './plan/schedule.js';
import { coolingWords, timelineLines } from './plan/words.js';
import { type Asked, askedWithKit, givenIn, originOf, suggestVessels } from './shared/asked.js';
import { shownCautions } from './shared/cautions-shown.js';
import {
  type ExpectedShare,
  expectedShareFor,
  SHARE_SOURCE,
  shareToGatherBy,
} from './shared/expected-share.js';
import * as option from './shared/options.js';
import {
  ASSUMED,
  RENDER_OPTIONS,
  type Render,
  renderFigures,
  renderInputs,
  renderOf,
} from './shared/render.js';
import { expectWords, lastingWords, rangeWords, unusedWords, vesselWords } from './shared/render-words.js';
import { sourceLines } from './shared/sources-shown.js';
import { methodFor } from './shared/vessel-method.js';
import {
  countWords,
  minutesWords,
  percentRangeWords,
  percentWords,
  volumeWords,
  weightWords,
} from './shared/words.js';
import { type Answer, type Part, showingWork } from './shared/working.js';

const OPTIONS = {
  fat: option.fatWeight(false),
  tallow: option.tallowAmount(false, 'Tallow you want, by weight or volume, instead of fat'),
  meals: wholeNumber({
    description: 'Meals you want tallow for, instead of fat',
    required: false,
    least: 1,
    most: 10_000,
    example: '30',
  }),
  each: option.amount({
    description: 'Tallow for each meal; a tablespoon unless said',
    required: false,
    example: '2 tbsp',
  }),
  by: words({
    description: 'When it must be ready',
    required: false,
    maxLength: 60,
    example: 'Saturday 6pm',
  }),
  frozen: yesOrNo({ description: 'Whether the fat is frozen', required: false }),
  smoke: choice({
    description: 'Smoke the tallow before it is jarred',
    required: false,
    choices: SMOKE_STRENGTHS.map((value) => ({
      value,
      label: `${value.charAt(0).toUpperCase()}${value.slice(1)}`,
    })),
  }),
  jar: option.jarVolume(),
  zone: timeZone({ description: 'Your time zone, by the name of a large city', required: false }),
  ...RENDER_OPTIONS,
} as const;

type Values = ValuesOf<typeof OPTIONS>;

const ASSUMED_EACH = { ml: ML_PER_US_TBSP } as const;
const ZONES_SUGGESTED = 25;

/** `/plan`: a whole batch, from the fat or from what is needed, with its clock times. */
export function plan(db: Records) {
  const work = showingWork(db, 'plan', async (asked, call) =>
    answer(asked, asked.atMs ?? call.now.getTime(), await communityZone(db, call.community)),
  );
  return command({
    name: 'plan',
    description: 'Plan a batch: what to gather, and what to do when',
    deeds: deed({
      description: 'Plan a batch: what to gather, and what to do when',
      options: OPTIONS,
      async run(typed, call, given) {
        const said = await methodFor(db, call, typed);
        if (said.kind === 'refusal') return said;
        const values = { ...typed, method: said.method };
        const amounts = amountsOf(values);
        if ('text' in amounts) return amounts;
        const { method = ASSUMED.method, cut = ASSUMED.cut } = values;
        const neededMl = waterFor({ fatG: amounts.fatG, method, cut }).vesselMl;
        const [asked, share] = await Promise.all([
          askedWithKit(db, call, given, { method, neededMl }),
          shareFor(db, call, values, amounts),
        ]);
        if ('text' in asked) return asked;
        const kit = { ...asked.kit, ...said.kit };
        return work.say({ ...asked, kit, share, atMs: call.now.getTime() }, call);
      },
      async suggest(name, typed, _given, call) {
        if (name === 'vessel') return suggestVessels(await kitOf(db, call), typed);
        return suggestZones(typed, ZONES_SUGGESTED).map((value) => ({ value, label: value }));
      },
    }),
    handlers: work.handlers,
  });
}

const MOST_ROUNDS = 6;
/** Fat is not weighed finer at home. */
const CLOSE_ENOUGH = 0.005;

/** The share to expect of the fat; where that is itself reckoned from the share, both are brought to agree. */
async function shareFor(
  db: Records,
  call: Call,
  values: Values,
  { fatG }: Amounts,
): Promise<ExpectedShare | undefined> {
  const { method = ASSUMED.method, cut = ASSUMED.cut, minutes } = values;
  let reckonedG = fatG;
  for (let round = 1; ; round++) {
    const share = await expectedShareFor(db, call, { method, cut, minutes, fatG: reckonedG });
    const amounts = amountsOf(values, share);
    if ('text' in amounts || round === MOST_ROUNDS) return share;
    if (Math.abs(amounts.fatG / reckonedG - 1) <= CLOSE_ENOUGH) return share;
    reckonedG = amounts.fatG;
  }
}

interface Amounts {
  readonly fatG: number;
  /** What was asked for; undefined when the fat was. */
  readonly wantedG: number | undefined;
  readonly eachG: number | undefined;
  /** The least share of the weight that becomes tallow, which is what fat is gathered by. */
  readonly leastYield: number;
  /** The forecast that all of it rests on; undefined where that is what the cut usually gives. */
  readonly share: ExpectedShare | undefined;
  /** A forecast that was left aside, because nobody could gather by it. */
  readonly tooWide: ExpectedShare | undefined;
}

/** How much fat, from whichever one of fat, tallow and meals was said. */
function amountsOf(values: Values, expected?: ExpectedShare): Amounts | Refusal {
  const { fat, tallow, meals, each, cut = ASSUMED.cut, kind: rawFat = ASSUMED.rawFat, lean = 0 } = values;
  const said = [fat, tallow, meals].filter((value) => value !== undefined);
  if (said.length !== 1) {
    return refusal(
      said.length === 0 ? 'How much of what?' : 'One of the three',
      'Say fat: for the fat you have, tallow: for what you want of it, or meals: for how many you cook. For example: /plan tallow:"6 cups" by:"Saturday 6pm".',
    );
  }
  if (each !== undefined && meals === undefined) {
    return refusal('Each of what?', 'each: goes with meals:. For example: /plan meals:30 each:"2 tbsp".');
  }
  // Who has the fat is told the forecast however wide; who gathers it is told the range that it was gathered by.
  const share = fat === undefined ? shareToGatherBy(expected, cut) : expected;
  const tooWide = share === undefined ? expected : undefined;
  const piece = { fatG: fat ?? 1, rawFat, leanFraction: lean };
  const leastYield = shareOfPiece(share ?? EXPECTED_YIELD[cut], piece).low;
  const rest = { leastYield, share, tooWide };
  if (fat !== undefined) return { fatG: fat, wantedG: undefined, eachG: undefined, ...rest };
  const eachG = meals === undefined ? undefined : gramsOf(each ?? ASSUMED_EACH);
  const wantedG = meals === undefined || eachG === undefined ? gramsOf(tallow ?? { g: 0 }) : meals * eachG;
  const fatG = wantedG / leastYield;
  if (fatG > option.MOST_FAT_G) {
    return refusal(
      'More than a kitchen holds',
      `That would take ${weightWords(fatG)} of fat; ${weightWords(option.MOST_FAT_G)} at most. For example: /plan tallow:"6 cups".`,
    );
  }
  return { fatG, wantedG, eachG, ...rest };
}

/** A volume of tallow is as poured. */
function gramsOf(amount: option.Amount): number {
  return 'g' in amount ? amount.g : amount.ml * TALLOW_DENSITY_G_PER_ML.pouring;
}

function answer(asked: Asked, nowMs: number, communityTimeZone: string): Answer | Refusal {
  const { 'vessel-name': vesselName, ...given } = givenIn(asked);
  const read = parseOptions(OPTIONS, given);
  if (!read.ok) return refuseUnreadable(read.problems);
  const { values } = read;
  const { unit, minutes, frozen = false, smoke, jar = ML_PER_US_PINT } = values;
  const amounts = amountsOf(values, asked.share);
  if ('text' in amounts) return amounts;
  const zone = values.zone ?? communityTimeZone;
  const by = values.by === undefined ? undefined : readMomentAhead(values.by, new Date(nowMs), zone);
  if (by?.ok === false) return refuseUnreadable([`by: ${by.problem}`]);
  if (minutes !== undefined && minutes < LEAST_RENDER_MINUTES) {
    return refusal(
      'Too short a render',
      `${minutesWords(LEAST_RENDER_MINUTES)} is the least; ${minutesWords(minutes)} leaves tallow in the fat. Leave minutes out, or say more.`,
    );
  }

  const render = renderOf({
    fatG: amounts.fatG,
    values,
    measured: asked.measured,
    share: amounts.share,
  });
  if (render.kind === 'refusal') return render;
  const schedule = scheduleOf({ render, frozen, smoke, nowMs, byMs: by?.value.getTime(), zone, unit });
  if (schedule.kind === 'refusal') return schedule;

  const { timeline, cooling } = schedule;
  const { method, cut, tallow, loads } = render;
  const fatWords = weightWords(amounts.fatG, unit);
  const jars = jarsFor({ tallowG: tallow.tallowHighG, jarMl: jar });
  return {
    kind: 'answer',
    reply: reply({
      title:
        amounts.wantedG === undefined
          ? `${fatWords} of fat: ready ${momentWords(timeline.finishMs, zone)}`
          : `Gather ${fatWords} of fat: ready ${momentWords(timeline.finishMs, zone)}`,
      lines: [
        ...wantedWords(amounts, values),
        `${methodLabel(method)}, ${cutLabel(cut).toLowerCase()}: ${volumeWords(render.water.waterMl, unit)} of water${loads.loads > 1 ? ` in ${loads.loads} loads` : ''}. ${rangeWords(render, unit)}`,
        vesselWords(render, vesselName, originOf(asked, 'vessel') !== 'assumed', unit),
        ...(render.topUps === undefined || (render.topUps.ok && render.topUps.enough)
          ? []
          : lastingWords(render, unit)),
        `${expectWords(render, unit)} Have ${countWords(jars, 'jar', 'jars')} of ${volumeWords(jar, unit)} ready.`,
        ...unusedWords(render, asked, '/plan'),
        `Begin ${momentWords(timeline.startMs, zone)}; ${zoneWords(zone, values.zone)}.`,
        ...timelineLines(timeline.steps, { cut, loads: loads.loads, zone, unit }),
        ...coolingWords(cooling, loads.loads, unit),
      ],
      cautions: shownCautions({
        method,
        cut,
        activity: 'render',
        season: seasonAt(new Date(nowMs), zone),
      }),
      sources: [
        ...(render.share ? [SHARE_SOURCE] : []),
        ...sourceLines(
          render.water.kind === 'wet'
            ? (['practice-yield', 'food-code-cooling', 'fsis-thawing'] satisfies readonly SourceId[])
            : (['practice-yield', 'usda-separable-fat', 'fsis-thawing'] satisfies readonly SourceId[]),
        ),
      ],
      figures: {
        ...renderFigures(render),
        wantedG: amounts.wantedG ?? null,
        wantedMl: amounts.wantedG === undefined ? null : pouringMl(amounts.wantedG),
        meals: values.meals ?? null,
        eachG: amounts.eachG ?? null,
        eachMl: amounts.eachG === undefined ? null : pouringMl(amounts.eachG),
        leastYield: amounts.leastYield,
        tooWideYieldLow: amounts.tooWide?.low ?? null,
        tooWideYieldHigh: amounts.tooWide?.high ?? null,
        heatUpMinutes: schedule.heatUpMinutes,
        jars,
        jarMl: jar,
        startMs: timeline.startMs,
        finishMs: timeline.finishMs,
        byMs: by?.value.getTime() ?? null,
        ...(cooling === undefined
          ? {}
          : {
              coolFirstC: FOOD_CODE_COOLING.firstC,
              coolLastC: FOOD_CODE_COOLING.lastC,
              coolFirstMinutes: cooling.firstMinutes,
              coolLastMinutes: cooling.lastMinutes,
              containers: cooling.containers,
              containerDepthCm: cooling.depthCm,
              ...(cooling.where === 'pot' ? {} : { panWidthCm: PAN.widthCm, panLengthCm: PAN.lengthCm }),
            }),
        steps: timeline.steps.map(({ load, startMs, endMs, byMs }) => ({
          load,
          startMs,
          endMs,
          byMs: byMs ?? null,
        })),
      },
    }),
    inputs: [
      ...planInputs(asked, values, amounts, by?.value.getTime(), zone),
      ...renderInputs(render, values, asked),
    ],
    parts: [...gatherPart(amounts, values), ...partsShown(render), ...schedule.parts],
  };
}

/** A plan does not say what a render costs; what /water shows as well may go where there is no room. */
function partsShown({ parts }: Render): readonly Part[] {
  return parts
    .filter(({ title }) => title !== 'Energy')
    .map((part) =>
      ['Boiling', 'Boil-off', 'Top-ups', 'Vessel', 'Water'].includes(part.title)
        ? { ...part, alsoIn: '/water' }
        : part,
    );
}

function zoneWords(zone: string, said: string | undefined): string {
  return said === undefined && zone === 'UTC' ? 'UTC, unless you say zone: and your city' : `${zone} time`;
}

function wantedWords(amounts: Amounts, values: Values): readonly string[] {
  const { wantedG, eachG } = amounts;
  const { meals, tallow, unit } = values;
  if (wantedG === undefined) return [];
  const amount =
    tallow !== undefined && 'g' in tallow
      ? weightWords(wantedG, unit)
      : `${volumeWords(pouringMl(wantedG), unit)}, about ${weightWords(wantedG, unit)},`;
  const whatFor =
    meals === undefined || eachG === undefined
      ? ''
      : ` for ${countWords(meals, 'meal', 'meals')} with ${volumeWords(pouringMl(eachG), unit)} each`;
  return [`You want ${amount} of tallow${whatFor}. The fat is reckoned from ${leastWords(amounts, values)}.`];
}

function leastWords(
  { leastYield, share, tooWide }: Amounts,
  { cut = ASSUMED.cut, lean = 0 }: Values,
): string {
  const least = percentWords(leastYield);
  const withLean = lean > 0 ? ` with ${percentWords(lean)} lean` : '';
  if (share !== undefined) {
    const ofFat = lean > 0 ? ` for fat${withLean}` : '';
    return `the low end of the forecast${ofFat}, ${least}, so that it is enough 9 times in 10`;
  }
  const usual = `the least that ${cutLabel(cut).toLowerCase()} fat${withLean}`;
  return tooWide === undefined
    ? `${usual} gives, ${least}, so that it is enough`
    : `${usual} usually gives, ${least}: the forecast from this community’s batches, ${percentRangeWords(tooWide.low, tooWide.high)}, is too wide to gather by`;
}

function planInputs(
  asked: Asked,
  { meals, each, frozen = false, smoke, jar = ML_PER_US_PINT, unit, fat, tallow }: Values,
  { eachG, wantedG }: Amounts,
  byMs: number | undefined,
  zone: string,
): readonly WorkingInput[] {
  const input = (name: string, option: string, value: string): WorkingInput => ({
    name,
    value,
    unit: '',
    origin: originOf(asked, option),
  });
  return [
    ...(fat === undefined ? [] : [input('Raw fat', 'fat', weightWords(fat, unit))]),
    ...(tallow === undefined || wantedG === undefined
      ? []
      : [input('Tallow wanted', 'tallow', weightWords(wantedG, unit))]),
    ...(meals === undefined || eachG === undefined
      ? []
      : [
          input('Meals', 'meals', String(meals)),
          input(
            'Tallow for each',
            'each',
            each !== undefined && 'g' in each
              ? weightWords(eachG, unit)
              : volumeWords(pouringMl(eachG), unit),
          ),
        ]),
    ...(byMs === undefined ? [] : [input('Ready by', 'by', momentTyped(byMs, zone))]),
    {
      name: 'Time zone',
      value: zone,
      unit: '',
      origin: originOf(asked, 'zone') === 'you said' ? 'you said' : 'this community',
    },
    input('Frozen', 'frozen', frozen ? 'yes' : 'no'),
    input('Smoke', 'smoke', smoke ?? 'none'),
    input('Jars of', 'jar', volumeWords(jar, unit)),
  ];
}

function gatherPart(
  { wantedG, fatG, leastYield, share }: Amounts,
  { cut = ASSUMED.cut, lean = 0 }: Values,
): readonly Part[] {
  if (wantedG === undefined) return [];
  return [
    {
      title: 'Fat to gather',
      calculation: {
        formula: `raw fat = tallow wanted ÷ (the least share that ${share ? 'is forecast' : 'the cut gives'}${lean > 0 ? ' × fat held ÷ fat held without lean' : ''})`,
        constants: [
          ...(share
            ? []
            : [
                {
                  name: 'Least share',
                  value: EXPECTED_YIELD[cut].low,
                  unit: 'g/g',
                  source: 'practice-yield' as const,
                },
              ]),
          {
            name: 'Tallow weighs, as poured,',
            value: TALLOW_DENSITY_G_PER_ML.pouring,
            unit: 'g/mL',
            source: 'pouring-density',
          },
        ],
        assumptions: [],
        steps: [
          { name: 'Tallow wanted', value: wantedG, unit: 'g' },
          { name: 'Share taken', value: leastYield, unit: '' },
          { name: 'Raw fat', value: fatG, unit: 'g' },
        ],
      },
    },
  ];
}
