import { type Figures, figuresOf, type Reply, reply } from '../../src/chat/reply.js';
import { pouringMl } from '../../src/cooking/blends/tallow.js';
import { HOTTEST_C } from '../../src/cooking/cooling/cool-down.js';
import { type CoolingWay, FOOD_CODE_COOLING } from '../../src/cooking/cooling/cooling.js';
import { type CoolingPlan, PAN } from '../../src/cooking/cooling/cooling-plan.js';
import { SHARE_SOURCE } from '../../src/findings/expected-share.js';
import { ASSUMED } from '../../src/kitchen/options.js';
import {
  expectWords,
  lastingWords,
  lastsWithout,
  rangeWords,
  rawFatWords,
  unusedWords,
  vesselWords,
} from '../../src/kitchen/render-words.js';
import { renderFigures } from '../../src/kitchen/render-working.js';
import { type SourceId, sourceLines } from '../../src/safety/sources.js';
import {
  lengthWords,
  minutesWords,
  roundWeightWords,
  temperatureWords,
  volumeWords,
  weightWords,
} from '../../src/words/amounts.js';
import { countWords } from '../../src/words/lists.js';
import { cutLabel, methodLabel } from '../../src/words/methods.js';
import { momentWords } from '../../src/words/moments.js';
import { percentRangeWords, percentWords } from '../../src/words/yield-words.js';
import { gravestAtSteps, mainCaution } from './cautions.js';
import type { PlannedBatch } from './planned-batch.js';
import { HEADSPACE_CM, HOT_DAY_C, SETTING_C } from './step-words.js';
import { timelineLines } from './timeline-words.js';

const WET_SOURCES: readonly SourceId[] = ['practice-yield', 'food-code-cooling', 'fsis-thawing'];
const DRY_SOURCES: readonly SourceId[] = ['practice-yield', 'usda-separable-fat', 'fsis-thawing'];

/** What to gather, what to put it in, and what to do when. */
export function planReply(planned: PlannedBatch): Reply {
  const { water, tallow } = planned.render;
  return reply({
    title: titleWords(planned),
    lines: [...wantedLines(planned), ...gatheringLines(planned), ...clockLines(planned)],
    caution: mainCaution(planned),
    cautions: gravestAtSteps(planned),
    sources: [
      ...(tallow.share ? [SHARE_SOURCE] : []),
      ...sourceLines(water.kind === 'wet' ? WET_SOURCES : DRY_SOURCES),
    ],
    figures: planFigures(planned),
  });
}

function titleWords({ amounts: { fatG, wantedG }, values, timeline, zone }: PlannedBatch): string {
  const fat = `${weightWords(fatG, values.unit)} of fat`;
  const ready = `ready ${momentWords(timeline.finishMs, zone)}`;
  return `${wantedG === undefined ? fat : `Gather ${fat}`}: ${ready}`;
}

/** How much tallow is wanted, and what the fat for it is reckoned from; nothing where the fat was said. */
function wantedLines(planned: PlannedBatch): readonly string[] {
  const { wantedG, eachG } = planned.amounts;
  const { meals, tallow, unit } = planned.values;
  if (wantedG === undefined) return [];
  const amount =
    tallow !== undefined && 'g' in tallow
      ? weightWords(wantedG, unit)
      : `${volumeWords(pouringMl(wantedG), unit)}, about ${weightWords(wantedG, unit)},`;
  const whatFor =
    meals === undefined || eachG === undefined
      ? ''
      : ` for ${countWords(meals, 'meal', 'meals')} with ${volumeWords(pouringMl(eachG), unit)} each`;
  return [`You want ${amount} of tallow${whatFor}. Reckoned from ${gatherWords(planned)}.`];
}

function gatherWords({ amounts, values }: PlannedBatch): string {
  const { gatherYield, gatherYieldLow, gatherYieldHigh, share, tooWide } = amounts;
  const { cut = ASSUMED.cut, lean = 0, kind = ASSUMED.rawFat } = values;
  const range = percentRangeWords(gatherYieldLow, gatherYieldHigh);
  const withLean = lean > 0 ? ` with ${percentWords(lean)} lean` : '';
  const what = kind === 'suet' ? `${cutLabel(cut).toLowerCase()} suet` : `${cutLabel(cut).toLowerCase()} fat`;
  if (share !== undefined)
    return `the forecast for ${what}${withLean}, ${percentWords(gatherYield)}; 8 batches in 10 give ${range}`;
  const usual = `the middle of what ${what}${withLean} gives, ${percentWords(gatherYield)} of ${range}`;
  return tooWide === undefined
    ? usual
    : `${usual}. The forecast from this community’s batches, ${percentRangeWords(tooWide.low, tooWide.high)}, is too wide to gather by`;
}

function gatheringLines({ values, render, jars, jarMl }: PlannedBatch): readonly string[] {
  const { method, fat, water, pot } = render;
  const { loads } = pot.loads;
  const { unit } = values;
  return [
    `${methodLabel(method)}, ${cutLabel(fat.cut).toLowerCase()}: ${volumeWords(water.waterMl, unit)} of water${loads > 1 ? ` in ${loads} loads` : ''}. ${rangeWords(render)}`,
    vesselWords(render),
    ...(lastsWithout(render) ? [] : lastingWords(render)),
    ...rawFatWords(render, '/plan'),
    `${expectWords(render)} Have ${countWords(jars, 'jar', 'jars')} of ${volumeWords(jarMl, unit)} ready.`,
    ...unusedWords(render, '/plan'),
  ];
}

function clockLines(planned: PlannedBatch): readonly string[] {
  const { values, timeline, zone } = planned;
  const zoneWords =
    values.zone === undefined && zone === 'UTC' ? 'UTC, unless you say zone: and your city' : `${zone} time`;
  return [
    `Begin ${momentWords(timeline.startMs, zone)}; ${zoneWords}.`,
    ...timelineLines(planned),
    ...coolingLines(planned),
  ];
}

const WAY_WORDS: Readonly<Record<CoolingWay, string>> = {
  counter: 'on the counter',
  refrigerator: 'in the refrigerator',
  'ice-bath': 'in an ice bath as deep as it stands',
  'pan-in-ice': 'on ice',
};

const PAN_WORDS = `9 by 13 in (${PAN.widthCm} by ${PAN.lengthCm} cm)`;

/** How it gets cold in time, and a warning where the pot alone would not. */
function coolingLines({ cooling, render, values: { unit } }: PlannedBatch): readonly string[] {
  if (cooling === undefined) return [];
  const { where, containers, depthCm, way, firstMinutes, lastMinutes, iceG } = cooling;
  const { firstC, lastC } = FOOD_CODE_COOLING;
  const [what, pot] =
    render.pot.loads.loads > 1 ? ['each load', 'in a vessel as wide as the pot'] : ['it', 'in its pot'];
  const into =
    where === 'pot'
      ? pot
      : `in ${countWords(containers, 'shallow pan', 'shallow pans')} of ${PAN_WORDS}, ${lengthWords(depthCm / 100, unit)} deep`;
  const ice =
    iceG === 0
      ? ''
      : ` Have ${roundWeightWords(iceG, unit)} of ice${render.pot.loads.loads > 1 ? ' for each' : ''}.`;
  return [
    `Cool ${what} ${into}, ${WAY_WORDS[way]}: about ${minutesWords(firstMinutes)} to ${temperatureWords(firstC, unit)} and ${minutesWords(lastMinutes)} to ${temperatureWords(lastC, unit)}.${ice} Stir only until the fat clouds, or ladle it off and cool it apart: so the disc stays whole. A thermometer decides.`,
  ];
}

/** The figures of a plan: those of its render, what is gathered for it, and its clock times. */
function planFigures(planned: PlannedBatch): Figures {
  const { render, values, amounts, timeline, cooling, coolDown, coolToJar, heating, jars, jarMl, byMs } =
    planned;
  const { wantedG, eachG, tooWide } = amounts;
  return {
    ...renderFigures(render),
    wantedG: wantedG ?? null,
    wantedMl: wantedG === undefined ? null : pouringMl(wantedG),
    meals: values.meals ?? null,
    eachG: eachG ?? null,
    eachMl: eachG === undefined ? null : pouringMl(eachG),
    ...figuresOf(amounts, 'gatherYield', 'gatherYieldLow', 'gatherYieldHigh'),
    tooWideYieldLow: tooWide?.low ?? null,
    tooWideYieldHigh: tooWide?.high ?? null,
    heatUpMinutes: heating.minutes,
    pourBelowC: coolDown.belowC,
    dryAtMostC: HOTTEST_C.dry,
    remeltAtMostC: HOTTEST_C.remelt,
    hotDayC: HOT_DAY_C,
    settingLowC: SETTING_C.low,
    settingHighC: SETTING_C.high,
    headspaceCm: HEADSPACE_CM.jar,
    freezerHeadspaceCm: HEADSPACE_CM.freezer,
    coolDownMinutes: coolDown.minutes,
    coolToJarMinutes: coolToJar.minutes,
    jars,
    jarMl,
    ...figuresOf(timeline, 'startMs', 'finishMs'),
    byMs: byMs ?? null,
    ...(cooling === undefined ? {} : coolingFigures(cooling)),
    steps: timeline.steps.map((step) => ({
      ...figuresOf(step, 'load', 'startMs', 'endMs'),
      byMs: step.byMs ?? null,
    })),
  };
}

function coolingFigures({
  where,
  firstMinutes,
  lastMinutes,
  containers,
  depthCm,
  iceG,
}: CoolingPlan): Figures {
  return {
    coolFirstC: FOOD_CODE_COOLING.firstC,
    coolLastC: FOOD_CODE_COOLING.lastC,
    coolFirstMinutes: firstMinutes,
    coolLastMinutes: lastMinutes,
    containers,
    containerDepthCm: depthCm,
    iceG,
    ...(where === 'pot' ? {} : { panWidthCm: PAN.widthCm, panLengthCm: PAN.lengthCm }),
  };
}
