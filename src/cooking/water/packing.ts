import { type Assumption, assumed } from '../../safety/sources.js';
import type { Cut, Method } from '../../words/methods.js';
import { assertNotNegative } from '../../words/numbers.js';
import { percentWords } from '../../words/yield-words.js';

/** Raw beef fat without the air between its pieces. */
export const RAW_FAT_DENSITY_G_PER_ML = 0.94;

/** Share of a pile of raw fat that is fat; the rest is gaps. Common practice, no source. */
const PACKED_SHARE: Readonly<Record<Cut, number>> = { ground: 0.9, minced: 0.85, cubed: 0.6 };

export interface Load {
  readonly fatG: number;
  readonly waterMl: number;
  readonly cut: Cut;
}

/**
 * How high a cold load stands in a vessel, in millilitres. Water first fills the gaps between the pieces:
 * the larger of the pile, fat ÷ (0.94 g/mL × share), and fat ÷ 0.94 g/mL + water.
 * @throws RangeError when the fat or the water is negative or not finite.
 */
export function loadVolumeMl({ fatG, waterMl, cut }: Load): number {
  assertNotNegative({ fatG, waterMl });
  const fatMl = fatG / RAW_FAT_DENSITY_G_PER_ML;
  return Math.max(fatMl / PACKED_SHARE[cut], fatMl + waterMl);
}

/** How full a vessel may be: half for a pressure cooker, since fat and meat foam; two thirds for any other. */
export function fillLimit(method: Method): number {
  return method === 'pressure' ? 1 / 2 : 2 / 3;
}

/** The smallest vessel, in millilitres, that a load fills no further than the method's limit. */
export function smallestVesselMl(load: Load, method: Method): number {
  return loadVolumeMl(load) / fillLimit(method);
}

export function packingAssumptions(cut: Cut, method: Method): readonly Assumption[] {
  return [
    assumed(`Raw fat weighs ${RAW_FAT_DENSITY_G_PER_ML} g per mL.`, 'raw-fat-density'),
    assumed(
      `A pile of ${cut} fat is ${percentWords(PACKED_SHARE[cut])} fat and the rest gaps, which water fills.`,
      'practice-packing',
    ),
    method === 'pressure'
      ? assumed(
          'A pressure cooker is filled to half at most, because fat foams.',
          'pressure-cooker-instructions',
        )
      : assumed('A third of the vessel stays empty.', 'practice-headspace'),
  ];
}
