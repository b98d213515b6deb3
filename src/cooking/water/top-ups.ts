/** Whether the water lasts, and when to add how much of it. */

import { assumed } from '../../safety/sources.js';
import { assertNotNegative, assertPositive } from '../../words/numbers.js';
import type { BoilOff } from '../heat/boil-off.js';
import type { Calculation } from '../working.js';

/** This much of the starting water must always be left. */
const LEAST_WATER_SHARE = 1 / 3;

/** Topping up more often than this is no way to cook. */
const LEAST_GAP_MINUTES = 10;

export interface TopUpRequest {
  readonly waterMl: number;
  readonly minutes: number;
  readonly boilOff: Pick<BoilOff, 'mlPerHour' | 'mlPerHourLow' | 'mlPerHourHigh'>;
}

export interface TopUp {
  /** Minutes after the simmer began. */
  readonly atMinutes: number;
  readonly ml: number;
}

export interface WaterLevel {
  /** When the last water would be gone, if none were added; null when none leaves. */
  readonly dryAtMinutes: number | null;
  readonly dryAtLowMinutes: number | null;
  readonly dryAtHighMinutes: number | null;
  /** A start that needs no top-up, in millilitres; the start as it is when that is enough. */
  readonly biggerStartMl: number;
}

export interface TopUps extends WaterLevel {
  readonly ok: true;
  /** A third is still there at the end without adding any. */
  readonly enough: boolean;
  readonly topUps: readonly TopUp[];
  readonly topUpsMl: number;
  readonly waterLeftMl: number;
  readonly calculation: Calculation;
}

/** So little water for so long that it would have to be topped up every few minutes. */
export interface BoilsAwayTooFast extends WaterLevel {
  readonly ok: false;
  readonly problem: 'boils-away-too-fast';
}

/**
 * How the water of a wet render lasts: always at least a third of the starting water left and never more in the pot than
 * at the start. Top-ups are equal, as few as that allows, each in the middle of the time in which it may come.
 * 3,000 mL that lose 1,000 mL an hour for 5 hours take two top-ups of 1,500 mL, at 105 and 195 minutes.
 * Throws RangeError when the water or the time is not above 0 or a rate is not finite and from 0 up.
 */
export function topUps({ waterMl, minutes, boilOff }: TopUpRequest): TopUps | BoilsAwayTooFast {
  const { mlPerHour, mlPerHourLow, mlPerHourHigh } = boilOff;
  assertPositive({ waterMl, minutes });
  assertNotNegative({ mlPerHour, mlPerHourLow, mlPerHourHigh });
  const mlPerMinute = mlPerHour / 60;
  const lostMl = mlPerMinute * minutes;
  const spareMl = waterMl * (1 - LEAST_WATER_SHARE);
  const level: WaterLevel = {
    dryAtMinutes: dryAt(waterMl, mlPerHour),
    dryAtLowMinutes: dryAt(waterMl, mlPerHourHigh),
    dryAtHighMinutes: dryAt(waterMl, mlPerHourLow),
    biggerStartMl: Math.max(waterMl, lostMl / (1 - LEAST_WATER_SHARE)),
  };
  const neededMl = Math.max(0, lostMl - spareMl);
  const count = Math.ceil(neededMl / spareMl - 1e-9);
  const eachMl = count === 0 ? 0 : neededMl / count;
  const gapMinutes = (count === 1 ? spareMl : eachMl) / mlPerMinute;
  if (count > 0 && gapMinutes < LEAST_GAP_MINUTES)
    return { ok: false, problem: 'boils-away-too-fast', ...level };
  const additions = Array.from({ length: count }, (_, before) => ({
    atMinutes: (((before + 1) * eachMl) / mlPerMinute + (spareMl + before * eachMl) / mlPerMinute) / 2,
    ml: eachMl,
  }));
  const topUpsMl = eachMl * count;
  return {
    ok: true,
    ...level,
    enough: count === 0,
    topUps: additions,
    topUpsMl,
    waterLeftMl: waterMl + topUpsMl - lostMl,
    calculation: {
      formula:
        'dry after = starting water ÷ boil-off; top-ups make up what would take it below a third of the starting water',
      constants: [],
      assumptions: [
        assumed('At least a third of the starting water is always left.', 'hot-fat-inference'),
        assumed('The water that the fat itself brings is not counted.'),
      ],
      steps: [
        { name: 'Water lost over the render', value: lostMl, unit: 'mL' },
        { name: 'May be lost before a third is left', value: spareMl, unit: 'mL' },
        { name: 'To be made up', value: topUpsMl, unit: 'mL' },
      ],
    },
  };
}

function dryAt(waterMl: number, mlPerHour: number): number | null {
  const minutes = (60 * waterMl) / mlPerHour;
  return Number.isFinite(minutes) ? minutes : null;
}
