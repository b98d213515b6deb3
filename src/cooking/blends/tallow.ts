import { type Assumption, assumed } from '../../safety/sources.js';
import { type Cut, type Method, moistureOf } from '../../words/methods.js';
import { assertPositive } from '../../words/numbers.js';
import { percentRangeWords, percentWords } from '../../words/yield-words.js';
import type { WorkingConstant } from '../working.js';
import { RAW_FAT } from './composition.js';

/** Tallow as a share of the weight of raw fat. Common practice, no source; minced has no figure of its own. */
export const EXPECTED_YIELD: Readonly<Record<Cut, { readonly low: number; readonly high: number }>> = {
  ground: { low: 0.36, high: 0.6 },
  minced: { low: 0.36, high: 0.6 },
  cubed: { low: 0.12, high: 0.28 },
};

/**
 * What a cut usually gives by a method. The figures of cubes are of coarse ones in water; run dry to brown cracklings they
 * have none of their own, and ground fat is their neighbour: carefully rendered leaf fat gives 90 % of what it holds, cubed
 * or ground (Minnesota Extension Folder 120). Figures are of trimmings; suet gives more as it holds more.
 */
export function usualYield(
  cut: Cut,
  method: Method | undefined,
  rawFat: RawFat,
): { readonly low: number; readonly high: number } {
  const isDryCubes = cut === 'cubed' && method !== undefined && moistureOf(method) === 'dry';
  const { low, high } = EXPECTED_YIELD[isDryCubes ? 'ground' : cut];
  const times = timesTrimmings(rawFat);
  return { low: low * times, high: high * times };
}

/** How much more fat it holds than trimmings do (USDA SR Legacy): 1.33 times in suet. */
export const timesTrimmings = (rawFat: RawFat): number =>
  FAT_CONTENT[rawFat].typical / FAT_CONTENT.trimmings.typical;

/**
 * Liquid near 60 °C: 0.88 to 0.90 g/mL between the food model (ASHRAE) and the density at 40 °C carried on.
 * Set near 15 to 20 °C: 0.92 to 0.94 g/mL, from memory. Published values differ by 4 %: say "about".
 */
export const TALLOW_DENSITY_G_PER_ML = { pouring: 0.89, set: 0.93 } as const;

/** No raw fat holds more: suet, the fattest, is 94 % fat (USDA). */
export const IMPOSSIBLE_YIELD = 0.95;
/** Average trimmings are 71 % fat (USDA), so more than this has water or solids in it. */
const UNLIKELY_YIELD = 0.75;

export const POURING_CONSTANT: WorkingConstant = {
  name: 'Tallow weighs, as poured,',
  value: TALLOW_DENSITY_G_PER_ML.pouring,
  unit: 'g/mL',
  source: 'pouring-density',
};

/** The share of a jar that is filled. Common practice, no source. */
const JAR_FILL = 0.9;

export interface ExpectedTallow {
  readonly tallowLowG: number;
  readonly tallowHighG: number;
  /** The most likely amount, where a share says it. */
  readonly tallowExpectedG: number | undefined;
  /** Liquid, at pouring temperature. */
  readonly tallowLowMl: number;
  readonly tallowHighMl: number;
  readonly assumptions: readonly Assumption[];
}

/** A share of the weight of raw fat that becomes tallow. */
export interface YieldShare {
  readonly low: number;
  readonly expected?: number;
  readonly high: number;
}

interface ExpectedTallowRequest extends Omit<RawPiece, 'rawFat'> {
  /** Trimmings unless said. */
  readonly rawFat?: RawFat;
  readonly cut: Cut;
  readonly method?: Method | undefined;
  /** Where more is known than what the cut usually gives; of raw fat as usually trimmed, like that. */
  readonly share?: YieldShare | undefined;
}

/**
 * The tallow to expect from raw fat, by weight and by volume.
 * Example: 1000 g ground give 360 to 600 g, 404 to 674 mL when poured; half of it lean, 199 to 331 g.
 * Throws as shareOfPiece.
 */
export function expectedTallow({
  fatG,
  rawFat = 'trimmings',
  leanFraction = 0,
  cut,
  method,
  share,
}: ExpectedTallowRequest): ExpectedTallow {
  const { low, expected, high } = shareOfPiece(share ?? usualYield(cut, method, rawFat), {
    fatG,
    rawFat,
    leanFraction,
  });
  const [tallowLowG, tallowHighG] = [fatG * low, fatG * high];
  return {
    tallowLowG,
    tallowHighG,
    tallowExpectedG: expected === undefined ? undefined : fatG * expected,
    tallowLowMl: pouringMl(tallowLowG),
    tallowHighMl: pouringMl(tallowHighG),
    assumptions: [...(share ? [] : [yieldAssumption(cut, method)]), DENSITY_ASSUMPTION],
  };
}

/**
 * The share of a piece's own weight that becomes tallow, from that of raw fat as usually trimmed.
 *
 * A method and a cut get out a share of the fat that is there, so the tallow falls with lean in proportion to the fat
 * held: × the fat in the piece ÷ the fat in as much of its kind without lean. A share of more than the kind of fat holds
 * is one from other fat, and held to that first.
 * Throws RangeError when fatG is not above 0, the share is not between 0 and 1 or leanFraction is outside 0 to below 1.
 */
export function shareOfPiece({ low, expected, high }: YieldShare, piece: RawPiece): YieldShare {
  if (!(0 <= low && low <= high && high <= 1))
    throw new RangeError(`a share goes from 0 to 1, not from ${low} to ${high}`);
  const holdsWithoutLean = FAT_CONTENT[piece.rawFat].typical;
  const proportion = fatInRawG(piece) / (piece.fatG * holdsWithoutLean);
  const ofPiece = (share: number) => Math.min(share, holdsWithoutLean) * proportion;
  return {
    low: ofPiece(low),
    ...(expected === undefined ? {} : { expected: ofPiece(expected) }),
    high: ofPiece(high),
  };
}

export function pouringMl(tallowG: number): number {
  return tallowG / TALLOW_DENSITY_G_PER_ML.pouring;
}

/** Jars of one size to have ready for some tallow, each filled to 90 %. */
export function jarsFor({ tallowG, jarMl }: { readonly tallowG: number; readonly jarMl: number }): number {
  assertPositive({ tallowG, jarMl });
  return Math.ceil(pouringMl(tallowG) / (jarMl * JAR_FILL) - 1e-9);
}

/** Half of what cubed fat gives at the least; less is mostly a weight in the wrong unit (a choice of ours, no source). */
const SCANT_YIELD = EXPECTED_YIELD.cubed.low / 2;

type Plausibility = 'plausible' | 'unlikely' | 'scant' | 'impossible' | 'not positive';

/** Whether some raw fat can have given so much tallow. Both in grams; trimmings unless said. */
export function plausibilityOf(fatG: number, tallowG: number, rawFat: RawFat = 'trimmings'): Plausibility {
  if (!(fatG > 0 && tallowG > 0)) return 'not positive';
  const tallowYield = tallowG / fatG;
  if (!(tallowYield <= IMPOSSIBLE_YIELD)) return 'impossible';
  if (tallowYield < SCANT_YIELD) return 'scant';
  return tallowYield > (rawFat === 'suet' ? FAT_CONTENT.suet.typical : UNLIKELY_YIELD)
    ? 'unlikely'
    : 'plausible';
}

/** What the raw fat was: hard fat from around the kidney, or fat trimmed from cuts. */
export type RawFat = keyof typeof RAW_FAT;

/** Fat as a share of the weight of the raw piece. USDA SR Legacy; the leanest record of trimmings is NDB 23296. */
export const FAT_CONTENT = {
  suet: { typical: RAW_FAT.suet.fat },
  trimmings: { low: 0.5136, typical: RAW_FAT.trimmings.fat },
} as const;

/** Raw lean of brisket. USDA SR Legacy, NDB 13023. */
const FAT_IN_LEAN = 0.0737;

export interface RawPiece {
  readonly fatG: number;
  readonly rawFat: RawFat;
  /** Share of the weight that is lean meat left on the trim, 0 to less than 1. */
  readonly leanFraction?: number;
}

/**
 * The fat actually in a raw piece, in grams: the most tallow it can give.
 * Throws RangeError when fatG is not above 0 or leanFraction is outside 0 to less than 1.
 */
export function fatInRawG({ fatG, rawFat, leanFraction = 0 }: RawPiece): number {
  assertPositive({ fatG });
  if (!(leanFraction >= 0 && leanFraction < 1))
    throw new RangeError(`leanFraction must be from 0 to less than 1, not ${leanFraction}`);
  return fatG * (FAT_CONTENT[rawFat].typical * (1 - leanFraction) + FAT_IN_LEAN * leanFraction);
}

const DENSITY_ASSUMPTION: Assumption = assumed(
  `Tallow weighs about ${TALLOW_DENSITY_G_PER_ML.pouring} g per mL when poured and ${TALLOW_DENSITY_G_PER_ML.set} when set; published densities differ by 4 %.`,
  'pouring-density',
  'solid-tallow-density',
  'codex-211',
  'usda-tallow',
);

function yieldAssumption(cut: Cut, method?: Method): Assumption {
  const { low, high } = usualYield(cut, method, 'trimmings');
  const share = percentRangeWords(low, high);
  if (low !== EXPECTED_YIELD[cut].low)
    return assumed(
      `Cubes run dry to brown cracklings have no figure of their own; that of ground fat is ${share} of its raw weight.`,
      'practice-yield',
      'minnesota-folder-120',
    );
  const words: Readonly<Record<Cut, string>> = {
    ground: `Ground fat gives ${share} of its raw weight.`,
    minced: `Minced fat has no figure of its own; that of ground fat, a close neighbour, is ${share} of its raw weight.`,
    cubed: `Coarse cubes give ${share} of their raw weight.`,
  };
  return assumed(words[cut], 'practice-yield');
}

/** What the share of the fat in the raw piece that becomes tallow takes as given. */
export function recoveryAssumptions({ rawFat, leanFraction = 0 }: RawPiece): readonly Assumption[] {
  const { suet, trimmings } = FAT_CONTENT;
  const content =
    rawFat === 'suet'
      ? assumed(`Raw suet is ${percentWords(suet.typical)} fat.`, RAW_FAT.suet.source)
      : assumed(
          `Trimmings are about ${percentWords(trimmings.typical)} fat on average; leaner pieces hold down to ${percentWords(trimmings.low)}.`,
          RAW_FAT.trimmings.source,
          'usda-external-fat',
        );
  if (leanFraction === 0) return [content];
  return [
    content,
    assumed(
      `${percentWords(leanFraction)} of the weight is lean meat, which is ${percentWords(FAT_IN_LEAN)} fat.`,
      'usda-brisket-lean',
    ),
  ];
}
