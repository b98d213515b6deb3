/** How long hot fat stands, heat off, until it may be poured. */

import { pourBelowC as pourBelowBoilC } from '../../safety/local-figures.js';
import { assumed } from '../../safety/sources.js';
import { assertNotNegative } from '../../words/numbers.js';
import { celsiusFromFahrenheit } from '../../words/units.js';
import { boilingAt } from '../heat/boiling.js';
import { DRY_LOSS_W_PER_M2_K, outsideM2, type Pot, ROOM_C } from '../heat/pot.js';
import type { Calculation } from '../working.js';

/** The hottest that fat of a dry render gets, 255 °F, and fat that is dried after it was lifted, 240 °F. In °C. */
export const HOTTEST_C = { dry: celsiusFromFahrenheit(255), remelt: celsiusFromFahrenheit(240) } as const;

/**
 * Fat is poured, strained and given water only below this, in °C: 10 °F under the boiling point of water at an altitude in
 * metres, so that no water in cloth, jar or ladle can boil up. 200 °F at sea level, 192 °F at 5,280 ft.
 */
export const pourBelowC = (altitudeM: number): number => pourBelowBoilC(boilingAt({ altitudeM }).boilC);

/** Of liquid fat, water and the steel of a pot, in kJ for each kilogram or litre and degree. */
const HEAT = { fatKJPerKgK: 2.2, waterKJPerLK: 4.2, potKJPerLK: 0.175 };

export interface CoolDownRequest extends Pot {
  readonly fatG: number;
  readonly waterMl: number;
  readonly fromC: number;
  readonly altitudeM: number;
}

export interface CoolDown {
  readonly belowC: number;
  readonly minutes: number;
  readonly calculation: Calculation;
}

/**
 * Minutes with the heat off until fat may be poured: a pot that loses heat in proportion to how warm it is. An estimate;
 * a thermometer decides.
 * Throws RangeError when an amount is negative or the pot has no size.
 */
export function coolDownOf({ fatG, waterMl, fromC, altitudeM, ...pot }: CoolDownRequest): CoolDown {
  assertNotNegative({ fatG, waterMl });
  const belowC = pourBelowC(altitudeM);
  const heatKJPerK =
    (fatG / 1000) * HEAT.fatKJPerKgK +
    (waterMl / 1000) * HEAT.waterKJPerLK +
    (pot.vesselMl / 1000) * HEAT.potKJPerLK;
  const lossWPerK = DRY_LOSS_W_PER_M2_K * outsideM2(pot);
  const tauMinutes = (1000 * heatKJPerK) / lossWPerK / 60;
  const minutes = tauMinutes * Math.log(Math.max(1, (fromC - ROOM_C) / (belowC - ROOM_C)));
  return {
    belowC,
    minutes,
    calculation: {
      formula:
        'time to fall = heat held for each degree ÷ heat lost for each degree × logarithm of how far above the room it is at first and at last',
      constants: [],
      assumptions: [
        assumed('Fat is poured 10 °F below the boiling point of water, our own margin.', 'hot-fat-inference'),
        assumed(
          `The pot stands in a room of ${ROOM_C} °C and loses ${DRY_LOSS_W_PER_M2_K} W for each square metre and degree.`,
        ),
      ],
      steps: [
        { name: 'From', value: fromC, unit: '°C' },
        { name: 'To below', value: belowC, unit: '°C' },
        { name: 'Time to fall', value: minutes, unit: 'min' },
      ],
    },
  };
}
