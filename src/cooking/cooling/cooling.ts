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
const COOLING_WAYS = ['counter', 'refrigerator', 'ice-bath', 'stirred-ice-bath'] as const;

/** Where the container stands. An ice bath reaches as high as the food, and its ice is renewed. */
export type CoolingWay = (typeof COOLING_WAYS)[number];

interface Surroundings {
  readonly name: string;
  readonly temperatureC: number;
  /** From the surface of the container to what surrounds it, in W/(m² K). */
  readonly surfaceWPerM2K: number;
  /** Through the food, stirring included, in W/(m K). */
  readonly withinWPerMK: number;
  /** Air cools the top as well; an ice bath only bottom and sides. */
  readonly coolsTop: boolean;
}

/** Usual figures of heat transfer, from memory: still air 8 to 10, stirred ice water 100 to 200 W/(m² K). */
const STILL_AIR = { surfaceWPerM2K: 9, withinWPerMK: 0.5, coolsTop: true };
const ICE_WATER = { temperatureC: 0, surfaceWPerM2K: 150, coolsTop: false };

const SURROUNDINGS: Readonly<Record<CoolingWay, Surroundings>> = {
  counter: { ...STILL_AIR, name: 'On the counter', temperatureC: 22 },
  refrigerator: { ...STILL_AIR, name: 'In a refrigerator', temperatureC: 3 },
  'ice-bath': { ...ICE_WATER, name: 'In an ice bath', withinWPerMK: 0.5 },
  'stirred-ice-bath': { ...ICE_WATER, name: 'Stirred in an ice bath', withinWPerMK: 3 },
};

/** Fat and broth together: heat held by each cubic metre and degree, the setting of the fat spread over the whole way. */
const HEAT_KJ_PER_M3_K = 3600;

/** Depth that is usually meant by a shallow container: 2 inches. */
export const SHALLOW_CM = 5;

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
 * 15 cm deep in a 28 cm pot, stirred in an ice bath, takes about an hour to 70 °F; in a refrigerator more than eight.
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

/** The ways that meet both limits for a container, the least work first. */
export function waysThatCoolInTime(container: Omit<CoolingRequest, 'way'>): readonly CoolingWay[] {
  return COOLING_WAYS.filter((way) => meets(timesOf({ ...container, way })));
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
