import type { BurnerUse } from '../cooking/heat/burner-use.js';
import { OWN_HEAT } from '../cooking/heat/own-heat.js';
import { RELEASE_MINUTES } from '../cooking/planning/timeline-steps.js';
import type { TopUp } from '../cooking/water/top-ups.js';
import { shareWords } from '../findings/expected-share.js';
import { HEAVIEST_LIFT_G } from '../safety/occasion.js';
import {
  altitudeWords,
  capacityWords,
  celsiusFirst,
  minutesWords,
  powerWords,
  roundWeightWords,
  temperatureWords,
  type Units,
  volumeRangeWords,
  volumeWords,
  weightRangeWords,
} from '../words/amounts.js';
import { listWords } from '../words/lists.js';
import { inFewDigits } from '../words/numbers.js';
import { ML_PER_US_CUP } from '../words/units.js';
import { percentRangeWords } from '../words/yield-words.js';
import { originOf } from './asked.js';
import type { Render } from './render.js';
import { mayHoldPressure } from './vessel-names.js';
import type { RenderValues } from './with-kit.js';

/**
 * What replies say of a render. Others read them too, so of what only the cook's kit holds they say no more than it
 * takes to follow the answer; the working, which opens for the cook alone, has the rest.
 */

const originIn = ({ asked }: Render, option: keyof RenderValues) => originOf(asked, option);
const unitIn = ({ asked }: Render): Units => asked.values.unit;

export function rangeWords(render: Render): string {
  const { water, method } = render;
  if (water.kind === 'starter')
    return 'Dry: this is only a starter, so that nothing scorches before fat has melted.';
  const range = `The usual range is ${volumeRangeWords(water.waterLowMl, water.waterHighMl, unitIn(render))}.`;
  return method === 'pressure' ? `${range} ${fatLimitWords(render)}` : range;
}

/** How often the fat of one load makes up the quarter cup that many makers of pressure cookers allow, rounded. */
export function fatLimitTimes({ tallow, pot: { loads } }: Render): {
  readonly low: number;
  readonly high: number;
} {
  const times = (ml: number) => Math.max(1, Math.round(ml / loads.loads / FAT_LIMIT_ML));
  return { low: times(tallow.tallowLowMl), high: times(tallow.tallowHighMl) };
}

const FAT_LIMIT_ML = ML_PER_US_CUP / 4;

function fatLimitWords(render: Render): string {
  const { low, high } = fatLimitTimes(render);
  const times = low === high ? `${low}` : `${low} to ${high}`;
  return `A load makes ${times} times the ${volumeWords(FAT_LIMIT_ML, unitIn(render))} of fat that many makers allow.`;
}

/** Sentences of the trade that say the same in every answer. */
export const FAT_RULES = {
  frozen:
    'Thaw it first, in the refrigerator: about a day for each 4 to 5 lb in a pack. No method here starts with frozen fat.',
  warm: 'How long has the fat been warm? Above 40 °F (4 °C) two hours in all is the most, one hour above 90 °F (32 °C), cutting included. Longer: throw it out. Chill it until you start.',
} as const;

/** From here up raw fat is warm, and from here up so hot that nothing grows in it. */
const WARM_C = { from: 5, to: 60 };

const isWarm = ({ fat }: Render): boolean => fat.keptC > WARM_C.from && fat.keptC < WARM_C.to;

/** What to do with fat that is frozen, where no step says it, or that has been warm. */
export function rawFatWords(render: Render, command: '/water' | '/plan'): readonly string[] {
  return [
    ...(render.fat.isFrozen && command === '/water' ? [FAT_RULES.frozen] : []),
    ...(isWarm(render) ? [celsiusFirst(FAT_RULES.warm, unitIn(render))] : []),
  ];
}

/** Where the water boils, when somebody said how high they cook or with what pressure. */
export function boilingWords(render: Render): string {
  const { heat, method, water } = render;
  const origin = originIn(render, 'altitude');
  const isPressure = method === 'pressure';
  if (water.kind === 'starter' || (origin === 'assumed' && !isPressure)) return '';
  const where = origin === 'said' ? `at ${altitudeWords(heat.altitudeM, unitIn(render))}` : 'where you cook';
  const boil = temperatureWords(heat.boiling.boilC, unitIn(render));
  return ` ${isPressure ? 'The cooker runs near' : 'Water boils at'} ${boil}${origin === 'assumed' ? '' : ` ${where}`}.`;
}

/** A cooker that is shut is looked into after so long. Assumed. */
const SEALED_MINUTES = 120;
export const SEALED_WORDS = `Shut, it loses some water all the same, more when it hisses: every ${SEALED_MINUTES / 60} h let the pressure fall and look. Never let it boil dry.`;

/** Whether the water lasts by every measure, so that nothing need be said of it. */
export function lastsWithout({ method, minutes, water: { topUps } }: Render): boolean {
  if (topUps === undefined) return method !== 'pressure' || minutes <= SEALED_MINUTES;
  return topUps.ok && topUps.enough && !isDrySoon(topUps.dryAtLowMinutes, minutes);
}

const isDrySoon = (dryMinutes: number | null, minutes: number): dryMinutes is number =>
  dryMinutes !== null && dryMinutes < minutes;

/** Whether the water lasts, and what to do about it. */
export function lastingWords(render: Render): readonly string[] {
  const { water, minutes, pot } = render;
  const { boilOff, topUps } = water;
  if (render.method === 'pressure' && minutes > SEALED_MINUTES) return [SEALED_WORDS];
  if (boilOff === undefined || topUps === undefined) return [];
  const unit = unitIn(render);
  const each = pot.loads.loads > 1 ? ' of each load' : '';
  if (!topUps.ok) {
    return [
      `So little water${each} boils away while it renders: start with ${volumeWords(topUps.biggerStartMl, unit)}, or keep the lid on.`,
    ];
  }
  const boilsOff = `In ${minutesWords(minutes)} about ${volumeWords((boilOff.mlPerHour * minutes) / 60, unit)}${each} will boil off`;
  const hardest = topUps.dryAtLowMinutes;
  const whatToDo = topUps.enough
    ? isDrySoon(hardest, minutes)
      ? 'at a gentle simmer that lasts.'
      : 'no need to top up.'
    : `${topUpWords(topUps.topUps, unit)}, or start with ${volumeWords(topUps.biggerStartMl, unit)} if the vessel takes it.`;
  const soonest = isDrySoon(hardest, minutes)
    ? ` At a hard boil it would be dry after ${minutesWords(hardest)}: look often, with hot water ready.`
    : '';
  return [
    `${boilsOff}: ${whatToDo}${soonest} Keep at least a third of it in the pot: once it is gone the render is dry, hotter and browner.`,
  ];
}

const MOST_TIMES_NAMED = 3;

function topUpWords(topUps: readonly TopUp[], unit: Units): string {
  const [first, second] = topUps;
  if (first === undefined) return 'no need to top up';
  const hot = `add ${volumeWords(first.ml, unit)} of hot water`;
  if (second === undefined || topUps.length <= MOST_TIMES_NAMED) {
    return `${hot} after ${topUps.map(({ atMinutes }) => minutesWords(atMinutes)).join(', and again after ')}`;
  }
  return `${hot} after ${minutesWords(first.atMinutes)} and then every ${minutesWords(second.atMinutes - first.atMinutes)}`;
}

export function vesselWords(render: Render): string {
  const { asked, method, pot } = render;
  const unit = unitIn(render);
  const { loads } = pot.loads;
  const { vessel } = asked.values;
  const [limit, kind] =
    method === 'pressure' ? ['half full at most', 'cooker'] : ['a third left empty', 'vessel'];
  const smallest = `smallest ${kind} for it holds ${capacityWords(pot.need.vesselMl, unit)}, ${limit}.`;
  if (vessel === undefined && loads === 1) return `The ${smallest}${liftWords(render)}`;
  const size = capacityWords(pot.vesselMl, unit);
  if (vessel === undefined || vessel.vesselMl > pot.vesselMl + 1)
    return `${size} is the most for one load here: cook it in ${loadsWords(render)}.${liftWords(render)}`;
  const name = vessel?.isSaid ? vessel.name : undefined;
  const own = name === undefined ? `${vessel ? 'Your ' : ''}${size} are` : `Your ${name} of ${size} is`;
  if (loads === 1)
    return `${own} ${name === undefined ? 'enough' : 'large enough'}: the ${smallest}${liftWords(render)}`;
  return `${own} too small for one load: cook it in ${loadsWords(render)}. The ${smallest}${liftWords(render)}`;
}

function loadsWords({ asked, pot }: Render): string {
  const { loads, fatGEach, waterMlEach } = pot.loads;
  const { unit } = asked.values;
  return `${loads} equal loads, each ${roundWeightWords(fatGEach, unit)} of fat and ${volumeWords(waterMlEach, unit)} of water`;
}

/** Whether one load is more than somebody can carry with hot fat in it. */
export const isTooHeavyToLift = ({ pot: { loads } }: Render): boolean =>
  loads.fatGEach + loads.waterMlEach > HEAVIEST_LIFT_G;

/** What to do with a pot that is too heavy to carry, or whose lid could lock. */
function liftWords(render: Render): string {
  const { name = '' } = render.asked.values.vessel ?? {};
  const lid =
    render.method !== 'pressure' && render.method !== 'slow-cooker' && mayHoldPressure(name)
      ? ' Its lid stays off, or lies loose: never lock it.'
      : '';
  return `${isTooHeavyToLift(render) ? ' Do not lift it full: ladle it.' : ''}${lid}`;
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

export function heatUpWords(render: Render): string {
  const { heatUp, burner, use } = render.heat;
  if (heatUp === undefined || burner === undefined) return '';
  if (!heatUp.ok) return ' Your burner is too weak to boil it.';
  const each = render.pot.loads.loads > 1 ? ' a load' : '';
  const which = originIn(render, 'burner') === 'said' ? powerWords(burner.powerW) : 'your burner';
  const energy =
    use === undefined ? '' : `; about ${inFewDigits(use.energyKWh)} kWh in all${costWords(render, use)}`;
  return ` About ${minutesWords(heatUp.minutes)}${each} to the boil on ${which}${energy}.`;
}

function costWords(render: Render, { cost }: BurnerUse): string {
  if (cost === null) return '';
  return originIn(render, 'price') === 'said'
    ? `, which costs ${cost.toFixed(2)}`
    : '; what that costs is in the working';
}

export function expectWords(render: Render): string {
  const { tallow, fat, minutes, water } = render;
  if (minutes < water.minutesLow)
    return `What it gives is known from ${minutesWords(water.minutesLow)} up; in ${minutesWords(minutes)} it is less.`;
  const { share, tallowExpectedG } = tallow;
  const unit = unitIn(render);
  const weight = weightRangeWords(tallow.tallowLowG, tallow.tallowHighG, unit);
  const volume = volumeRangeWords(tallow.tallowLowMl, tallow.tallowHighMl, unit);
  const recovery = `${percentRangeWords(tallow.recoveryLow, tallow.recoveryHigh)} of the fat it holds`;
  if (share !== undefined && tallowExpectedG !== undefined)
    return `Expect about ${roundWeightWords(tallowExpectedG, unit)} of tallow; 8 batches in 10 give ${weight}, ${volume} when poured: ${recovery}. That is ${shareWords(share)}.`;
  const minced =
    fat.cut === 'minced'
      ? ' Minced has no figure of its own; this is the range of ground fat, a close neighbour.'
      : '';
  return `Expect ${weight} of tallow, about ${volume} when poured: ${recovery}.${minced}`;
}

/** What decides whether an option makes a difference. */
interface Use {
  readonly isPlan: boolean;
  readonly isPressure: boolean;
  /** Why what warms it up does not matter; undefined where it does. */
  readonly notHeated: string | undefined;
  /** The fat is frozen or warm, and the answer says what to do. */
  readonly isFatTold: boolean;
  readonly simmers: boolean;
  readonly cools: boolean;
}

const NO_BURNER = 'no burner is known; say burner: and its power too';

/** Where no burner is named a plan takes a usual one; what kind a burner is only tells together with its power. */
const temperatureUnused = ({ notHeated, isPlan }: Use) =>
  isPlan && notHeated === NO_BURNER ? undefined : notHeated;
const isWarmed = (use: Use) => temperatureUnused(use) === undefined;

/** Why an option makes no difference to a render; undefined where it makes one. */
const WHY_UNUSED: readonly {
  readonly option: keyof RenderValues;
  readonly why: (use: Use) => string | undefined;
}[] = [
  { option: 'burner', why: ({ notHeated }) => notHeated },
  { option: 'burner-kind', why: ({ notHeated }) => notHeated },
  { option: 'fat-temperature', why: (use) => (use.isFatTold ? undefined : temperatureUnused(use)) },
  { option: 'water-temperature', why: temperatureUnused },
  {
    option: 'price',
    why: ({ isPlan, notHeated }) => (isPlan ? 'a plan does not say what it costs, /water does' : notHeated),
  },
  {
    option: 'lid',
    why: (use) => {
      if (use.isPressure) return 'a pressure cooker is always shut';
      return isWarmed(use) || use.simmers ? undefined : 'there is no simmering water to keep in';
    },
  },
  {
    option: 'diameter',
    why: (use) =>
      isWarmed(use) || use.simmers || use.cools
        ? undefined
        : 'nothing here depends on the width of the vessel',
  },
];

/** What was said and makes no difference to the answer, with the reason or with what is missing. */
export function unusedWords(render: Render, command: '/water' | '/plan'): readonly string[] {
  const { method, heat, water } = render;
  const own = OWN_HEAT[method];
  const noBurner = heat.burner === undefined ? NO_BURNER : undefined;
  const isPlan = command === '/plan';
  const use: Use = {
    isPlan,
    isPressure: method === 'pressure',
    notHeated: own ? `${own.appliance} brings its own heat` : noBurner,
    isFatTold: render.fat.isFrozen || isWarm(render),
    simmers: water.boilOff !== undefined,
    cools: isPlan && water.kind === 'wet',
  };
  const unused = WHY_UNUSED.flatMap(({ option, why }) => {
    const reason = originIn(render, option) === 'said' ? why(use) : undefined;
    return reason === undefined ? [] : [{ option, reason }];
  });
  return [...new Set(unused.map(({ reason }) => reason))].map((reason) => {
    const options = unused.filter((one) => one.reason === reason).map(({ option }) => option);
    return `${listWords(options)} ${options.length === 1 ? 'makes' : 'make'} no difference: ${reason}.`;
  });
}
