import type { Call } from '../src/chat/call.js';
import { command, deed, refuseUnreadable } from '../src/chat/command.js';
import { type Given, parseOptions } from '../src/chat/option.js';
import { type Refusal, reply } from '../src/chat/reply.js';
import type { Records } from '../src/records/database.js';
import { type Kit, kitOf, measuredRenders } from '../src/records/kit.js';
import { type Cut, cutLabel, type Method, methodLabel, moistureOf } from '../src/trade/methods.js';
import type { SourceId } from '../src/trade/sources.js';
import { waterFor } from '../src/trade/water.js';
import { type Asked, givenIn, originOf, suggestVessels, withKit } from './asked.js';
import { shownCautions } from './cautions-shown.js';
import * as option from './options.js';
import {
  ASSUMED,
  RENDER_OPTIONS,
  type Render,
  refuseHeatUp,
  renderFigures,
  renderInputs,
  renderOf,
} from './render.js';
import { sourceLines } from './sources-shown.js';
import {
  altitudeWords,
  capacityWords,
  minutesWords,
  percentRangeWords,
  powerWords,
  roundWeightWords,
  temperatureWords,
  type Units,
  volumeRangeWords,
  volumeWords,
  weightRangeWords,
  weightWords,
} from './words.js';
import { type Answer, showingWork } from './working.js';

const DESCRIPTION = 'How much water a batch needs, how big a pot, and what it may give';

const OPTIONS = { fat: option.fatWeight(true), ...RENDER_OPTIONS } as const;

/** `/water`: the quick question before a batch. */
export function water(db: Records) {
  const work = showingWork(db, 'water', answer);
  return command({
    name: 'water',
    description: DESCRIPTION,
    deeds: deed({
      description: DESCRIPTION,
      options: OPTIONS,
      async run(values, call, given) {
        const { fat, method = ASSUMED.method, cut = ASSUMED.cut } = values;
        const neededMl = waterFor({ fatG: fat, method, cut }).vesselMl;
        const asked = await askedWithKit(db, call, given, { method, neededMl });
        return 'text' in asked ? asked : work.say(asked, call);
      },
      suggest: async (_option, typed, _given, call) => suggestVessels(await kitOf(db, call), typed),
    }),
    handlers: work.handlers,
  });
}

/** At most so many earlier renders count; older ones were cooked differently. */
const MOST_MEASURED = 5;

/** What was typed about a render, with what the cook's kit and their earlier renders add to it. */
export async function askedWithKit(
  db: Records,
  call: Call,
  given: Given,
  batch: { readonly method: Method; readonly neededMl: number },
): Promise<Asked | Refusal> {
  const kit: Kit = await kitOf(db, call);
  const added = withKit(given, kit, batch);
  if ('text' in added) return added;
  // Another vessel, lid or burner than usual says nothing about the earlier renders.
  const asUsual = [given.vessel, given.lid, given.burner].every((text) => text === undefined);
  const measured = asUsual ? await measuredRenders(db, call, batch.method, MOST_MEASURED) : [];
  return { ...added, measured, atMs: undefined };
}

function answer(asked: Asked): Answer | Refusal {
  const { 'vessel-name': vesselName, ...given } = givenIn(asked);
  const read = parseOptions(OPTIONS, given);
  if (!read.ok) return refuseUnreadable(read.problems);
  const { fat, ...values } = read.values;
  const render = renderOf({ fatG: fat, values, measured: asked.measured });
  if (render.kind === 'refusal') return render;
  const { unit } = values;
  const { heatUp, method, cut } = render;
  if (heatUp && !heatUp.ok && originOf(asked, 'burner') === 'you said')
    return refuseHeatUp(heatUp, render, unit);
  return {
    kind: 'answer',
    reply: reply({
      title: `${volumeWords(render.water.waterMl, unit)} of water for ${weightWords(fat, unit)} of fat`,
      lines: [
        `${methodLabel(method)}, ${cutLabel(cut).toLowerCase()}. ${rangeWords(render, unit)}${boilingWords(render, asked, unit)}`,
        ...lastingWords(render, unit),
        vesselWords(render, vesselName, originOf(asked, 'vessel') !== 'assumed', unit),
        `${timeWords(render)}${heatUpWords(render)}`,
        expectWords(render, unit),
      ],
      cautions: shownCautions({ method, cut, activity: 'render' }),
      sources: sourceLines(weightiestSources(render, asked)),
      figures: renderFigures(render),
    }),
    inputs: [
      { name: 'Raw fat', value: weightWords(fat, unit), unit: '', origin: originOf(asked, 'fat') },
      ...renderInputs(render, values, asked),
    ],
    parts: render.parts,
  };
}

/** What the figures of the reply rest on most; the working names the rest. */
function weightiestSources({ water, method }: Render, asked: Asked): readonly SourceId[] {
  const ratio = water.kind === 'wet' ? 'practice-water-ratio' : 'practice-dry-starter';
  return originOf(asked, 'altitude') !== 'assumed' || method === 'pressure'
    ? [ratio, 'iapws-if97', 'iso-2533']
    : [ratio, 'usda-separable-fat', 'usda-tallow'];
}

function rangeWords({ water, method }: Render, unit: Units): string {
  if (water.kind === 'starter')
    return 'Dry: this is only a starter, so that nothing scorches before fat has melted.';
  const dry =
    moistureOf(method) === 'either' ? ' Without boiling water it starts with about a cup instead.' : '';
  return `The usual range is ${volumeRangeWords(water.waterLowMl, water.waterHighMl, unit)}.${dry}`;
}

/** Where the water boils, when somebody said how high they cook or with what pressure. */
function boilingWords({ boiling, altitudeM, method, water }: Render, asked: Asked, unit: Units): string {
  const knowsAltitude = originOf(asked, 'altitude') !== 'assumed';
  if (water.kind === 'starter' || (!knowsAltitude && method !== 'pressure')) return '';
  const at = knowsAltitude ? ` at ${altitudeWords(altitudeM, unit)}` : '';
  return method === 'pressure'
    ? ` The cooker runs near ${temperatureWords(boiling.boilC, unit)}${at}.`
    : ` Water boils at ${temperatureWords(boiling.boilC, unit)}${at}.`;
}

/** Whether the water lasts, and what to do about it. */
export function lastingWords(render: Render, unit: Units): readonly string[] {
  const { boilOff: lost, topUps: level, minutes, loads } = render;
  if (lost === undefined || level === undefined) return [];
  const each = loads.loads > 1 ? ' of each load' : '';
  if (!level.ok) {
    return [
      `So little water${each} boils away while it renders: start with ${volumeWords(level.biggerStartMl, unit)}, or keep the lid on.`,
    ];
  }
  const boilsOff = `In ${minutesWords(minutes)} about ${volumeWords((lost.mlPerHour * minutes) / 60, unit)}${each} will boil off`;
  const whatToDo = level.enough
    ? 'no need to top up.'
    : `${topUpWords(level.topUps, unit)}, or start with ${volumeWords(level.biggerStartMl, unit)} if the vessel takes it.`;
  const hardest = level.dryAtLowMinutes;
  const soonest =
    hardest !== null && hardest < minutes
      ? ` At a hard boil it would be dry after ${minutesWords(hardest)}: look often, with hot water ready.`
      : '';
  return [
    `${boilsOff}: ${whatToDo}${soonest} Keep at least a third of it in the pot: once it is gone the render is dry, hotter and browner.`,
  ];
}

const MOST_TIMES_NAMED = 3;

function topUpWords(
  topUps: readonly { readonly atMinutes: number; readonly ml: number }[],
  unit: Units,
): string {
  const [first, second] = topUps;
  if (first === undefined) return 'no need to top up';
  const hot = `add ${volumeWords(first.ml, unit)} of hot water`;
  if (second === undefined || topUps.length <= MOST_TIMES_NAMED) {
    return `${hot} after ${topUps.map(({ atMinutes }) => minutesWords(atMinutes)).join(', and again after ')}`;
  }
  return `${hot} after ${minutesWords(first.atMinutes)} and then every ${minutesWords(second.atMinutes - first.atMinutes)}`;
}

function vesselWords(render: Render, name: string | undefined, isKnown: boolean, unit: Units): string {
  const { need, method, loads, potMl } = render;
  const limit = method === 'pressure' ? 'half full at most' : 'a third left empty';
  const smallest = `The smallest ${method === 'pressure' ? 'cooker' : 'vessel'} for it holds ${capacityWords(need.vesselMl, unit)}, ${limit}.`;
  if (!isKnown && loads.loads === 1) return smallest;
  const size = capacityWords(potMl, unit);
  if (loads.loads === 1) {
    const own = name === undefined ? `Your ${size} are enough` : `Your ${name} of ${size} is large enough`;
    return `${own}: ${smallest.charAt(0).toLowerCase()}${smallest.slice(1)}`;
  }
  const own =
    name === undefined
      ? `${isKnown ? 'Your ' : ''}${size} are too small`
      : `Your ${name} of ${size} is too small`;
  return `${own} for one load: cook it in ${loads.loads} equal loads, each ${roundWeightWords(loads.fatGEach, unit)} of fat and ${volumeWords(loads.waterMlEach, unit)} of water. ${smallest}`;
}

function timeWords({ minutes, water }: Render): string {
  const least = `Render for ${minutesWords(water.minutesLow)} at least`;
  return minutes < water.minutesLow ? `${least}; ${minutesWords(minutes)} is too short.` : `${least}.`;
}

function heatUpWords({ heatUp, burner, use, loads }: Render): string {
  if (heatUp === undefined || burner === undefined) return '';
  if (!heatUp.ok) return ` Your burner of ${powerWords(burner.powerW)} is too weak to boil it.`;
  const each = loads.loads > 1 ? ' a load' : '';
  const cost = use?.cost == null ? '' : `, which costs ${costWords(use.cost)}`;
  const energy = use === undefined ? '' : `; about ${energyWords(use.energyKWh)} in all${cost}`;
  return ` About ${minutesWords(heatUp.minutes)}${each} to the boil on ${powerWords(burner.powerW)}${energy}.`;
}

export const energyWords = (kWh: number): string => `${Number(kWh.toPrecision(3))} kWh`;
export const costWords = (cost: number): string =>
  cost < 1 ? String(Number(cost.toPrecision(2))) : cost.toFixed(2);

function expectWords({ tallow, cut, recoveryLow, recoveryHigh }: Render, unit: Units): string {
  const weight = weightRangeWords(tallow.tallowLowG, tallow.tallowHighG, unit);
  const volume = volumeRangeWords(tallow.tallowLowMl, tallow.tallowHighMl, unit);
  return `Expect ${weight} of tallow, about ${volume} when poured: ${percentRangeWords(recoveryLow, recoveryHigh)} of the fat it holds.${minceWords(cut)}`;
}

function minceWords(cut: Cut): string {
  return cut === 'minced'
    ? ' Minced has no figure of its own; this is the range of ground fat, a close neighbour.'
    : '';
}
