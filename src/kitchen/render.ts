import type { ValuesOf } from '../chat/option.js';
import { type Refusal, refusal } from '../chat/reply.js';
import {
  EXPECTED_YIELD,
  type ExpectedTallow,
  expectedTallow,
  fatInRawG,
  type RawFat,
  recoveryOf,
} from '../cooking/blends/tallow.js';
import { type BoilOff, boilOff, type Lid, type MeasuredRender } from '../cooking/heat/boil-off.js';
import { type Boiling, boilingAt } from '../cooking/heat/boiling.js';
import type { Burner } from '../cooking/heat/burner.js';
import { type BurnerUse, burnerUse } from '../cooking/heat/burner-use.js';
import { type HeatUp, type HeatUpProblem, heatUp } from '../cooking/heat/heat-up.js';
import { isPossiblePot, type PotShape, potShape } from '../cooking/heat/pot-shape.js';
import { RELEASE_MINUTES, releaseMinutes } from '../cooking/planning/timeline-steps.js';
import { type Loads, loadsFor } from '../cooking/water/loads.js';
import { type BoilsAwayTooFast, type TopUps, topUps } from '../cooking/water/top-ups.js';
import {
  LARGEST_VESSEL_ML,
  SMALLEST_VESSEL_ML,
  type VesselNeed,
  vesselFor,
} from '../cooking/water/vessel.js';
import { LB_PER_8_CUPS, LEAST_RENDER_MINUTES, type Water, waterFor } from '../cooking/water/water.js';
import type { Calculation, WorkingInput } from '../cooking/working.js';
import { type ExpectedShare, shareWords } from '../findings/expected-share.js';
import {
  altitudeWords,
  capacityWords,
  lengthWords,
  minutesWords,
  percentRangeWords,
  percentWords,
  powerWords,
  pressureWords,
  temperatureWords,
  type Units,
  volumeWords,
  weightWords,
} from '../words/amount-words.js';
import { type Cut, cutLabel, type Method, methodLabel } from '../words/methods.js';
import { KPA_PER_PSI, ML_PER_US_CUP } from '../words/units.js';
import { type Asked, originOf, readVesselSize, standsOnBurner } from './asked.js';
import * as option from './options.js';
import type { Part } from './working.js';

/** What can be said of a render besides how much of what; everything may be left out. */
export const RENDER_OPTIONS = {
  method: option.method(false),
  cut: option.cut(false),
  minutes: option.minutes('How long it will render; a bare number is minutes'),
  altitude: option.altitude(),
  gauge: option.gauge(),
  lid: option.lid(),
  vessel: option.vessel(),
  diameter: option.diameter(),
  burner: option.burner(),
  'burner-kind': option.burnerKind(),
  'fat-temperature': option.fatTemperature(),
  'water-temperature': option.waterTemperature(),
  price: option.price(),
  kind: option.rawFat(),
  lean: option.lean(),
  unit: option.unitSystem(),
} as const;

export type RenderValues = ValuesOf<typeof RENDER_OPTIONS>;

/** Taken where neither the cook nor their kit says otherwise. */
export const ASSUMED = {
  method: 'open-pot',
  cut: 'ground',
  altitudeM: 0,
  /** Near 240 °F at sea level, where common practice has it. */
  gaugeKPa: 10 * KPA_PER_PSI,
  fatStartC: 4,
  waterStartC: 20,
  rawFat: 'trimmings',
} as const;

/** A render with every blank filled in. */
export interface Render {
  readonly kind: 'render';
  readonly fatG: number;
  readonly method: Method;
  readonly cut: Cut;
  readonly minutes: number;
  readonly altitudeM: number;
  readonly lid: Lid;
  readonly rawFat: RawFat;
  readonly leanFraction: number;
  readonly fatStartC: number;
  readonly waterStartC: number;
  readonly burner: Burner | undefined;
  /** The vessel it is cooked in: the one that was named, or the next size that pots are sold in. */
  readonly potMl: number;
  readonly potDiameterCm: number | undefined;
  readonly boiling: Boiling;
  readonly water: Water;
  readonly need: VesselNeed;
  readonly loads: Loads;
  /** Of a wet render that is not sealed; undefined for any other. */
  readonly boilOff: BoilOff | undefined;
  readonly topUps: TopUps | BoilsAwayTooFast | undefined;
  /** Of one load, where the burner is known. */
  readonly heatUp: HeatUp | HeatUpProblem | undefined;
  readonly use: BurnerUse | undefined;
  /** Less in proportion to the lean on it, and never more than the fat that the raw piece holds. */
  readonly tallow: ExpectedTallow;
  /** The most to have room for: the more of what is forecast and what the cut usually gives at the most. */
  readonly tallowMostMl: number;
  readonly share: ExpectedShare | undefined;
  readonly recoveryLow: number;
  readonly recoveryHigh: number;
  readonly parts: readonly Part[];
}

export interface RenderRequest {
  readonly fatG: number;
  readonly values: RenderValues;
  readonly measured: readonly MeasuredRender[];
  readonly share: ExpectedShare | undefined;
}

/** Works out a render, or refuses what cannot be done in such a vessel. */
export function renderOf({ fatG, values, measured, share }: RenderRequest): Render | Refusal {
  const { method = ASSUMED.method, cut = ASSUMED.cut, minutes = LEAST_RENDER_MINUTES } = values;
  const { altitude: altitudeM = ASSUMED.altitudeM, unit, kind: rawFat = ASSUMED.rawFat } = values;
  const { lean: leanFraction = 0, lid = method === 'slow-cooker' ? 'on' : 'off' } = values;
  const fatStartC = values['fat-temperature'] ?? ASSUMED.fatStartC;
  const waterStartC = values['water-temperature'] ?? ASSUMED.waterStartC;
  if (values.gauge !== undefined && method !== 'pressure') {
    return refusal('Only a pressure cooker has a gauge', 'Leave gauge out, or say method:pressure.');
  }
  const gaugeKPa = method === 'pressure' ? (values.gauge ?? ASSUMED.gaugeKPa) : 0;
  const boiling = boilingAt({ altitudeM, gaugeKPa });
  if (!boiling.ok) throw new RangeError(`the options let through ${altitudeM} m at ${gaugeKPa} kPa`);

  const water = waterFor({ fatG, method, cut });
  const load = { fatG, waterMl: water.waterMl, cut };
  const need = vesselFor(load, method);
  const potMl = potFor(values.vessel, need);
  if (typeof potMl !== 'number') return potMl;
  const potDiameterCm = values.diameter === undefined ? undefined : values.diameter * 100;
  const shape = potShape(potMl, potDiameterCm);
  if (!isPossiblePot(shape)) return refusePot(shape, potMl, values.vessel !== undefined, unit);
  const burner = burnerIn(values, method);

  const loads = loadsFor({
    ...load,
    method,
    vesselMl: potMl,
    minutesPerLoad: minutes + releaseMinutes(method),
  });
  if (!loads.ok) return refuseLoads(loads, fatG, potMl, unit);
  const each = { fatG: loads.fatGEach, waterMl: loads.waterMlEach };
  const pot = { vesselMl: potMl, potDiameterCm };

  const simmers = water.kind === 'wet' && method !== 'pressure';
  const lost = simmers ? boilOff({ altitudeM, lid, measured, burner, ...pot }) : undefined;
  const level = lost && topUps({ waterMl: each.waterMl, minutes, boilOff: lost });

  const started = { loads, potMl, potDiameterCm, rawFat, fatStartC, waterStartC, boiling, method, lid };
  const heat = burner && heatUpOf(started, burner);
  const use =
    burner &&
    heat?.ok &&
    burnerUse({
      burner,
      heatUp: heat,
      renderMinutes: minutes,
      boilC: boiling.boilC,
      boilOffMlPerHour: lost?.mlPerHour ?? 0,
      pricePerKWh: values.price,
      loads: loads.loads,
    });

  const piece = { fatG, rawFat, leanFraction };
  const fatInG = fatInRawG(piece);
  const tallow = expectedTallow({ ...piece, cut, share });
  const usual = expectedTallow({ ...piece, cut });
  const recoveryHigh = tallow.tallowHighG / fatInG;
  const recoveryLow = tallow.tallowLowG / fatInG;
  const rest = {
    fatG,
    method,
    cut,
    minutes,
    altitudeM,
    lid,
    rawFat,
    leanFraction,
    fatStartC,
    waterStartC,
    burner,
    potMl,
    potDiameterCm,
    boiling,
    water,
    need,
    loads,
    boilOff: lost,
    topUps: level,
    heatUp: heat,
    use: use || undefined,
    tallow,
    tallowMostMl: Math.max(tallow.tallowHighMl, usual.tallowHighMl),
    share,
    recoveryLow,
    recoveryHigh,
  };
  return { kind: 'render', ...rest, parts: partsOf(rest) };
}

/** The heat-up of one load of a render on a burner. A pressure cooker has its lid on. */
export function heatUpOf(
  render: Pick<
    Render,
    | 'loads'
    | 'potMl'
    | 'potDiameterCm'
    | 'rawFat'
    | 'fatStartC'
    | 'waterStartC'
    | 'boiling'
    | 'method'
    | 'lid'
  >,
  burner: Burner,
): HeatUp | HeatUpProblem {
  const { loads, potMl, potDiameterCm, rawFat, fatStartC, waterStartC, boiling, method, lid } = render;
  return heatUp({
    fatG: loads.fatGEach,
    waterMl: loads.waterMlEach,
    vesselMl: potMl,
    potDiameterCm,
    rawFat,
    fatStartC,
    waterStartC,
    boilC: boiling.boilC,
    burner,
    lid: method === 'pressure' ? 'on' : lid,
  });
}

function burnerIn(values: RenderValues, method: Method): Burner | undefined {
  const { burner: powerW, 'burner-kind': kind } = values;
  if (powerW === undefined || !standsOnBurner(method)) return undefined;
  return { powerW, ...(kind === undefined ? {} : { kind }) };
}

function potFor(vessel: string | undefined, need: VesselNeed): number | Refusal {
  if (vessel === undefined) {
    return Math.min(LARGEST_VESSEL_ML, Math.max(SMALLEST_VESSEL_ML, need.soldSizeMl ?? need.vesselMl));
  }
  const size = readVesselSize(vessel);
  return size.ok
    ? Math.max(SMALLEST_VESSEL_ML, size.value)
    : refusal('That could not be read', `Vessel: ${size.problem}`);
}

function refusePot({ diameterM, heightM }: PotShape, potMl: number, isSaid: boolean, unit: Units): Refusal {
  const size = isSaid ? '' : ' or say vessel: with its size too,';
  return refusal(
    'That pot cannot be',
    `${capacityWords(potMl, unit)} in a vessel ${lengthWords(diameterM, unit)} wide would stand ${lengthWords(heightM, unit)} high. Measure the width inside,${size} or leave diameter out.`,
  );
}

function refuseLoads(
  problem: Exclude<ReturnType<typeof loadsFor>, Loads>,
  fatG: number,
  potMl: number,
  unit: Units,
): Refusal {
  if (problem.problem === 'too-many-loads') {
    return refusal(
      'Too much for that vessel',
      `${weightWords(fatG, unit)} of fat in ${capacityWords(potMl, unit)} would be ${problem.loads} loads, and ${problem.mostLoads} are more than a day’s work. Take a vessel of ${capacityWords(problem.vesselMl, unit)} or larger, or less fat.`,
    );
  }
  throw new RangeError(`the options let through a vessel of ${potMl} mL`);
}

/** Why a burner cannot do it, and what would. */
export function refuseHeatUp(problem: HeatUpProblem, { loads, potMl }: Render, unit: Units): Refusal {
  const load = `${weightWords(loads.fatGEach, unit)} of fat with its water in a vessel of ${capacityWords(potMl, unit)}`;
  const why =
    problem.problem === 'power-too-low'
      ? `A pot like that loses its heat faster than ${powerWords(problem.powerW)} can bring it: it takes more than ${powerWords(problem.neededW)}.`
      : `${powerWords(problem.powerW)} would take ${minutesWords(problem.minutes)} to the boil, and more than ${minutesWords(problem.longestMinutes)} is no way to cook.`;
  return refusal(
    'That burner is too weak',
    `${load}: ${why} Use a stronger burner, put the lid on, or cook smaller loads.`,
  );
}

/** The calculations in the order in which one follows from another. */
function partsOf(render: Omit<Render, 'parts' | 'kind'>): readonly Part[] {
  const { water, boiling, need, loads, boilOff: lost, topUps: level, heatUp: heat, use, tallow } = render;
  return [
    { title: 'Water', calculation: waterCalculation(water) },
    { title: 'Boiling', calculation: boiling.calculation },
    { title: 'Vessel', calculation: need.calculation },
    ...(loads.loads > 1 ? [{ title: 'Loads', calculation: loads.calculation }] : []),
    ...(lost ? [{ title: 'Boil-off', calculation: lost.calculation }] : []),
    ...(level?.ok ? [{ title: 'Top-ups', calculation: level.calculation }] : []),
    ...(heat?.ok ? [{ title: 'Heat-up', calculation: heat.calculation }] : []),
    ...(use ? [{ title: 'Energy', calculation: use.calculation }] : []),
    {
      title: 'Tallow',
      calculation: {
        formula: `tallow = raw fat × share that ${render.share ? 'is forecast' : 'the cut gives'}${render.leanFraction > 0 ? ' × fat held ÷ fat held without lean' : ''}; recovery = tallow ÷ fat held`,
        constants: render.share
          ? []
          : [
              {
                name: 'Least share',
                value: EXPECTED_YIELD[render.cut].low,
                unit: 'g/g',
                source: 'practice-yield',
              },
              { name: 'Most', value: EXPECTED_YIELD[render.cut].high, unit: 'g/g', source: 'practice-yield' },
            ],
        assumptions: [
          ...(render.share
            ? [
                {
                  text: '8 batches in 10 like this give from the least to the most; the spread is that of this community.',
                  sources: [],
                },
              ]
            : []),
          ...tallow.assumptions,
          ...recoveryOf({ ...render, tallowG: tallow.tallowHighG }).assumptions,
        ],
        steps: [
          { name: 'Fat in the raw piece', value: fatInRawG(render), unit: 'g' },
          { name: 'Tallow at least', value: tallow.tallowLowG, unit: 'g' },
          { name: 'at most', value: tallow.tallowHighG, unit: 'g' },
          { name: 'Recovery at most', value: render.recoveryHigh, unit: '' },
        ],
      },
    },
  ];
}

function waterCalculation({ kind, waterMl, waterLowMl, waterHighMl, assumptions }: Water): Calculation {
  const wet = kind === 'wet';
  const source = wet ? 'practice-water-ratio' : 'practice-dry-starter';
  return {
    formula: wet
      ? 'water = raw fat ÷ pounds that 8 cups go with × 8 cups'
      : 'water = a cup, or what a wet render of so little fat would take',
    constants: [
      wet
        ? { name: '8 cups go with', value: LB_PER_8_CUPS.suggested, unit: 'lb', source }
        : { name: 'A cup', value: ML_PER_US_CUP, unit: 'mL', source: 'nist-hb44' },
    ],
    assumptions: assumptions.filter(({ sources }) =>
      sources.some((id) => id === source || id === 'practice-time'),
    ),
    steps: [
      { name: 'Water', value: waterMl, unit: 'mL' },
      { name: 'at least', value: waterLowMl, unit: 'mL' },
      { name: 'at most', value: waterHighMl, unit: 'mL' },
    ],
  };
}

/** The inputs of a render, each with whose figure it is. */
export function renderInputs(render: Render, values: RenderValues, asked: Asked): readonly WorkingInput[] {
  const { unit } = values;
  const input = (name: string, option: string, value: string): WorkingInput => ({
    name,
    value,
    unit: '',
    origin: originOf(asked, option),
  });
  const { burner, boiling, potMl, potDiameterCm, method } = render;
  const vesselName = asked.kit['vessel-name'];
  return [
    input('Method', 'method', methodLabel(method)),
    input('Cut', 'cut', cutLabel(render.cut)),
    input('What the fat is', 'kind', `${render.rawFat}, ${percentWords(render.leanFraction)} lean`),
    input('Time', 'minutes', minutesWords(render.minutes)),
    input('Altitude', 'altitude', altitudeWords(render.altitudeM, unit)),
    ...(method === 'pressure' ? [input('Gauge', 'gauge', pressureWords(boiling.gaugeKPa, unit))] : []),
    ...(render.boilOff ? [input('Lid', 'lid', render.lid)] : []),
    input(
      'Vessel',
      'vessel',
      `${vesselName === undefined ? '' : `${vesselName}, `}${capacityWords(potMl, unit)}`,
    ),
    ...(potDiameterCm === undefined
      ? []
      : [input('Width of the vessel', 'diameter', lengthWords(potDiameterCm / 100, unit))]),
    ...(burner === undefined
      ? []
      : [
          input('Burner', 'burner', `${powerWords(burner.powerW)}, ${burner.kind ?? 'of unknown kind'}`),
          input('Fat goes in at', 'fat-temperature', temperatureWords(render.fatStartC, unit)),
          input('Water goes in at', 'water-temperature', temperatureWords(render.waterStartC, unit)),
        ]),
    ...(render.share === undefined
      ? []
      : [
          {
            name: 'Share forecast',
            value: `${percentRangeWords(render.share.low, render.share.high)}, ${shareWords(render.share, 'of the same cook')}`,
            unit: '',
            origin: 'this community' as const,
          },
        ]),
    ...(values.price === undefined ? [] : [input('Price of a kWh', 'price', String(values.price))]),
    ...(render.boilOff?.basis === 'measured'
      ? asked.measured.map(
          ({ waterMl, waterLeftMl, minutes }): WorkingInput => ({
            name: 'An earlier render of the same cook',
            value: `${volumeWords(waterMl, unit)} in, ${volumeWords(waterLeftMl, unit)} left after ${minutesWords(minutes)}`,
            unit: '',
            origin: 'this community',
          }),
        )
      : []),
  ];
}

/** The figures of a render, for any reply that rests on one. */
export function renderFigures(render: Render) {
  const { water, tallow, boiling, need, loads, boilOff: lost, topUps: level, heatUp: heat, use } = render;
  const [first, second] = level?.ok ? level.topUps : [];
  return {
    fatG: render.fatG,
    leanFraction: render.leanFraction,
    waterMl: water.waterMl,
    waterLowMl: water.waterLowMl,
    waterHighMl: water.waterHighMl,
    vesselMl: need.vesselMl,
    potMl: render.potMl,
    minutesLow: water.minutesLow,
    minutes: render.minutes,
    releaseLowMinutes: render.method === 'pressure' ? RELEASE_MINUTES.low : null,
    releaseHighMinutes: render.method === 'pressure' ? RELEASE_MINUTES.high : null,
    altitudeM: render.altitudeM,
    boilC: boiling.boilC,
    boilLowC: boiling.boilLowC,
    boilHighC: boiling.boilHighC,
    boilOffMlPerHour: lost?.mlPerHour ?? null,
    boilOffLowMlPerHour: lost?.mlPerHourLow ?? null,
    boilOffHighMlPerHour: lost?.mlPerHourHigh ?? null,
    boilOffMl: lost === undefined ? null : (lost.mlPerHour * render.minutes) / 60,
    dryAtMinutes: level?.dryAtMinutes ?? null,
    dryAtLowMinutes: level?.dryAtLowMinutes ?? null,
    dryAtHighMinutes: level?.dryAtHighMinutes ?? null,
    topUps: level?.ok ? level.topUps.map(({ atMinutes, ml }) => ({ atMinutes, ml })) : [],
    topUpEveryMinutes: level?.ok && second && first ? second.atMinutes - first.atMinutes : null,
    topUpsMl: level?.ok ? level.topUpsMl : null,
    biggerStartMl: level?.biggerStartMl ?? null,
    loads: loads.loads,
    fatGEach: loads.fatGEach,
    waterMlEach: loads.waterMlEach,
    heatUpMinutes: heat?.ok ? heat.minutes : null,
    burnerW: render.burner?.powerW ?? null,
    energyKWh: use?.energyKWh ?? null,
    cost: use?.cost ?? null,
    tallowLowG: tallow.tallowLowG,
    tallowHighG: tallow.tallowHighG,
    tallowLowMl: tallow.tallowLowMl,
    tallowHighMl: tallow.tallowHighMl,
    tallowExpectedG: tallow.tallowExpectedG ?? null,
    trust: render.share?.trust ?? 0,
    recoveryLow: render.recoveryLow,
    recoveryHigh: render.recoveryHigh,
  };
}
