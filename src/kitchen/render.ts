import { isRefusal, type Refusal, refusal } from '../chat/reply.js';
import { type ExpectedTallow, expectedTallow, fatInRawG, type RawPiece } from '../cooking/blends/tallow.js';
import { pourBelowC } from '../cooking/cooling/cool-down.js';
import { type BoilOff, boilOff, type Lid, type MeasuredRender } from '../cooking/heat/boil-off.js';
import { type Boiling, boilingAt } from '../cooking/heat/boiling.js';
import type { Burner } from '../cooking/heat/burner.js';
import { type BurnerUse, burnerUse } from '../cooking/heat/burner-use.js';
import { type HeatUp, type HeatUpProblem, heatUp } from '../cooking/heat/heat-up.js';
import { standsOnBurner } from '../cooking/heat/own-heat.js';
import { isPossiblePot, potShape } from '../cooking/heat/pot.js';
import { type Loads, loadsFor } from '../cooking/water/loads.js';
import { type BoilsAwayTooFast, type TopUps, topUps } from '../cooking/water/top-ups.js';
import {
  LARGEST_VESSEL_ML,
  SMALLEST_VESSEL_ML,
  usableVesselMl,
  type VesselNeed,
  vesselFor,
} from '../cooking/water/vessel.js';
import { usualRenderMinutes, type Water, waterFor } from '../cooking/water/water.js';
import type { ExpectedShare } from '../findings/expected-share.js';
import {
  capacityWords,
  lengthWords,
  minutesWords,
  powerWords,
  temperatureWords,
  type Units,
  weightWords,
} from '../words/amounts.js';
import type { Cut, Method } from '../words/methods.js';
import type { Asked } from './asked.js';
import { ASSUMED } from './options.js';
import type { RenderValues } from './with-kit.js';

/** A render as it was asked for, with what earlier batches say of it. */
export interface RenderAsked extends Asked<RenderValues> {
  readonly fatG: number;
  /** The cook's own renders whose water was measured, where they bear on it. */
  readonly measured: readonly MeasuredRender[];
  readonly share: ExpectedShare | undefined;
}

/** A render worked out with every blank filled in. */
export interface Render {
  readonly asked: RenderAsked;
  readonly method: Method;
  readonly minutes: number;
  readonly fat: Fat;
  readonly pot: Pot;
  readonly water: RenderWater;
  readonly heat: Heat;
  readonly tallow: Tallow;
}

/** The raw fat. */
export interface Fat extends Required<RawPiece> {
  readonly cut: Cut;
  /** As it goes into the pot: what was frozen is thawed first. */
  readonly startC: number;
  /** As it is now. */
  readonly keptC: number;
  readonly isFrozen: boolean;
}

/** The vessel: the one that was said, or the next size that pots are sold in. */
export interface Pot {
  readonly vesselMl: number;
  readonly potDiameterCm: number | undefined;
  readonly lid: Lid;
  /** The smallest that takes all of it at once. */
  readonly need: VesselNeed;
  readonly loads: Loads;
}

export interface RenderWater extends Water {
  readonly startC: number;
  /** Of a wet render that is not sealed; undefined for any other. */
  readonly boilOff: BoilOff | undefined;
  readonly topUps: TopUps | BoilsAwayTooFast | undefined;
}

export interface Heat {
  readonly altitudeM: number;
  readonly boiling: Boiling;
  readonly burner: Burner | undefined;
  /** Of one load, where the burner is known. */
  readonly heatUp: HeatUp | HeatUpProblem | undefined;
  readonly use: BurnerUse | undefined;
}

/** Less in proportion to the lean on the fat, and never more than the fat that the raw piece holds. */
export interface Tallow extends ExpectedTallow {
  /** The most to have room for: the more of what is forecast and what the cut usually gives at the most. */
  readonly mostMl: number;
  readonly share: ExpectedShare | undefined;
  readonly recoveryLow: number;
  readonly recoveryHigh: number;
}

/** Works out a render, or refuses what cannot be done in such a vessel. */
export function renderOf(asked: RenderAsked): Render | Refusal {
  const { method = ASSUMED.method } = asked.values;
  const { minutes = usualRenderMinutes(method) } = asked.values;
  const fat = fatOf(asked);
  const begun = { asked, method, minutes, fat };
  const boiling = boilingOf(begun);
  if (isRefusal(boiling)) return boiling;
  const tooHot = refuseTooHot(begun, asked.values.altitude ?? ASSUMED.altitudeM, asked.values.unit);
  if (tooHot !== undefined) return tooHot;
  const needed = waterFor({ ...fat, method });
  const pot = potOf(begun, needed);
  if (isRefusal(pot)) return pot;
  const water = waterOf({ ...begun, pot }, needed);
  const heat = heatOf({ ...begun, pot, water }, boiling);
  return { ...begun, pot, water, heat, tallow: tallowOf(fat, method, asked.share) };
}

type Begun = Pick<Render, 'asked' | 'method' | 'minutes' | 'fat'>;
type BegunInPot = Begun & Pick<Render, 'pot'>;
type BegunInWater = BegunInPot & Pick<Render, 'water'>;

function fatOf({ values, fatG }: RenderAsked): Fat {
  const { cut = ASSUMED.cut, kind: rawFat = ASSUMED.rawFat, lean: leanFraction = 0 } = values;
  const keptC = values['fat-temperature'] ?? ASSUMED.fatStartC;
  const isFrozen = keptC <= FROZEN_C;
  const startC = isFrozen ? ASSUMED.fatStartC : keptC;
  return { fatG, cut, rawFat, leanFraction, startC, keptC, isFrozen };
}

/** Water freezes; raw fat holds some. */
const FROZEN_C = 0;

/** Water on fat that is hotter than water boils there flashes to steam. */
function refuseTooHot({ fat }: Begun, altitudeM: number, unit: Units): Refusal | undefined {
  const belowC = pourBelowC(altitudeM);
  if (fat.keptC <= belowC) return undefined;
  return refusal(
    'That fat is too hot for water',
    `Water boils at ${temperatureWords(boilingAt({ altitudeM }).boilC, unit)} there. Let the fat fall below ${temperatureWords(belowC, unit)}, heat off, before any water goes in.`,
  );
}

function boilingOf({ asked, method }: Begun): Boiling | Refusal {
  const { gauge, altitude } = asked.values;
  if (gauge !== undefined && method !== 'pressure')
    return refusal('Only a pressure cooker has a gauge', 'Leave gauge out, or say method:pressure.');
  const altitudeM = altitude ?? ASSUMED.altitudeM;
  const gaugeKPa = method === 'pressure' ? (gauge ?? ASSUMED.gaugeKPa) : 0;
  return boilingAt({ altitudeM, gaugeKPa });
}

function potOf({ asked, method, fat }: Begun, { waterMl }: Water): Pot | Refusal {
  const { vessel, unit, diameter, lid = method === 'slow-cooker' ? 'on' : 'off' } = asked.values;
  const load = { fatG: fat.fatG, cut: fat.cut, waterMl };
  const need = vesselFor(load, method);
  const isOutdoors = asked.values['burner-kind'] === 'outdoor gas' && standsOnBurner(method);
  const largestMl = isOutdoors ? LARGEST_VESSEL_ML : usableVesselMl(method);
  const wantedMl = vessel
    ? usableVesselMl(method, vessel.vesselMl)
    : Math.min(largestMl, need.soldSizeMl ?? need.vesselMl);
  const vesselMl = Math.max(SMALLEST_VESSEL_ML, wantedMl);
  const potDiameterCm = diameter === undefined ? undefined : diameter * 100;
  const impossible = impossiblePotWords(vesselMl, potDiameterCm, unit);
  if (impossible !== undefined) {
    const size = vessel === undefined ? ' or say vessel: with its size too,' : '';
    return refusal(
      'That pot cannot be',
      `${impossible} Measure the width inside,${size} or leave diameter out.`,
    );
  }
  const loads = loadsFor(load, method, vesselMl);
  if (loads.ok) return { vesselMl, potDiameterCm, lid, need, loads };
  return refusal(
    'Too much for that vessel',
    `${weightWords(fat.fatG, unit)} of fat in ${capacityWords(vesselMl, unit)} would be ${loads.loads} loads; ${loads.mostLoads} are the most. ${usableVesselMl(method, loads.vesselMl) < loads.vesselMl ? 'Cook less fat, or by another method.' : `Take a vessel of ${capacityWords(loads.vesselMl, unit)} or larger, or less fat.`}`,
  );
}

/** How high a vessel would stand that cannot be; undefined of one that can. */
export function impossiblePotWords(
  vesselMl: number,
  potDiameterCm: number | undefined,
  unit?: Units,
): string | undefined {
  const shape = potShape(vesselMl, potDiameterCm);
  return isPossiblePot(shape)
    ? undefined
    : `${capacityWords(vesselMl, unit)} in a vessel ${lengthWords(shape.diameterM, unit)} wide would stand ${lengthWords(shape.heightM, unit)} high.`;
}

function waterOf({ asked, method, minutes, pot }: BegunInPot, needed: Water): RenderWater {
  const { values, measured } = asked;
  const startC = values['water-temperature'] ?? ASSUMED.waterStartC;
  if (needed.kind !== 'wet' || method === 'pressure')
    return { ...needed, startC, boilOff: undefined, topUps: undefined };
  const lost = boilOff({
    altitudeM: values.altitude ?? ASSUMED.altitudeM,
    lid: pot.lid,
    measured,
    burner: burnerIn(values, method),
    vesselMl: pot.vesselMl,
    potDiameterCm: pot.potDiameterCm,
  });
  const level = topUps({ waterMl: pot.loads.waterMlEach, minutes, boilOff: lost });
  return { ...needed, startC, boilOff: lost, topUps: level };
}

function burnerIn(values: RenderValues, method: Method): Burner | undefined {
  const { burner: powerW, 'burner-kind': kind } = values;
  if (powerW === undefined || !standsOnBurner(method)) return undefined;
  return { powerW, ...(kind === undefined ? {} : { kind }) };
}

function heatOf(render: BegunInWater, boiling: Boiling): Heat {
  const { values } = render.asked;
  const burner = burnerIn(values, render.method);
  const heat = { altitudeM: values.altitude ?? ASSUMED.altitudeM, boiling, burner };
  if (burner === undefined) return { ...heat, heatUp: undefined, use: undefined };
  const hot = heatUpOf({ ...render, heat }, burner);
  if (!hot.ok) return { ...heat, heatUp: hot, use: undefined };
  const use = burnerUse({
    burner,
    heatUp: hot,
    renderMinutes: render.minutes,
    boilC: boiling.boilC,
    boilOffMlPerHour: render.water.boilOff?.mlPerHour ?? 0,
    pricePerKWh: values.price,
    loads: render.pot.loads.loads,
  });
  return { ...heat, heatUp: hot, use };
}

/** The heat-up of one load of a render on a burner. A pressure cooker has its lid on. */
export function heatUpOf(
  { method, fat, pot, water, heat }: BegunInWater & { readonly heat: Pick<Heat, 'boiling'> },
  burner: Burner,
): HeatUp | HeatUpProblem {
  return heatUp({
    fatG: pot.loads.fatGEach,
    waterMl: pot.loads.waterMlEach,
    vesselMl: pot.vesselMl,
    potDiameterCm: pot.potDiameterCm,
    rawFat: fat.rawFat,
    fatStartC: fat.startC,
    waterStartC: water.startC,
    boilC: heat.boiling.boilC,
    burner,
    lid: method === 'pressure' ? 'on' : pot.lid,
  });
}

function tallowOf(fat: Fat, method: Method, share: ExpectedShare | undefined): Tallow {
  const expected = expectedTallow({ ...fat, method, share });
  const usual = expectedTallow({ ...fat, method });
  const heldG = fatInRawG(fat);
  return {
    ...expected,
    mostMl: Math.max(expected.tallowHighMl, usual.tallowHighMl),
    share,
    recoveryLow: expected.tallowLowG / heldG,
    recoveryHigh: expected.tallowHighG / heldG,
  };
}

/** To two digits, so that it is never said to be what is too little. */
function roundedUp(watts: number): number {
  const step = 10 ** Math.max(0, Math.floor(Math.log10(watts)) - 1);
  return Math.ceil(watts / step) * step;
}

/** Why a burner cannot do it, and what would. */
export function refuseHeatUp(problem: HeatUpProblem, { pot, asked }: Render): Refusal {
  const { unit } = asked.values;
  const load = `${weightWords(pot.loads.fatGEach, unit)} of fat with its water in a vessel of ${capacityWords(pot.vesselMl, unit)}`;
  const why =
    problem.problem === 'power-too-low'
      ? `A pot like that loses its heat faster than ${powerWords(problem.powerW)} can bring it: it takes more than ${powerWords(roundedUp(problem.neededW))}.`
      : `${powerWords(problem.powerW)} would take ${minutesWords(problem.minutes)} to the boil, and more than ${minutesWords(problem.longestMinutes)} is no way to cook.`;
  return refusal(
    'That burner is too weak',
    `${load}: ${why} Use a stronger burner, put the lid on, or cook smaller loads.`,
  );
}
