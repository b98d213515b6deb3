/** The project's own model: yield on method, cut, logarithm of the starting weight and hours. */
import type { Design, Observation } from './design.js';
import type { Interval } from './linear-estimate.js';
import { covariateMeans } from './model-frame.js';
import type { ModelSums } from './sufficient-statistics.js';

/** Constants near the centre of what people cook (e kg, 4 h, half the fat); any others give the same answers. */
export const LOG_FAT_KG_SHIFT = 1;
export const HOURS_SHIFT = 4;
export const YIELD_SHIFT = 0.5;

export interface Batch {
  readonly member: string;
  readonly method: string;
  readonly cut: string;
  readonly fatG: number;
  readonly minutes: number;
  readonly tallowG: number;
}

/** @param methods every method that may occur, in order, the one others are compared with first; cuts likewise */
export function batchDesign(methods: readonly string[], cuts: readonly string[]): Design {
  return {
    factors: [
      { name: 'method', levels: methods },
      { name: 'cut', levels: cuts },
    ],
    covariates: [
      { name: 'log_fat_kg', shift: LOG_FAT_KG_SHIFT },
      { name: 'hours', shift: HOURS_SHIFT },
    ],
    responseShift: YIELD_SHIFT,
  };
}

/** @throws RangeError unless fatG is above 0. */
export function observationOf({ member, method, cut, fatG, minutes, tallowG }: Batch): Observation {
  if (!(fatG > 0)) throw new RangeError(`fatG must be above 0: ${fatG}`);
  return {
    member,
    levels: [method, cut],
    covariates: batchCovariates(fatG, minutes),
    response: tallowG / fatG,
  };
}

/** ln(raw fat in kg) and hours, in the order of the design. */
export function batchCovariates(fatG: number, minutes: number): readonly [number, number] {
  return [Math.log(fatG / 1000), minutes / 60];
}

/** The smallest and the largest of each covariate among some batches, by its name in the design; not shifted. */
export type CovariateRanges = Readonly<Record<string, Interval>>;

export function covariateRanges(
  { covariates }: Design,
  observations: readonly Observation[],
): CovariateRanges {
  if (observations.length === 0) return {};
  return Object.fromEntries(
    covariates.map(({ name }, c) => {
      const range = { low: Number.POSITIVE_INFINITY, high: Number.NEGATIVE_INFINITY };
      for (const one of observations) {
        range.low = Math.min(range.low, one.covariates[c] ?? Number.NaN);
        range.high = Math.max(range.high, one.covariates[c] ?? Number.NaN);
      }
      return [name, range];
    }),
  );
}

/** Every batch by one of these methods, cuts and starting weights, each taking as long as its method usually takes. */
export function batchCandidates(
  methods: readonly string[],
  cuts: readonly string[],
  fatsG: readonly number[],
): readonly BatchCandidate[] {
  return methods.flatMap((method) =>
    cuts.flatMap((cut) =>
      fatsG.map((fatG) => ({
        levels: [method, cut] as const,
        covariates: { log_fat_kg: Math.log(fatG / 1000) },
      })),
    ),
  );
}

export interface BatchCandidate {
  /** Method and cut. */
  readonly levels: readonly [string, string];
  readonly covariates: { readonly log_fat_kg: number };
}

export const candidateFatG = ({ covariates }: BatchCandidate): number =>
  1000 * Math.exp(covariates.log_fat_kg);

/**
 * Of some starting weights those worth proposing: all, or, where the model cannot tell the weight from the rest, the one
 * nearest to what is usual.
 * @param all the sums of all terms
 */
export function proposedFatsG(
  { design }: ModelSums,
  all: ModelSums,
  fatsG: readonly number[],
): readonly number[] {
  const position = all.design.covariates.findIndex(({ name }) => name === LOG_FAT_KG);
  if (design.covariates.some(({ name }) => name === LOG_FAT_KG) || all.total.batches === 0) return fatsG;
  const usual = covariateMeans(all)[position] ?? Number.NaN;
  const distance = (fatG: number) => Math.abs(Math.log(fatG / 1000) - usual);
  const [nearest] = fatsG.toSorted((a, b) => distance(a) - distance(b));
  return nearest === undefined ? [] : [nearest];
}

const LOG_FAT_KG = 'log_fat_kg';
