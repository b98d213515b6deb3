import { type Assumption, assumed } from '../../safety/sources.js';
import { type Cut, type Method, moistureOf } from '../../words/methods.js';
import { assertPositive } from '../../words/numbers.js';
import { G_PER_LB, ML_PER_US_CUP } from '../../words/units.js';
import { smallestVesselMl } from './packing.js';

/** Pounds of raw fat that 8 US cups of water go with: the usual range and its middle. Common practice, no source. */
export const LB_PER_8_CUPS = { least: 2, suggested: 2.5, most: 3 };

/** Common practice, no source. */
export const LEAST_RENDER_MINUTES = 120;

/** A slow cooker hardly boils: 6 to 10 hours on low is what cooks do. Common practice, no source. */
const SLOW_COOKER_MINUTES = { least: 360, usual: 480 };

/** The least time that a method takes, and the time counted where none was said. */
export const leastRenderMinutes = (method: Method): number =>
  method === 'slow-cooker' ? SLOW_COOKER_MINUTES.least : LEAST_RENDER_MINUTES;
export const usualRenderMinutes = (method: Method): number =>
  method === 'slow-cooker' ? SLOW_COOKER_MINUTES.usual : LEAST_RENDER_MINUTES;

const DRY_STARTER_ML = ML_PER_US_CUP;

const ASSUMPTIONS: Readonly<Record<'wet' | 'starter', Assumption>> = {
  wet: assumed(
    '8 US cups of water go with 2 to 3 lb of raw fat; 2 ½ lb is the middle.',
    'practice-water-ratio',
  ),
  starter: assumed(
    'A dry render starts with about a cup of water, so that nothing scorches before fat has melted.',
    'practice-dry-starter',
  ),
};

const LEAST_TIME = assumed('Two hours is the least time.', 'practice-time');

export interface WaterRequest {
  readonly fatG: number;
  readonly method: Method;
  readonly cut: Cut;
}

export interface Water {
  /** A wet render boils in its water; a dry one only starts with it. */
  readonly kind: 'wet' | 'starter';
  readonly waterMl: number;
  readonly waterLowMl: number;
  readonly waterHighMl: number;
  /** The smallest vessel for the suggested water. */
  readonly vesselMl: number;
  readonly minutesLow: number;
  readonly assumptions: readonly Assumption[];
}

/**
 * The water to render raw fat in: 8 US cups to 2 to 3 lb of fat, 2 ½ lb suggested, for a wet render; about a cup to
 * start a dry one, and never more than a wet render of that fat would take.
 * Example: 1020.6 g (2 lb 4 oz) in an open pot take 1703 mL, 1420 to 2129 mL.
 * @throws RangeError when fatG is not a finite number above 0.
 */
export function waterFor({ fatG, method, cut }: WaterRequest): Water {
  assertPositive({ fatG });
  const kind = moistureOf(method) === 'dry' ? 'starter' : 'wet';
  const { waterMl, waterLowMl, waterHighMl } = kind === 'wet' ? wetWater(fatG) : starterWater(fatG);
  return {
    kind,
    waterMl,
    waterLowMl,
    waterHighMl,
    vesselMl: smallestVesselMl({ fatG, waterMl, cut }, method),
    minutesLow: leastRenderMinutes(method),
    assumptions: [ASSUMPTIONS[kind], LEAST_TIME],
  };
}

type Amounts = Pick<Water, 'waterMl' | 'waterLowMl' | 'waterHighMl'>;

function wetWater(fatG: number): Amounts {
  const waterMl = (poundsOfFat: number) => (fatG / (poundsOfFat * G_PER_LB)) * 8 * ML_PER_US_CUP;
  return {
    waterMl: waterMl(LB_PER_8_CUPS.suggested),
    waterLowMl: waterMl(LB_PER_8_CUPS.most),
    waterHighMl: waterMl(LB_PER_8_CUPS.least),
  };
}

function starterWater(fatG: number): Amounts {
  const waterMl = Math.min(DRY_STARTER_ML, wetWater(fatG).waterLowMl);
  return { waterMl, waterLowMl: waterMl, waterHighMl: waterMl };
}
