import { RAW_FAT } from './composition.js';
import type { Cut } from './methods.js';
import { type Assumption, type SourceId, sourcesOf } from './sources.js';

/** Tallow as a share of the weight of raw fat. Common practice, no source; minced has no figure of its own. */
export const EXPECTED_YIELD: Readonly<Record<Cut, { readonly low: number; readonly high: number }>> = {
  ground: { low: 0.36, high: 0.6 },
  minced: { low: 0.36, high: 0.6 },
  cubed: { low: 0.12, high: 0.28 },
};

/**
 * Liquid near 60 °C: 0.88 to 0.90 g/mL between the food model (ASHRAE) and the density at 40 °C carried on.
 * Set near 15 to 20 °C: 0.92 to 0.94 g/mL, from memory. Published values differ by 4 %: say "about".
 */
export const TALLOW_DENSITY_G_PER_ML = { pouring: 0.89, set: 0.93 } as const;

/** No raw fat holds more: suet, the fattest, is 94 % fat (USDA). */
export const IMPOSSIBLE_YIELD = 0.95;
/** Average trimmings are 71 % fat (USDA), so more than this has water or solids in it. */
export const UNLIKELY_YIELD = 0.75;

/** The share of a jar that is filled. Common practice, no source. */
const JAR_FILL = 0.95;

export interface ExpectedTallow {
  readonly tallowLowG: number;
  readonly tallowHighG: number;
  /** Liquid, at pouring temperature. */
  readonly tallowLowMl: number;
  readonly tallowHighMl: number;
  /** Set, near room temperature. */
  readonly setLowMl: number;
  readonly setHighMl: number;
  readonly assumptions: readonly Assumption[];
  readonly sources: readonly SourceId[];
}

/**
 * The tallow to expect from raw fat, by weight and by volume.
 * Example: 1000 g ground give 360 to 600 g, 404 to 674 mL when poured.
 * @param share of the raw weight that becomes tallow, where more is known of it than what the cut usually gives
 * @throws RangeError when fatG is not a finite number above 0 or the share is not between 0 and 1.
 */
export function expectedTallow({
  fatG,
  cut,
  share,
}: {
  readonly fatG: number;
  readonly cut: Cut;
  readonly share?: { readonly low: number; readonly high: number } | undefined;
}): ExpectedTallow {
  checkAboveZero(fatG, 'fatG');
  const { low, high } = share ?? EXPECTED_YIELD[cut];
  if (!(0 <= low && low <= high && high <= 1))
    throw new RangeError(`a share goes from 0 to 1, not from ${low} to ${high}`);
  const [tallowLowG, tallowHighG] = [fatG * low, fatG * high];
  const assumptions = [...(share ? [] : [yieldAssumption(cut)]), DENSITY_ASSUMPTION];
  return {
    tallowLowG,
    tallowHighG,
    tallowLowMl: pouringMl(tallowLowG),
    tallowHighMl: pouringMl(tallowHighG),
    setLowMl: tallowLowG / TALLOW_DENSITY_G_PER_ML.set,
    setHighMl: tallowHighG / TALLOW_DENSITY_G_PER_ML.set,
    assumptions,
    sources: sourcesOf(assumptions),
  };
}

export function pouringMl(tallowG: number): number {
  return tallowG / TALLOW_DENSITY_G_PER_ML.pouring;
}

/** Jars of one size to have ready for some tallow, each filled to 95 %. */
export function jarsFor({ tallowG, jarMl }: { readonly tallowG: number; readonly jarMl: number }): number {
  checkAboveZero(tallowG, 'tallowG');
  checkAboveZero(jarMl, 'jarMl');
  return Math.ceil(pouringMl(tallowG) / (jarMl * JAR_FILL) - 1e-9);
}

export type Plausibility = 'plausible' | 'unlikely' | 'impossible' | 'not positive';

/** Whether some raw fat can have given so much tallow. Both in grams. */
export function plausibilityOf(fatG: number, tallowG: number): Plausibility {
  if (!(fatG > 0 && tallowG > 0)) return 'not positive';
  const tallowYield = tallowG / fatG;
  if (!(tallowYield <= IMPOSSIBLE_YIELD)) return 'impossible';
  return tallowYield > UNLIKELY_YIELD ? 'unlikely' : 'plausible';
}

/** What the raw fat was: hard fat from around the kidney, or fat trimmed from cuts. */
export type RawFat = keyof typeof RAW_FAT;

interface FatContent {
  readonly low: number;
  readonly typical: number;
  readonly high: number;
  readonly sources: readonly SourceId[];
}

/** Fat as a share of the weight of the raw piece. USDA SR Legacy; the leanest record of trimmings is NDB 23296. */
export const FAT_CONTENT: Readonly<Record<RawFat, FatContent>> = {
  suet: {
    low: RAW_FAT.suet.fat,
    typical: RAW_FAT.suet.fat,
    high: RAW_FAT.suet.fat,
    sources: [RAW_FAT.suet.source],
  },
  trimmings: {
    low: 0.5136,
    typical: RAW_FAT.trimmings.fat,
    high: RAW_FAT.trimmings.fat,
    sources: [RAW_FAT.trimmings.source, 'usda-external-fat'],
  },
};

/** Raw lean of brisket. USDA SR Legacy, NDB 13023. */
const FAT_IN_LEAN = 0.0737;

export interface RawPiece {
  readonly fatG: number;
  readonly rawFat: RawFat;
  /** Share of the weight that is lean meat left on the trim, 0 to less than 1. */
  readonly leanFraction?: number;
}

/** The fat actually in a raw piece, in grams: the most tallow it can give. */
export function fatInRawG(piece: RawPiece): number {
  return piece.fatG * fatFraction(piece, FAT_CONTENT[piece.rawFat].typical);
}

export interface Recovery {
  /** Tallow ÷ fat in the raw piece. */
  readonly recovery: number;
  /** If the piece was as fat as the fattest record of its kind, and as lean as the leanest. */
  readonly recoveryLow: number;
  readonly recoveryHigh: number;
  /** More tallow than the fat the piece is taken to hold: a wet disc, a weighing error, or a fatter piece. */
  readonly exceedsFat: boolean;
  readonly assumptions: readonly Assumption[];
  readonly sources: readonly SourceId[];
}

/**
 * How much of the fat in the raw piece became tallow.
 * Example: 602.6 g from 1000 g of trimmings is a recovery of 0.85.
 * @throws RangeError when a weight is not above 0 or leanFraction is outside 0 to less than 1.
 */
export function recoveryOf(piece: RawPiece & { readonly tallowG: number }): Recovery {
  checkAboveZero(piece.tallowG, 'tallowG');
  const recovery = piece.tallowG / fatInRawG(piece);
  const { low, high } = FAT_CONTENT[piece.rawFat];
  const assumptions = recoveryAssumptions(piece);
  return {
    recovery,
    recoveryLow: piece.tallowG / (piece.fatG * fatFraction(piece, high)),
    recoveryHigh: piece.tallowG / (piece.fatG * fatFraction(piece, low)),
    exceedsFat: recovery > 1,
    assumptions,
    sources: sourcesOf(assumptions),
  };
}

const DENSITY_ASSUMPTION: Assumption = {
  text: 'Tallow weighs about 0.89 g per mL when poured and 0.93 when set; published densities differ by 4 %.',
  sources: ['pouring-density', 'solid-tallow-density', 'codex-211', 'usda-tallow'],
};

function yieldAssumption(cut: Cut): Assumption {
  const sources = ['practice-yield'] as const;
  switch (cut) {
    case 'ground':
      return { text: 'Ground fat gives 36 to 60 % of its raw weight.', sources };
    case 'minced':
      return {
        text: 'Minced fat comes close to ground and has no figure of its own: the range shown is that of ground fat, 36 to 60 % of its raw weight.',
        sources,
      };
    case 'cubed':
      return { text: 'Coarse cubes give 12 to 28 % of their raw weight.', sources };
  }
}

function recoveryAssumptions({ rawFat, leanFraction = 0 }: RawPiece): readonly Assumption[] {
  const content: Assumption =
    rawFat === 'suet'
      ? { text: 'Raw suet is 94 % fat.', sources: FAT_CONTENT.suet.sources }
      : {
          text: 'Trimmings are about 71 % fat on average; leaner pieces hold down to 51 %.',
          sources: FAT_CONTENT.trimmings.sources,
        };
  if (leanFraction === 0) return [content];
  return [
    content,
    {
      text: `${Math.round(leanFraction * 100)} % of the weight is lean meat, which is 7 % fat.`,
      sources: ['usda-brisket-lean'],
    },
  ];
}

function fatFraction({ fatG, leanFraction = 0 }: RawPiece, fatContent: number): number {
  checkAboveZero(fatG, 'fatG');
  if (!(leanFraction >= 0 && leanFraction < 1))
    throw new RangeError(`leanFraction must be from 0 to less than 1, not ${leanFraction}`);
  return fatContent * (1 - leanFraction) + FAT_IN_LEAN * leanFraction;
}

function checkAboveZero(value: number, name: string): void {
  if (!(Number.isFinite(value) && value > 0))
    throw new RangeError(`${name} must be a finite number above 0, not ${value}`);
}
