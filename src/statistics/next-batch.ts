/** Which batch, cooked next, would narrow a comparison most. */
import { type Design, levelColumn } from './design.js';
import { levelSummaries } from './level-summaries.js';
import { isRow, keptRow, settingRow } from './linear-estimate.js';
import { bilinear, invertSymmetric } from './matrix.js';
import { keptColumns, modelFrame, productsOf } from './model-frame.js';
import { obstacles } from './rank.js';
import type { Spread } from './spread.js';
import {
  addOuterProduct,
  fullRow,
  type MemberTotals,
  type ModelSums,
  type UpperTriangle,
} from './sufficient-statistics.js';

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
 * What the batches say about every full column with the variances taken as known (their own uncertainty is the same
 * for every candidate): X'V⁻¹X σ² = X'X − Σ w ss', w = θ²/(1 + nθ²).
 */
interface Information {
  readonly design: Design;
  readonly batches: number;
  /** X'X */
  readonly xx: UpperTriangle;
  /** X'V⁻¹X σ² */
  readonly weighted: UpperTriangle;
}

function informationOf({ design, total, groups }: ModelSums, spread: Spread): Information {
  const weighted = [...total.xx];
  for (const { batches, ss } of groups) {
    const w = memberWeight(batches, spread);
    for (const [k, value] of ss.entries()) weighted[k] = (weighted[k] ?? 0) - w * value;
  }
  return { design, batches: total.batches, xx: total.xx, weighted };
}

/** After one more batch, in full columns, by a member with these sums. */
function withBatch(
  information: Information,
  member: MemberTotals | undefined,
  row: readonly number[],
  spread: Spread,
): Information {
  const xx = [...information.xx];
  const weighted = [...information.weighted];
  addOuterProduct(xx, row);
  addOuterProduct(weighted, row);
  const before = member?.columns ?? row.map(() => 0);
  const after = row.map((value, k) => value + (before[k] ?? 0));
  addOuterProduct(weighted, before, memberWeight(before[0] ?? 0, spread));
  addOuterProduct(weighted, after, -memberWeight(after[0] ?? 0, spread));
  return { design: information.design, batches: information.batches + 1, xx, weighted };
}

function memberWeight(batches: number, { batch, member }: Spread): number {
  return member ** 2 / (batch ** 2 + batches * member ** 2);
}

function errorFrom(
  { design, batches, xx, weighted }: Information,
  { factor, first, second }: Comparison,
  spread: Spread,
): number | undefined {
  if (batches === 0) return undefined;
  const frame = modelFrame({ design, total: { batches, xx, xy: [], yy: 0 } });
  const [a, b] = [first, second].map((level) => settingRow(frame, { levels: { [factor]: level } }));
  if (a === undefined || b === undefined || !isRow(a) || !isRow(b)) return undefined;
  const row = a.map((value, k) => value - (b[k] ?? 0));
  if (obstacles(frame.rank, row).length > 0) return undefined;
  const inverse = invertSymmetric(productsOf(design, keptColumns(frame), weighted))?.inverse;
  if (inverse === undefined) return undefined;
  const l = keptRow(frame, row);
  return spread.batch * Math.sqrt(bilinear(l, inverse, l));
}

/**
 * Standard error of first less second, all else the same. Undefined when the comparison cannot be estimated.
 * @throws RangeError unless the spread from batch to batch is above 0.
 */
export function comparisonError(sums: ModelSums, comparison: Comparison, spread: Spread): number | undefined {
  if (!(spread.batch > 0)) throw new RangeError(`the spread must be above 0: ${spread.batch}`);
  return errorFrom(informationOf(sums, spread), comparison, spread);
}

/**
 * The candidates that narrow the comparison, the one that narrows it most first. The fall in the standard error is
 * what one more row does to the covariance of the coefficients with the variances as they are.
 */
export function rankNextBatches(
  sums: ModelSums,
  comparison: Comparison,
  member: MemberTotals | undefined,
  candidates: readonly Candidate[],
  spread: Spread,
): readonly NextBatch[] {
  const standardError = comparisonError(sums, comparison, spread);
  const information = informationOf(sums, spread);
  const usual = usualCovariates(sums);
  return candidates
    .flatMap((candidate): readonly NextBatch[] => {
      const row = fullRow(sums.design, {
        levels: candidate.levels,
        covariates: usual(candidate),
      });
      const after = errorFrom(withBatch(information, member, row, spread), comparison, spread);
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
  const information = informationOf(sums, spread);
  const widestFirst = wanted
    .map((comparison) => ({
      comparison,
      width: errorFrom(information, comparison, spread) ?? Number.POSITIVE_INFINITY,
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

/** Fills in the covariates that a candidate leaves open. */
function usualCovariates(sums: ModelSums): (candidate: Candidate) => readonly number[] {
  const { factors, covariates: known } = sums.design;
  const [factor] = factors;
  const summaries = factor === undefined ? [] : levelSummaries(sums, factor.name);
  return ({ levels, covariates }) => {
    const usual = summaries.find(({ level }) => level === levels[0])?.covariateMeans;
    return known.map(({ name, shift }, c) => covariates[c] ?? usual?.[name] ?? shift);
  };
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
