/** Whether the water lasts, and when to add how much of it. */

import type { BoilOff } from '../heat/boil-off.js';
import type { Calculation } from '../working.js';

/** This much of the starting water must always be left. */
export const LEAST_WATER_SHARE = 1 / 3;

/** Topping up more often than this is no way to cook. */
export const LEAST_GAP_MINUTES = 10;

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
  readonly gapMinutes: number;
}

/**
 * How the water of a wet render lasts: always at least a third of the starting water left and never more in the pot than
 * at the start. Top-ups are equal, as few as that allows, each in the middle of the time in which it may come.
 * 3,000 mL that lose 1,000 mL an hour for 5 hours take two top-ups of 1,500 mL, at 105 and 195 minutes.
 * Throws RangeError when the water or the time is not above 0 or a rate is not finite and from 0 up.
 */
export function topUps({ waterMl, minutes, boilOff }: TopUpRequest): TopUps | BoilsAwayTooFast {
  for (const [name, value] of [
    ['waterMl', waterMl],
    ['minutes', minutes],
  ] as const)
    if (!(Number.isFinite(value) && value > 0))
      throw new RangeError(`${name} must be a finite number above 0, not ${value}`);
  for (const rate of [boilOff.mlPerHour, boilOff.mlPerHourLow, boilOff.mlPerHourHigh])
    if (!(Number.isFinite(rate) && rate >= 0))
      throw new RangeError(`boil-off must be finite and from 0 up, not ${rate} mL/h`);

  const mlPerMinute = boilOff.mlPerHour / 60;
  const lostMl = mlPerMinute * minutes;
  const spareMl = waterMl * (1 - LEAST_WATER_SHARE);
  const level: WaterLevel = {
    dryAtMinutes: dryAt(waterMl, boilOff.mlPerHour),
    dryAtLowMinutes: dryAt(waterMl, boilOff.mlPerHourHigh),
    dryAtHighMinutes: dryAt(waterMl, boilOff.mlPerHourLow),
    biggerStartMl: Math.max(waterMl, lostMl / (1 - LEAST_WATER_SHARE)),
  };
  const neededMl = Math.max(0, lostMl - spareMl);
  const count = Math.ceil(neededMl / spareMl - 1e-9);
  const eachMl = count === 0 ? 0 : neededMl / count;
  const gapMinutes = (count === 1 ? spareMl : eachMl) / mlPerMinute;
  if (count > 0 && gapMinutes < LEAST_GAP_MINUTES)
    return { ok: false, problem: 'boils-away-too-fast', gapMinutes, ...level };
  const additions = Array.from({ length: count }, (_, before) => ({
    atMinutes: middle(((before + 1) * eachMl) / mlPerMinute, (spareMl + before * eachMl) / mlPerMinute),
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
        { text: 'At least a third of the starting water is always left.', sources: ['hot-fat-inference'] },
        { text: 'The water that the fat itself brings is not counted.', sources: [] },
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

function middle(a: number, b: number): number {
  return (a + b) / 2;
}
