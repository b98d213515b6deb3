/** Cooling a moist render in time, by the two stages of the Food Code. */

import { type Assumption, assumed } from '../../safety/sources.js';
import { assertWithin } from '../../words/numbers.js';
import type { Calculation } from '../working.js';

/** FDA Food Code 3-501.14(A): from 135 °F to 70 °F within 2 hours, and on to 41 °F within 6 hours in all. */
export const FOOD_CODE_COOLING = {
  firstC: 21,
  firstMinutes: 120,
  lastC: 5,
  lastMinutes: 360,
} as const;

/** The least work first. */
export const POT_WAYS = ['counter', 'refrigerator', 'ice-bath'] as const;
export const PAN_WAYS = ['counter', 'refrigerator', 'pan-in-ice'] as const;

/** Where the container stands. An ice bath reaches as high as the food, and its ice is renewed. */
export type CoolingWay = (typeof POT_WAYS | typeof PAN_WAYS)[number];

interface Surroundings {
  readonly name: string;
  readonly temperatureC: number;
  /** From the surface of the container to what surrounds it, in W/(m² K). */
  readonly surfaceWPerM2K: number;
  /** Through the food, its own movement included, in W/(m K). */
  readonly withinWPerMK: number;
  /** Air cools the top as well; an ice bath only bottom and sides. */
  readonly coolsTop: boolean;
}

/** Usual figures of heat transfer, from memory: still air 8 to 10, ice water 100 to 200 W/(m² K). */
const STILL_AIR = { surfaceWPerM2K: 9, withinWPerMK: 0.5, coolsTop: true };
const ICE_WATER = { temperatureC: 0, surfaceWPerM2K: 150, coolsTop: false };

/**
 * Broth under set fat, cooled from the side, stirs itself. Fitted to a one-dimensional model of it (computed: 5.3 L in a
 * pot 22.9 cm wide reach 70 °F after 49 minutes and 41 °F after 108). In a flat pan it is cooled from below and lies still.
 */
const BROTH_W_PER_M_K = 1.9;

const SURROUNDINGS: Readonly<Record<CoolingWay, Surroundings>> = {
  counter: { ...STILL_AIR, name: 'On the counter', temperatureC: 22 },
  refrigerator: { ...STILL_AIR, name: 'In a refrigerator', temperatureC: 3 },
  'ice-bath': { ...ICE_WATER, name: 'In an ice bath', withinWPerMK: BROTH_W_PER_M_K },
  'pan-in-ice': { ...ICE_WATER, name: 'In a shallow pan on ice', withinWPerMK: 0.5 },
};

/** Fat and broth together: heat held by each cubic metre and degree, the setting of the fat spread over the whole way. */
const HEAT_KJ_PER_M3_K = 3600;

/**
 * How deep a shallow pan is filled. One of 9 by 13 by 2 inches is tapered and holds 3.3 to 3.5 L to its rim (charts of
 * pan volumes); 3 cm, 2.3 L, can be carried.
 */
export const SHALLOW_CM = 3;

/** What ice takes up as it melts and warms to 41 °F, in kJ/kg: 334 and 4.18 for each degree. */
const ICE_KJ_PER_KG = 334 + 4.18 * FOOD_CODE_COOLING.lastC;

/** Ice that cools so much fat and broth to 41 °F, in grams: about 1 kg for each litre from the boil. */
export function iceG({
  contentsMl,
  startC,
}: {
  readonly contentsMl: number;
  readonly startC: number;
}): number {
  return ((contentsMl / 1e6) * HEAT_KJ_PER_M3_K * (startC - FOOD_CODE_COOLING.lastC) * 1000) / ICE_KJ_PER_KG;
}

/** Depths and widths that the estimate takes; beyond them a pot is as good as bottomless. */
export const CONTAINER_CM = { low: 0.5, high: 150 } as const;

export interface CoolingRequest {
  readonly depthCm: number;
  /** Width of a round container, or the shorter side of a pan. */
  readonly widthCm: number;
  readonly startC: number;
  readonly way: CoolingWay;
}

export interface Cooling {
  /** Minutes to 70 °F and to 41 °F; null when it never gets there. */
  readonly firstMinutes: number | null;
  readonly lastMinutes: number | null;
  readonly calculation: Calculation;
}

/**
 * How long food of some depth takes to cool: one body whose resistance is that of its surface and half its thickness.
 * An estimate: a thermometer decides.
 * 15 cm deep in a 28 cm pot in an ice bath takes about an hour and a quarter to 70 °F; in a refrigerator more than eight hours.
 * Throws RangeError when a size is outside 0.5 to 150 cm or the start outside 21 to 130 °C.
 */
export function coolingOf(request: CoolingRequest): Cooling {
  const { depthCm, widthCm, startC, way } = request;
  assertWithin({ depthCm, widthCm }, CONTAINER_CM.low, CONTAINER_CM.high);
  assertWithin({ startC }, FOOD_CODE_COOLING.firstC, 130);
  const { firstMinutes, lastMinutes } = timesOf(request);
  return {
    firstMinutes,
    lastMinutes,
    calculation: {
      formula:
        'time = heat held by the food × (resistance of its surface + resistance of the food itself) × logarithm of the temperature differences at start and end',
      constants: [
        {
          name: 'First limit',
          value: FOOD_CODE_COOLING.firstMinutes,
          unit: 'min to 70 °F',
          source: 'food-code-cooling',
        },
        {
          name: 'Last limit',
          value: FOOD_CODE_COOLING.lastMinutes,
          unit: 'min to 41 °F',
          source: 'food-code-cooling',
        },
      ],
      assumptions: assumptionsOf(way),
      steps: [
        { name: 'Time constant', value: timeConstantMinutes(request), unit: 'min' },
        ...(firstMinutes === null ? [] : [{ name: 'To 70 °F', value: firstMinutes, unit: 'min' }]),
        ...(lastMinutes === null ? [] : [{ name: 'To 41 °F', value: lastMinutes, unit: 'min' }]),
      ],
    },
  };
}

/** Those of some ways that meet both limits for a container, in their order. */
export function waysThatCoolInTime(
  container: Omit<CoolingRequest, 'way'>,
  ways: readonly CoolingWay[],
): readonly CoolingWay[] {
  return ways.filter((way) => meets(timesOf({ ...container, way })));
}

interface CoolingTimes {
  readonly firstMinutes: number | null;
  readonly lastMinutes: number | null;
}

function timesOf(request: CoolingRequest): CoolingTimes {
  const tau = timeConstantMinutes(request);
  const { temperatureC } = SURROUNDINGS[request.way];
  const minutesTo = (targetC: number) =>
    targetC <= temperatureC
      ? null
      : tau * Math.log((request.startC - temperatureC) / (targetC - temperatureC));
  return {
    firstMinutes: minutesTo(FOOD_CODE_COOLING.firstC),
    lastMinutes: minutesTo(FOOD_CODE_COOLING.lastC),
  };
}

function timeConstantMinutes({ depthCm, widthCm, way }: CoolingRequest): number {
  const { surfaceWPerM2K, withinWPerMK, coolsTop } = SURROUNDINGS[way];
  const depth = depthCm / 100;
  const radius = widthCm / 200;
  const faces = coolsTop ? 2 : 1;
  const lengthM = (radius * depth) / (faces * radius + 2 * depth);
  // 4/π² of the length: the slowest mode of a slab, for which this is exact.
  const resistance = 1 / surfaceWPerM2K + (4 / Math.PI ** 2) * (lengthM / withinWPerMK);
  return (HEAT_KJ_PER_M3_K * 1000 * lengthM * resistance) / 60;
}

function meets({ firstMinutes, lastMinutes }: CoolingTimes): boolean {
  return (
    firstMinutes !== null &&
    firstMinutes <= FOOD_CODE_COOLING.firstMinutes &&
    lastMinutes !== null &&
    lastMinutes <= FOOD_CODE_COOLING.lastMinutes
  );
}

function assumptionsOf(way: CoolingWay): readonly Assumption[] {
  const { name, temperatureC, surfaceWPerM2K, withinWPerMK } = SURROUNDINGS[way];
  return [
    assumed(
      `${name}, ${temperatureC} °C around the container, ${surfaceWPerM2K} W for each square metre and degree at its surface.`,
    ),
    assumed(
      `Heat moves through the food at ${withinWPerMK} W for each metre and degree, and a cubic metre holds ${HEAT_KJ_PER_M3_K} kJ for each degree, the setting of the fat included.`,
    ),
    assumed(
      'The clock starts at the end of the render, though the rule starts it at 135 °F.',
      'food-code-cooling',
    ),
  ];
}
