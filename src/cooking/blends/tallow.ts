import { type Assumption, type SourceId, sourcesOf } from '../../safety/sources.js';
import type { Cut } from '../../words/methods.js';
import { RAW_FAT } from './composition.js';

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
  /** The most likely amount, where a share says it. */
  readonly tallowExpectedG: number | undefined;
  /** Liquid, at pouring temperature. */
  readonly tallowLowMl: number;
  readonly tallowHighMl: number;
  /** Set, near room temperature. */
  readonly setLowMl: number;
  readonly setHighMl: number;
  readonly assumptions: readonly Assumption[];
  readonly sources: readonly SourceId[];
}

/** A share of the weight of raw fat that becomes tallow. */
export interface YieldShare {
  readonly low: number;
  readonly expected?: number;
  readonly high: number;
}

export interface ExpectedTallowRequest extends Omit<RawPiece, 'rawFat'> {
  /** Trimmings unless said. */
  readonly rawFat?: RawFat;
  readonly cut: Cut;
  /** Where more is known than what the cut usually gives; of raw fat as usually trimmed, like that. */
  readonly share?: YieldShare | undefined;
}

/**
 * The tallow to expect from raw fat, by weight and by volume.
 * Example: 1000 g ground give 360 to 600 g, 404 to 674 mL when poured; half of it lean, 199 to 331 g.
 * @throws RangeError when fatG is not a finite number above 0, the share is not between 0 and 1 or leanFraction is
 *   outside 0 to less than 1.
 */
export function expectedTallow({
  fatG,
  rawFat = 'trimmings',
  leanFraction = 0,
  cut,
  share,
}: ExpectedTallowRequest): ExpectedTallow {
  const { low, expected, high } = shareOfPiece(share ?? EXPECTED_YIELD[cut], {
    fatG,
    rawFat,
    leanFraction,
  });
  const [tallowLowG, tallowHighG] = [fatG * low, fatG * high];
  const assumptions = [...(share ? [] : [yieldAssumption(cut)]), DENSITY_ASSUMPTION];
  return {
    tallowLowG,
    tallowHighG,
    tallowExpectedG: expected === undefined ? undefined : fatG * expected,
    tallowLowMl: pouringMl(tallowLowG),
    tallowHighMl: pouringMl(tallowHighG),
    setLowMl: tallowLowG / TALLOW_DENSITY_G_PER_ML.set,
    setHighMl: tallowHighG / TALLOW_DENSITY_G_PER_ML.set,
    assumptions,
    sources: sourcesOf(assumptions),
  };
}

/**
 * The share of a piece's own weight that becomes tallow, from that of raw fat as usually trimmed.
 *
 * Neither common practice nor logged batches say how much lean was left on the fat. A method and a cut get out a share
 * of the fat that is there, so the tallow falls with lean in proportion to the fat held: the share is multiplied by
 * the fat in the piece ÷ the fat in as much of its kind without lean. So it neither jumps nor stops falling anywhere,
 * and the recovery stays what it was: if 51 to 85 % of the fat came out of trimmings, it does of lean ones. A share of
 * more than the kind of fat holds is one from other fat, and held to that first.
 *
 * Suet by itself changes nothing: no figure tells what it gives from what trimmings give, and to count on more because
 * it holds more would let a cook gather too little.
 * @throws RangeError when fatG is not a finite number above 0, the share is not between 0 and 1 or leanFraction is
 *   outside 0 to less than 1.
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

/** Jars of one size to have ready for some tallow, each filled to 95 %. */
export function jarsFor({ tallowG, jarMl }: { readonly tallowG: number; readonly jarMl: number }): number {
  checkAboveZero(tallowG, 'tallowG');
  checkAboveZero(jarMl, 'jarMl');
  return Math.ceil(pouringMl(tallowG) / (jarMl * JAR_FILL) - 1e-9);
}

/** Half of what cubed fat gives at the least; less is mostly a weight in the wrong unit (a choice of ours, no source). */
export const SCANT_YIELD = EXPECTED_YIELD.cubed.low / 2;

export type Plausibility = 'plausible' | 'unlikely' | 'scant' | 'impossible' | 'not positive';

/** Whether some raw fat can have given so much tallow. Both in grams. */
export function plausibilityOf(fatG: number, tallowG: number): Plausibility {
  if (!(fatG > 0 && tallowG > 0)) return 'not positive';
  const tallowYield = tallowG / fatG;
  if (!(tallowYield <= IMPOSSIBLE_YIELD)) return 'impossible';
  if (tallowYield < SCANT_YIELD) return 'scant';
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
        text: 'Minced fat has no figure of its own; that of ground fat, a close neighbour, is 36 to 60 % of its raw weight.',
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
