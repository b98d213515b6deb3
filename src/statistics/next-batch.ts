/** Which batch, cooked next, would narrow a comparison most. */
import { levelColumn } from './design.js';
import { levelSummaries } from './level-summaries.js';
import { isRow, keptRow, settingRow } from './linear-estimate.js';
import { bilinear, invertSymmetric } from './matrix.js';
import { modelFrame } from './model-frame.js';
import { obstacles } from './rank.js';
import { designPart, weightedProducts } from './reml.js';
import type { Spread } from './spread.js';
import { fullRow, type MemberTotals, type ModelSums, withBatch } from './sufficient-statistics.js';

/** A batch that the member could cook. */
export interface Candidate {
  /** One level for each factor of the design, in order. */
  readonly levels: readonly string[];
  /** A value for each covariate of the design, in order, not shifted; undefined: usual for its first level. */
  readonly covariates: readonly (number | undefined)[];
}

/** Two levels of one factor. */
export interface Comparison {
  readonly factor: string;
  readonly first: string;
  readonly second: string;
}

/** Why a batch helps. */
export type Reason =
  /** It is the first with this level, so that the two can be compared at all. */
  | 'makes-it-possible'
  /** The member has cooked the other level: the two are compared within one cook. */
  | 'same-cook-both-ways'
  /** It adds to one of the two levels, by a cook who has not tried the other. */
  | 'adds-to-one-side'
  /** Neither of the two; it helps to tell weight, time, cut or cook apart from them. */
  | 'tells-the-rest-apart';

export interface NextBatch {
  readonly candidate: Candidate;
  /** Standard error of the comparison now; undefined when it cannot be estimated. */
  readonly standardError: number | undefined;
  /** The same after this batch. */
  readonly standardErrorAfter: number;
  readonly reason: Reason;
}

/**
 * Standard error of first less second, all else the same, with the variances taken as known (their own uncertainty
 * is the same for every candidate). Undefined when the comparison is not estimable.
 */
export function comparisonError(
  sums: ModelSums,
  { factor, first, second }: Comparison,
  spread: Spread,
): number | undefined {
  if (sums.total.batches === 0) return undefined;
  const frame = modelFrame(sums);
  const rows = [first, second].map((level) => settingRow(frame, { levels: { [factor]: level } }));
  const [a, b] = rows;
  if (a === undefined || b === undefined || !isRow(a) || !isRow(b)) return undefined;
  const row = a.map((value, k) => value - (b[k] ?? 0));
  return standardErrorOf(frame, row, spread);
}

function standardErrorOf(
  frame: ReturnType<typeof modelFrame>,
  row: readonly number[],
  { batch, member }: Spread,
): number | undefined {
  if (obstacles(frame.rank, row).length > 0) return undefined;
  const information = designPart(frame.fitted, weightedProducts(frame.fitted, member / batch));
  const inverse = invertSymmetric(information)?.inverse;
  if (inverse === undefined) return undefined;
  const l = keptRow(frame, row);
  return batch * Math.sqrt(bilinear(l, inverse, l));
}

/**
 * The candidates that narrow the comparison, the one that narrows it most first. The fall in the standard error is
 * what one more row does to Φ = σ²(X'V⁻¹X σ²)⁻¹ with the variances as they are.
 */
export function rankNextBatches(
  sums: ModelSums,
  comparison: Comparison,
  member: MemberTotals | undefined,
  candidates: readonly Candidate[],
  spread: Spread,
): readonly NextBatch[] {
  const standardError = comparisonError(sums, comparison, spread);
  return candidates
    .flatMap((candidate): readonly NextBatch[] => {
      const row = fullRow(sums.design, {
        levels: candidate.levels,
        covariates: covariatesOf(sums, candidate),
      });
      const after = comparisonError(withBatch(sums, member, row), comparison, spread);
      if (after === undefined) return [];
      if (standardError !== undefined && after > (1 - LEAST_FALL) * standardError) return [];
      const reason = reasonFor(sums, comparison, member, candidate, standardError);
      return [{ candidate, standardError, standardErrorAfter: after, reason }];
    })
    .sort((a, b) => a.standardErrorAfter - b.standardErrorAfter);
}

/** A smaller share of the standard error than this is not worth a batch. */
const LEAST_FALL = 0.001;

export interface NextBatches {
  readonly comparison: Comparison;
  /** The candidates that narrow it, the best first; at least one. */
  readonly batches: readonly NextBatch[];
}

/**
 * The comparison that is known worst among those that one of the candidates can narrow, and what to cook for it.
 * One that cannot be estimated yet is worse than any other. Undefined when no candidate helps.
 */
export function bestNextBatches(
  sums: ModelSums,
  wanted: readonly Comparison[],
  member: MemberTotals | undefined,
  candidates: readonly Candidate[],
  spread: Spread,
): NextBatches | undefined {
  const widestFirst = wanted
    .map((comparison) => ({
      comparison,
      width: comparisonError(sums, comparison, spread) ?? Number.POSITIVE_INFINITY,
    }))
    .sort((a, b) => (a.width === b.width ? 0 : b.width - a.width));
  for (const { comparison } of widestFirst) {
    const batches = rankNextBatches(sums, comparison, member, candidates, spread);
    if (batches.length > 0) return { comparison, batches };
  }
  return undefined;
}

/** Every pair of the levels. */
export function comparisonsOf(factor: string, levels: readonly string[]): readonly Comparison[] {
  return levels.flatMap((first, i) => levels.slice(i + 1).map((second) => ({ factor, first, second })));
}

function covariatesOf(sums: ModelSums, { levels, covariates }: Candidate): readonly number[] {
  const [factor] = sums.design.factors;
  const usual =
    factor && levelSummaries(sums, factor.name).find(({ level }) => level === levels[0])?.covariateMeans;
  return sums.design.covariates.map(({ name, shift }, c) => covariates[c] ?? usual?.[name] ?? shift);
}

function reasonFor(
  { design }: ModelSums,
  { factor, first, second }: Comparison,
  member: MemberTotals | undefined,
  { levels }: Candidate,
  standardError: number | undefined,
): Reason {
  if (standardError === undefined) return 'makes-it-possible';
  const f = design.factors.findIndex(({ name }) => name === factor);
  const level = levels[f];
  if (level !== first && level !== second) return 'tells-the-rest-apart';
  const other = levelColumn(design, f, level === first ? second : first);
  return (member?.columns[other] ?? 0) > 0 ? 'same-cook-both-ways' : 'adds-to-one-side';
}
