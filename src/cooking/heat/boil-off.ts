/** How fast water leaves a simmering pot. */

import { type Assumption, assumed } from '../../safety/sources.js';
import { assertNotNegative, assertPositive } from '../../words/numbers.js';
import type { Calculation } from '../working.js';
import { type Burner, efficiencyAssumption, efficiencyOf, simmerPowerW } from './burner.js';
import { DRY_LOSS_ASSUMPTION, dryLossW, type Pot, potShape } from './pot.js';
import { boilingPointC } from './steam.js';
import { latentHeatConstant, latentHeatKJPerKg, liquidWaterDensityGPerMl } from './water-properties.js';

export type Lid = 'on' | 'ajar' | 'off';

/** An earlier render in the same vessel whose water was measured at the end. */
export interface MeasuredRender {
  /** All the water that went in, top-ups included. */
  readonly waterMl: number;
  readonly waterLeftMl: number;
  readonly minutes: number;
}

export interface BoilOffRequest extends Pot {
  readonly altitudeM: number;
  readonly lid: Lid;
  readonly measured?: readonly MeasuredRender[] | undefined;
  readonly burner?: Burner | undefined;
}

export interface BoilOff {
  /** The best of the three ways that the request allows. */
  readonly basis: 'measured' | 'burner' | 'lid';
  readonly mlPerHour: number;
  readonly mlPerHourLow: number;
  readonly mlPerHourHigh: number;
  readonly calculation: Calculation;
}

/** What a gentle simmer loses for each square metre of open top, in litres an hour. Assumed. */
const LITRES_PER_M2_HOUR: Readonly<Record<Lid, { low: number; typical: number; high: number }>> = {
  off: { low: 6, typical: 12, high: 24 },
  ajar: { low: 2.5, typical: 5, high: 10 },
  on: { low: 0.7, typical: 1.5, high: 4 },
};

const TAP_WATER_C = 20;

/** Below this many measured renders the spread between them says little, and a quarter is added on each side. */
const ENOUGH_MEASURED = 3;
const SPREAD_OF_FEW = 0.25;

/**
 * Water lost by a simmering pot, in millilitres of cold water an hour. Measured in this vessel before if it was; else
 * from the lid and the open top; where the burner is known, no more than it can turn to steam beyond what the pot loses,
 * and at its hardest than all its power can.
 * An 1,800 W electric burner at sea level can boil away 2.3 L an hour at full power and no more.
 * Throws RangeError for an altitude outside −2,000 to 11,000 m, and for sizes that are not positive.
 */
export function boilOff(request: BoilOffRequest): BoilOff {
  const { measured = [], burner } = request;
  if (measured.length > 0) return fromMeasured(measured);
  return burner === undefined ? fromLid(request) : fromBurner(burner, request);
}

/**
 * Millilitres of cold water that a power in watts can turn to steam in an hour: P ÷ (latent heat × density).
 * steamingMlPerHour(1000, 99.974) is 1598.
 */
export function steamingMlPerHour(powerW: number, boilC: number): number {
  const gramsPerHour = (powerW * 3600) / latentHeatKJPerKg(boilC);
  return gramsPerHour / liquidWaterDensityGPerMl(TAP_WATER_C);
}

/** The power in watts that turns so much cold water an hour to steam. */
export function steamingW(mlPerHour: number, boilC: number): number {
  return (mlPerHour * liquidWaterDensityGPerMl(TAP_WATER_C) * latentHeatKJPerKg(boilC)) / 3600;
}

function fromMeasured(renders: readonly MeasuredRender[]): BoilOff {
  const rates = renders.map(measuredRate);
  const lostMl = renders.reduce((sum, render) => sum + lost(render), 0);
  const minutes = renders.reduce((sum, render) => sum + render.minutes, 0);
  const spread = renders.length < ENOUGH_MEASURED ? SPREAD_OF_FEW : 0;
  const mlPerHour = (60 * lostMl) / minutes;
  return {
    basis: 'measured',
    mlPerHour,
    mlPerHourLow: Math.min(...rates) * (1 - spread),
    mlPerHourHigh: Math.max(...rates) * (1 + spread),
    calculation: {
      formula: 'boil-off = (water in − water left) ÷ hours, over the earlier renders in this vessel',
      constants: [],
      assumptions: [assumed('The next render simmers as hard and under the same lid as the earlier ones.')],
      steps: [
        { name: 'Earlier renders', value: renders.length, unit: '' },
        { name: 'Water lost in them', value: lostMl, unit: 'mL' },
        { name: 'Time of them', value: minutes, unit: 'min' },
        { name: 'Boil-off', value: mlPerHour, unit: 'mL/h' },
      ],
    },
  };
}

function measuredRate(render: MeasuredRender): number {
  const { waterMl, waterLeftMl, minutes } = render;
  assertPositive({ minutes });
  assertNotNegative({ waterMl, waterLeftMl });
  return (60 * lost(render)) / minutes;
}

/** The fat brings water of its own, so a covered pot may end with more than went in: that is no loss. */
function lost({ waterMl, waterLeftMl }: MeasuredRender): number {
  return Math.max(0, waterMl - waterLeftMl);
}

function fromBurner(burner: Burner, request: BoilOffRequest): BoilOff {
  const boilC = boilingPointC(request.altitudeM);
  const simmer = gentleSimmer(request);
  const lossW = dryLossW({ ...request, boilC });
  const efficiency = efficiencyOf(burner);
  const mostWith = (share: number) => steamingMlPerHour(Math.max(0, burner.powerW * share - lossW), boilC);
  const boundMlPerHour = steamingMlPerHour(burner.powerW * efficiency.high, boilC);
  const mlPerHour = Math.min(simmer.mlPerHour, mostWith(efficiency.typical));
  const steamW = steamingW(mlPerHour, boilC);
  return {
    basis: 'burner',
    mlPerHour,
    mlPerHourLow: Math.min(simmer.mlPerHourLow, mostWith(efficiency.low)),
    mlPerHourHigh: boundMlPerHour,
    calculation: {
      formula:
        'boil-off = open top of the pot × loss for each square metre; the steam that the burner can make is an upper bound',
      constants: [latentHeatConstant(boilC)],
      assumptions: [...simmer.assumptions, DRY_LOSS_ASSUMPTION, efficiencyAssumption(burner)],
      steps: [
        { name: 'Width of the pot', value: simmer.widthCm, unit: 'cm' },
        { name: 'Boil-off at a simmer', value: mlPerHour, unit: 'mL/h' },
        { name: 'Power while simmering', value: simmerPowerW(burner, { steamW, lossW }), unit: 'W' },
        { name: 'At full power never more than', value: boundMlPerHour, unit: 'mL/h' },
      ],
    },
  };
}

function fromLid(request: BoilOffRequest): BoilOff {
  const { mlPerHour, mlPerHourLow, mlPerHourHigh, widthCm, assumptions } = gentleSimmer(request);
  return {
    basis: 'lid',
    mlPerHour,
    mlPerHourLow,
    mlPerHourHigh,
    calculation: {
      formula: 'boil-off = open top of the pot × loss for each square metre',
      constants: [],
      assumptions,
      steps: [
        { name: 'Width of the pot', value: widthCm, unit: 'cm' },
        { name: 'Boil-off', value: mlPerHour, unit: 'mL/h' },
      ],
    },
  };
}

/** What a pot loses at a gentle simmer, whatever it stands on. */
function gentleSimmer({ lid, vesselMl, potDiameterCm }: BoilOffRequest) {
  const { diameterM, topM2 } = potShape(vesselMl, potDiameterCm);
  const { low, typical, high } = LITRES_PER_M2_HOUR[lid];
  const assumptions: readonly Assumption[] = [
    assumed(
      `A gentle simmer with the lid ${lid} loses about ${typical} L an hour for each square metre of open top, ${low} to ${high} L.`,
    ),
    ...(potDiameterCm === undefined ? [assumed('The pot is as tall as it is wide.')] : []),
  ];
  return {
    mlPerHour: 1000 * typical * topM2,
    mlPerHourLow: 1000 * low * topM2,
    mlPerHourHigh: 1000 * high * topM2,
    widthCm: diameterM * 100,
    assumptions,
  };
}
