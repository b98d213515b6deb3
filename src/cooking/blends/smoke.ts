/** Smoking rendered, liquid tallow. */

import type { SourceId } from '../../safety/sources.js';
import { celsiusFromFahrenheit } from '../../words/units.js';
import type { Calculation } from '../working.js';
import { pouringMl } from './tallow.js';

export type SmokeStrength = 'light' | 'strong' | 'heavy';

/** Hours of smoke. Common practice, no source: about 2, about 6, 8 to 12. */
export const SMOKE_HOURS: Readonly<Record<SmokeStrength, Hours>> = {
  light: { low: 2, suggested: 2, high: 2 },
  strong: { low: 6, suggested: 6, high: 6 },
  heavy: { low: 8, suggested: 10, high: 12 },
};

interface Hours {
  readonly low: number;
  readonly suggested: number;
  readonly high: number;
}

export const SMOKE_STRENGTHS: readonly SmokeStrength[] = ['light', 'strong', 'heavy'];

/** Longer than this only makes the fat older. Common practice, no source. */
export const LONGEST_SMOKE_HOURS = SMOKE_HOURS.heavy.high;

/** Hot enough to be out of the danger zone: 140 °F. */
export const HOLD_ABOVE_C = celsiusFromFahrenheit(140);

/** Shallow, so that smoke reaches much of it; a pan this deep holds the fat with as much rim above it. Assumed. */
const DEPTH_CM = 2.5;
const RIM_CM = 2.5;

/** Pans that kitchens and shops have, inside, in cm (from memory). */
const PANS = [
  { name: '8 in square', widthCm: 20, lengthCm: 20 },
  { name: '9 by 13 in', widthCm: 23, lengthCm: 33 },
  { name: 'half hotel pan', widthCm: 24, lengthCm: 30 },
  { name: 'full hotel pan', widthCm: 30, lengthCm: 50 },
] as const;

export interface SmokeRequest {
  readonly tallowG: number;
  readonly strength: SmokeStrength;
}

export interface Smoke {
  readonly hours: number;
  readonly hoursLow: number;
  readonly hoursHigh: number;
  readonly depthCm: number;
  readonly areaCm2: number;
  /** The side of a square pan. */
  readonly squareSideCm: number;
  /** How deep the pan must be, rim included. */
  readonly panDepthCm: number;
  /** The fewest of one common pan that hold it, the smallest of them that does with one if any. */
  readonly pan: { readonly name: string; readonly widthCm: number; readonly lengthCm: number };
  readonly pans: number;
  /** Keep the fat above this, or cool it as a render is cooled. */
  readonly holdAboveC: number;
  readonly cautions: readonly string[];
  readonly sources: readonly SourceId[];
  readonly calculation: Calculation;
}

/**
 * Hours to a strength and the pan for some tallow, smoked once it is rendered and liquid rather than as raw fat.
 * 890 g (1 L) takes 400 cm² of pan: 20 cm square.
 * Throws RangeError when the weight is not a finite number above 0.
 */
export function smokeOf({ tallowG, strength }: SmokeRequest): Smoke {
  if (!(Number.isFinite(tallowG) && tallowG > 0))
    throw new RangeError(`tallowG must be a finite number above 0, not ${tallowG}`);
  const { low, suggested, high } = SMOKE_HOURS[strength];
  const areaCm2 = pouringMl(tallowG) / DEPTH_CM;
  const { pan, pans } = panFor(areaCm2);
  return {
    hours: suggested,
    hoursLow: low,
    hoursHigh: high,
    depthCm: DEPTH_CM,
    areaCm2,
    squareSideCm: Math.sqrt(areaCm2),
    panDepthCm: DEPTH_CM + RIM_CM,
    pan,
    pans,
    holdAboveC: HOLD_ABOVE_C,
    cautions: ['smoker-outdoors', 'fat-in-a-smoker', 'smoke-hot-or-cool-fast'],
    sources: ['practice-smoke', 'cpsc-charcoal', 'fsis-danger-zone', 'pouring-density'],
    calculation: {
      formula: 'pan = volume of tallow as poured ÷ depth',
      constants: [],
      assumptions: [
        {
          text: 'About 2 hours of smoke are light, about 6 strong, 8 to 12 heavy.',
          sources: ['practice-smoke'],
        },
        {
          text: `The fat stands about ${DEPTH_CM} cm deep with as much rim above it.`,
          sources: [],
        },
        { text: 'Above 140 °F the fat is out of the danger zone.', sources: ['fsis-danger-zone'] },
      ],
      steps: [
        { name: 'Tallow as poured', value: pouringMl(tallowG), unit: 'mL' },
        { name: 'Pan', value: areaCm2, unit: 'cm²' },
      ],
    },
  };
}

/** What so many hours of smoke come to; null for less than light. Throws RangeError for negative hours. */
export function strengthOf(hours: number): SmokeStrength | null {
  if (!(hours >= 0)) throw new RangeError(`hours must be from 0 up, not ${hours}`);
  const reached = SMOKE_STRENGTHS.filter((strength) => hours >= SMOKE_HOURS[strength].low);
  return reached.at(-1) ?? null;
}

function panFor(areaCm2: number): Pick<Smoke, 'pan' | 'pans'> {
  const choices = PANS.map((pan) => ({
    pan,
    pans: Math.ceil(areaCm2 / (pan.widthCm * pan.lengthCm) - 1e-9),
  }));
  const fewest = Math.min(...choices.map(({ pans }) => pans));
  const choice = choices.find(({ pans }) => pans === fewest);
  if (choice === undefined) throw new RangeError('no pan to choose from');
  return choice;
}
