/** Smoking rendered, liquid tallow. */

import { assumed, type SourceId } from '../../safety/sources.js';
import { assertPositive } from '../../words/numbers.js';
import { celsiusFromFahrenheit } from '../../words/units.js';
import type { Calculation } from '../working.js';
import { pouringMl } from './tallow.js';

/** Hours of smoke. Common practice, no source: about 2, about 6, 8 to 12. */
export const SMOKE_HOURS = {
  light: { low: 2, suggested: 2, high: 2 },
  strong: { low: 6, suggested: 6, high: 6 },
  heavy: { low: 8, suggested: 10, high: 12 },
} as const;

export const SMOKE_STRENGTHS = ['light', 'strong', 'heavy'] as const;

/** Longer than this only makes the fat older. Common practice, no source. */
export const LONGEST_SMOKE_HOURS = SMOKE_HOURS.heavy.high;

/** Hot enough to be out of the danger zone: 140 °F. */
const HOLD_ABOVE_C = celsiusFromFahrenheit(140);

/** Where to turn down, far below the smoke point: 350 °F. Our own margin. */
const HOLD_BELOW_C = celsiusFromFahrenheit(350);

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

interface SmokeRequest {
  readonly tallowG: number;
  readonly strength: (typeof SMOKE_STRENGTHS)[number];
}

export interface Smoke {
  readonly hours: number;
  readonly hoursLow: number;
  readonly hoursHigh: number;
  readonly depthCm: number;
  readonly areaCm2: number;
  /** How deep the pan must be, rim included. */
  readonly panDepthCm: number;
  /** The fewest of one common pan that hold it, the smallest of them that does with one if any. */
  readonly pan: { readonly name: string; readonly widthCm: number; readonly lengthCm: number };
  readonly pans: number;
  /** Keep the fat above this, or cool it as a render is cooled. */
  readonly holdAboveC: number;
  readonly holdBelowC: number;
  readonly sources: readonly SourceId[];
  readonly calculation: Calculation;
}

/**
 * Hours to a strength and the pan for some tallow, smoked once it is rendered and liquid rather than as raw fat.
 * 890 g (1 L) takes 400 cm² of pan: 20 cm square.
 * Throws RangeError when the weight is not a finite number above 0.
 */
export function smokeOf({ tallowG, strength }: SmokeRequest): Smoke {
  assertPositive({ tallowG });
  const { low, suggested, high } = SMOKE_HOURS[strength];
  const areaCm2 = pouringMl(tallowG) / DEPTH_CM;
  const { pan, pans } = panFor(areaCm2);
  return {
    hours: suggested,
    hoursLow: low,
    hoursHigh: high,
    depthCm: DEPTH_CM,
    areaCm2,
    panDepthCm: DEPTH_CM + RIM_CM,
    pan,
    pans,
    holdAboveC: HOLD_ABOVE_C,
    holdBelowC: HOLD_BELOW_C,
    sources: ['practice-smoke', 'cpsc-charcoal', 'fsis-danger-zone', 'heat-steps', 'pouring-density'],
    calculation: {
      formula: 'pan = volume of tallow as poured ÷ depth',
      constants: [],
      assumptions: [
        assumed('About 2 hours of smoke are light, about 6 strong, 8 to 12 heavy.', 'practice-smoke'),
        assumed(`The fat stands about ${DEPTH_CM} cm deep with as much rim above it.`),
        assumed('Above 140 °F the fat is out of the danger zone.', 'fsis-danger-zone'),
        assumed('Below 350 °F it is far from smoking.', 'heat-steps'),
      ],
      steps: [
        { name: 'Tallow as poured', value: pouringMl(tallowG), unit: 'mL' },
        { name: 'Pan', value: areaCm2, unit: 'cm²' },
      ],
    },
  };
}

function panFor(areaCm2: number): Pick<Smoke, 'pan' | 'pans'> {
  return PANS.map((pan) => ({ pan, pans: Math.ceil(areaCm2 / (pan.widthCm * pan.lengthCm) - 1e-9) })).reduce(
    (fewest, next) => (next.pans < fewest.pans ? next : fewest),
  );
}
