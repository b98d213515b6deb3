import type { BurnerUse } from '../cooking/heat/burner-use.js';
import { RELEASE_MINUTES } from '../cooking/planning/timeline-steps.js';
import { shareWords } from '../findings/expected-share.js';
import {
  altitudeWords,
  capacityWords,
  minutesWords,
  percentRangeWords,
  powerWords,
  roughly,
  roundWeightWords,
  temperatureWords,
  type Units,
  volumeRangeWords,
  volumeWords,
  weightRangeWords,
} from '../words/amount-words.js';
import { type Cut, type Method, moistureOf } from '../words/methods.js';
import { type Asked, originOf, standsOnBurner } from './asked.js';
import type { Render } from './render.js';

/**
 * What replies say of a render. Others read them too, so of what only the cook's kit holds they say no more than it
 * takes to follow the answer; the working, which opens for the cook alone, has the rest.
 */

export function rangeWords({ water, method }: Render, unit: Units): string {
  if (water.kind === 'starter')
    return 'Dry: this is only a starter, so that nothing scorches before fat has melted.';
  const dry =
    moistureOf(method) === 'either' ? ' Without boiling water it starts with about a cup instead.' : '';
  return `The usual range is ${volumeRangeWords(water.waterLowMl, water.waterHighMl, unit)}.${dry}`;
}

/** Where the water boils, when somebody said how high they cook or with what pressure. */
export function boilingWords(
  { boiling, altitudeM, method, water }: Render,
  asked: Asked,
  unit: Units,
): string {
  const knowsAltitude = originOf(asked, 'altitude') !== 'assumed';
  if (water.kind === 'starter' || (!knowsAltitude && method !== 'pressure')) return '';
  const at = knowsAltitude ? ` ${whereWords(altitudeM, asked, unit)}` : '';
  return method === 'pressure'
    ? ` The cooker runs near ${temperatureWords(boiling.boilC, unit)}${at}.`
    : ` Water boils at ${temperatureWords(boiling.boilC, unit)}${at}.`;
}

const whereWords = (altitudeM: number, asked: Asked, unit: Units): string =>
  originOf(asked, 'altitude') === 'you said' ? `at ${altitudeWords(altitudeM, unit)}` : 'where you cook';

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

export function vesselWords(render: Render, asked: Asked, unit: Units): string {
  const { need, method, loads, potMl } = render;
  const name = asked.said['vessel-name'];
  const isKnown = originOf(asked, 'vessel') !== 'assumed';
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

export function timeWords({ minutes, water, method }: Render): string {
  const least = `Render for ${minutesWords(water.minutesLow)} at least`;
  const release =
    method === 'pressure'
      ? ` Then, heat off, its pressure takes some ${RELEASE_MINUTES.low} to ${minutesWords(RELEASE_MINUTES.high)} to fall by itself.`
      : '';
  const short = minutes < water.minutesLow ? `; ${minutesWords(minutes)} is too short` : '';
  return `${least}${short}.${release}`;
}

export function heatUpWords({ heatUp, burner, use, loads }: Render, asked: Asked): string {
  if (heatUp === undefined || burner === undefined) return '';
  const isSaid = originOf(asked, 'burner') === 'you said';
  if (!heatUp.ok) return ' Your burner is too weak to boil it.';
  const each = loads.loads > 1 ? ' a load' : '';
  const burnerWords = isSaid ? powerWords(burner.powerW) : 'your burner';
  const energy =
    use === undefined ? '' : `; about ${energyWords(use.energyKWh)} in all${costWords(use, asked)}`;
  return ` About ${minutesWords(heatUp.minutes)}${each} to the boil on ${burnerWords}${energy}.`;
}

const energyWords = (kWh: number): string => `${roughly(kWh)} kWh`;

function costWords({ cost }: BurnerUse, asked: Asked): string {
  if (cost === null) return '';
  return originOf(asked, 'price') === 'you said'
    ? `, which costs ${cost.toFixed(2)}`
    : '; what that costs is in the working';
}

export function expectWords(render: Render, unit: Units): string {
  const { tallow, share, cut, recoveryLow, recoveryHigh } = render;
  const { tallowExpectedG } = tallow;
  const weight = weightRangeWords(tallow.tallowLowG, tallow.tallowHighG, unit);
  const volume = volumeRangeWords(tallow.tallowLowMl, tallow.tallowHighMl, unit);
  const recovery = `${percentRangeWords(recoveryLow, recoveryHigh)} of the fat it holds`;
  return share === undefined || tallowExpectedG === undefined
    ? `Expect ${weight} of tallow, about ${volume} when poured: ${recovery}.${minceWords(cut)}`
    : `Expect about ${roundWeightWords(tallowExpectedG, unit)} of tallow; 8 batches in 10 give ${weight}, ${volume} when poured: ${recovery}. That is ${shareWords(share)}.`;
}

function minceWords(cut: Cut): string {
  return cut === 'minced'
    ? ' Minced has no figure of its own; this is the range of ground fat, a close neighbour.'
    : '';
}

/** Which options a render leaves unused, and why. */
interface Unused {
  readonly names: readonly string[];
  readonly why: string;
}

const HEATING = ['burner', 'burner-kind', 'fat-temperature', 'water-temperature'] as const;

const OWN_HEAT: Readonly<Partial<Record<Method, string>>> = {
  'slow-cooker': 'a slow cooker',
  oven: 'an oven',
  smoker: 'a smoker',
};

/** What was said and makes no difference to the answer, with the reason or with what is missing. */
export function unusedWords(render: Render, asked: Asked, command: '/water' | '/plan'): readonly string[] {
  return unusedIn(render, command).flatMap(({ names, why }) => {
    const said = names.filter((name) => originOf(asked, name) === 'you said');
    if (said.length === 0) return [];
    return [`${listWords(said)} ${said.length === 1 ? 'makes' : 'make'} no difference: ${why}.`];
  });
}

/** "burner, lid and price". */
function listWords(names: readonly string[]): string {
  return [names.slice(0, -1).join(', '), ...names.slice(-1)].filter((part) => part !== '').join(' and ');
}

function unusedIn(render: Render, command: '/water' | '/plan'): readonly Unused[] {
  const { method, burner, boilOff, water } = render;
  const isPlan = command === '/plan';
  const onBurner = standsOnBurner(method);
  // Where no burner is named a plan takes a usual one.
  const isHeated = onBurner && (isPlan || burner !== undefined);
  const isShaped = isHeated || boilOff !== undefined || (isPlan && water.kind === 'wet');
  return [
    onBurner
      ? {
          names: burner !== undefined ? [] : isPlan ? ['burner-kind'] : [...HEATING, 'price'],
          why: 'no burner is known; say burner: and its power too',
        }
      : {
          names: isPlan ? HEATING : [...HEATING, 'price'],
          why: `${OWN_HEAT[method] ?? 'it'} brings its own heat`,
        },
    { names: isPlan ? ['price'] : [], why: 'a plan does not say what it costs, /water does' },
    method === 'pressure'
      ? { names: ['lid'], why: 'a pressure cooker is always shut' }
      : {
          names: isHeated || boilOff !== undefined ? [] : ['lid'],
          why: 'there is no simmering water to keep in',
        },
    { names: isShaped ? [] : ['diameter'], why: 'nothing here depends on the width of the vessel' },
  ];
}
