/** How long fat and water take to come to the boil. */

import { type Assumption, assumed } from '../../safety/sources.js';
import { assertNotNegative, assertWithin, clamp } from '../../words/numbers.js';
import { RAW_FAT } from '../blends/composition.js';
import type { Calculation } from '../working.js';
import type { Lid } from './boil-off.js';
import { type Burner, efficiencyAssumption, efficiencyOf } from './burner.js';
import { DRY_LOSS_W_PER_M2_K, dryLossW, outsideM2, type Pot, ROOM_C } from './pot.js';
import { liquidWaterDensityGPerMl, waterHeatKJPerKg } from './water-properties.js';

/** Nobody waits longer for a pot to boil. */
const LONGEST_HEAT_UP_MINUTES = 12 * 60;

/** Starting temperatures that are accepted, in °C: from a freezer to hot from the tap or a first melt. */
export const START_C = { low: -30, high: 95 } as const;

/** Heat that fat takes up as it melts, in kJ/kg, and between which temperatures in °C. From memory, 100 to 200. */
const MELTING = { heatKJPerKg: 150, fromC: 20, toC: 50 };
const ICE = { specificHeat: 2.1, meltingKJPerKg: 333.6 };
const POT = { gPerMl: 0.35, specificHeat: 0.5 };
/** Heat lost by the outside of a hot pot for each square metre and degree, in watts; evaporation included. Assumed. */
const LOSS_W_PER_M2_K: Readonly<Record<Lid, number>> = {
  on: DRY_LOSS_W_PER_M2_K,
  ajar: 18,
  off: 28,
};
const MEASURED_AT_C = 20;

export interface HeatUpRequest extends Pot {
  readonly fatG: number;
  readonly rawFat?: keyof typeof RAW_FAT | undefined;
  readonly fatStartC: number;
  readonly waterMl: number;
  readonly waterStartC: number;
  /** Where water boils here: the boiling point at the altitude, or the temperature in the pressure cooker. */
  readonly boilC: number;
  readonly burner: Burner;
  readonly lid: Lid;
}

export interface HeatUp {
  readonly ok: true;
  readonly minutes: number;
  /** What leaves the pot at the boil through its outside, apart from steam. */
  readonly lossW: number;
  readonly calculation: Calculation;
}

export type HeatUpProblem =
  /** The pot loses its heat faster than the burner gives it. */
  | {
      readonly ok: false;
      readonly problem: 'power-too-low';
      readonly powerW: number;
      readonly neededW: number;
    }
  /** It would take longer than twelve hours. */
  | {
      readonly ok: false;
      readonly problem: 'too-slow';
      readonly powerW: number;
      readonly minutes: number;
      readonly longestMinutes: number;
    };

/**
 * Minutes until the water boils: a pot that takes up heat and loses it in proportion to how warm it is.
 * Throws RangeError when a weight or size is not positive, or a temperature is out of range.
 */
export function heatUp(request: HeatUpRequest): HeatUp | HeatUpProblem {
  const { burner, boilC, lid } = request;
  const { waterKJ, fatKJ, potKJ } = heatOf(request);
  const lossWPerK = LOSS_W_PER_M2_K[lid] * outsideM2(request);
  const warmingLossW = lossWPerK * (boilC - ROOM_C);
  const efficiency = efficiencyOf(burner).typical;
  const minutes = warmingMinutes({
    heatKJ: waterKJ + fatKJ + potKJ,
    powerW: burner.powerW * efficiency,
    lossWPerK,
    boilC,
  });
  if (minutes === null)
    return {
      ok: false,
      problem: 'power-too-low',
      powerW: burner.powerW,
      neededW: warmingLossW / efficiency,
    };
  if (minutes > LONGEST_HEAT_UP_MINUTES)
    return {
      ok: false,
      problem: 'too-slow',
      powerW: burner.powerW,
      minutes,
      longestMinutes: LONGEST_HEAT_UP_MINUTES,
    };
  return {
    ok: true,
    minutes,
    lossW: dryLossW(request),
    calculation: {
      formula:
        'time to boil = heat that fat, water and pot take up ÷ (burner power × share that reaches the pot − what the pot loses as it warms)',
      constants: [
        {
          name: 'Water, 20 °C to the boil',
          value: waterHeatKJPerKg(MEASURED_AT_C, boilC),
          unit: 'kJ/kg',
          source: 'ashrae-foods',
        },
        {
          name: 'Liquid fat, 20 °C to the boil, without melting',
          value: fatSensibleKJPerKg(MEASURED_AT_C, boilC),
          unit: 'kJ/kg',
          source: 'ashrae-foods',
        },
      ],
      assumptions: [...assumptions(request), efficiencyAssumption(burner)],
      steps: [
        { name: 'Heat for the water', value: waterKJ, unit: 'kJ' },
        { name: 'Heat for the raw fat', value: fatKJ, unit: 'kJ' },
        { name: 'Heat for the pot', value: potKJ, unit: 'kJ' },
        { name: 'Lost with the steam', value: warmingLossW, unit: 'W' },
        { name: 'Time to boil', value: minutes, unit: 'min' },
      ],
    },
  };
}

/** What each takes up, in kJ. */
function heatOf(request: HeatUpRequest) {
  const { fatG, fatStartC, waterMl, waterStartC, boilC, vesselMl, rawFat = 'trimmings' } = request;
  assertNotNegative({ fatG, waterMl });
  assertWithin({ fatStartC }, START_C.low, START_C.high);
  assertWithin({ waterStartC }, 0, START_C.high);
  assertWithin({ boilC }, 70, 130);
  const waterKg = (waterMl * liquidWaterDensityGPerMl(MEASURED_AT_C)) / 1000;
  const { fat, water } = RAW_FAT[rawFat];
  const fatC = Math.min(fatStartC, boilC);
  const waterKJ = waterKg * waterHeatKJPerKg(Math.min(waterStartC, boilC), boilC);
  const fatKJ =
    (fatG / 1000) *
    (fat * (fatSensibleKJPerKg(fatC, boilC) + meltingKJPerKg(fatC)) +
      water * boundWaterKJPerKg(fatC, boilC) +
      (1 - fat - water) * proteinKJPerKg(fatC, boilC));
  const potKJ = ((vesselMl * POT.gPerMl) / 1000) * POT.specificHeat * (boilC - ROOM_C);
  return { waterKJ, fatKJ, potKJ };
}

/** ASHRAE Handbook, Refrigeration: thermal properties of foods, integrated over the temperature. */
function fatSensibleKJPerKg(fromC: number, toC: number): number {
  const heat = (t: number) => 1.9842 * t + (1.4733e-3 / 2) * t ** 2 - (4.8008e-6 / 3) * t ** 3;
  return heat(toC) - heat(fromC);
}

/** As for fat; ash and what else is neither fat nor water counts as protein. */
function proteinKJPerKg(fromC: number, toC: number): number {
  const heat = (t: number) => 2.0082 * t + (1.2089e-3 / 2) * t ** 2 - (1.3129e-6 / 3) * t ** 3;
  return heat(toC) - heat(fromC);
}

function meltingKJPerKg(startC: number): number {
  const alreadyMelted = (startC - MELTING.fromC) / (MELTING.toC - MELTING.fromC);
  return MELTING.heatKJPerKg * (1 - clamp(alreadyMelted, 0, 1));
}

function boundWaterKJPerKg(startC: number, boilC: number): number {
  const thawing = startC < 0 ? ICE.meltingKJPerKg - ICE.specificHeat * startC : 0;
  return thawing + waterHeatKJPerKg(Math.max(0, startC), boilC);
}

/**
 * Minutes to put an amount of heat into a body under constant power, while it loses heat in proportion to how far it is
 * above the room; the loss counts as if it began at room temperature. Null when it never gets there.
 */
function warmingMinutes({
  heatKJ,
  powerW,
  lossWPerK,
  boilC,
}: {
  readonly heatKJ: number;
  readonly powerW: number;
  readonly lossWPerK: number;
  readonly boilC: number;
}): number | null {
  const atEndW = powerW - lossWPerK * (boilC - ROOM_C);
  if (atEndW <= 0) return null;
  const capacityJPerK = (heatKJ * 1000) / (boilC - ROOM_C);
  return ((capacityJPerK / lossWPerK) * Math.log(powerW / atEndW)) / 60;
}

function assumptions({ lid, fatStartC, rawFat = 'trimmings' }: HeatUpRequest): readonly Assumption[] {
  return [
    assumed(
      `Fat takes about ${MELTING.heatKJPerKg} kJ/kg to melt between ${MELTING.fromC} and ${MELTING.toC} °C; published values differ, 100 to 200.`,
    ),
    assumed('Raw fat is fat, water and protein in the published shares.', RAW_FAT[rawFat].source),
    assumed(`The pot is steel, ${POT.gPerMl} kg for each litre it holds, and starts at ${ROOM_C} °C.`),
    assumed(
      `As it warms with the lid ${lid} it loses ${LOSS_W_PER_M2_K[lid]} W, steam counted, for each square metre and degree above a room of ${ROOM_C} °C.`,
    ),
    ...(fatStartC < 0 ? [assumed('The water in frozen fat has to thaw first.')] : []),
  ];
}
