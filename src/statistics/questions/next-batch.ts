/** Which batch, cooked next, would narrow a comparison most. */
import { Matrix } from 'ml-matrix';
import { bilinear, dot, invertSymmetric } from '../algebra/matrix.js';
import { obstacles } from '../algebra/rank.js';
import { covariateColumn, type Design, levelColumn } from '../model/design.js';
import { isRow, keptRow, settingRow } from '../model/linear-estimate.js';
import { keptColumns, type ModelFrame, modelFrame, productsOf } from '../model/model-frame.js';
import {
  addOuterProduct,
  fullRow,
  type MemberTotals,
  type ModelSums,
  type UpperTriangle,
} from '../model/sufficient-statistics.js';
import { levelSummaries } from './level-summaries.js';
import type { Spread } from './spread.js';

/** A batch that the member could cook. */
export interface Candidate {
  /** One level for each factor of the design, in order. */
  readonly levels: readonly string[];
  /** Values of covariates by name, not shifted; one that is not named is what is usual for its first level. */
  readonly covariates: Readonly<Record<string, number>>;
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

export interface NextBatch<C extends Candidate = Candidate> {
  readonly candidate: C;
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

/** What the batches say, ready to be asked about any comparison. */
interface Precision {
  readonly frame: ModelFrame;
  /** (X'V⁻¹X σ²)⁻¹ in the kept columns */
  readonly inverse: Matrix;
}

/** Undefined when there are no batches. */
function precisionOf({ design, batches, xx, weighted }: Information): Precision | undefined {
  if (batches === 0) return undefined;
  const frame = modelFrame({ design, total: { batches, xx, xy: [], yy: 0 } });
  const inverse = invertSymmetric(productsOf(design, keptColumns(frame), weighted))?.inverse;
  return inverse && { frame, inverse };
}

/** First less second in the kept columns; undefined when it cannot be estimated. */
function contrastIn(frame: ModelFrame, { factor, first, second }: Comparison): Matrix | undefined {
  const [a, b] = [first, second].map((level) => settingRow(frame, { levels: { [factor]: level } }));
  if (a === undefined || b === undefined || !isRow(a) || !isRow(b)) return undefined;
  const row = a.map((value, k) => value - (b[k] ?? 0));
  return obstacles(frame.rank, row).length > 0 ? undefined : keptRow(frame, row);
}

function errorFrom(
  precision: Precision | undefined,
  comparison: Comparison,
  spread: Spread,
): number | undefined {
  const l = precision && contrastIn(precision.frame, comparison);
  return l && spread.batch * Math.sqrt(bilinear(l, precision.inverse, l));
}

/**
 * Standard error of first less second, all else the same. Undefined when the comparison cannot be estimated.
 * @throws RangeError unless the spread from batch to batch is above 0.
 */
export function comparisonError(sums: ModelSums, comparison: Comparison, spread: Spread): number | undefined {
  return errorFrom(outlookOf(sums, spread).precision, comparison, spread);
}

/** All that does not depend on the comparison or on who cooks. */
interface Outlook {
  readonly sums: ModelSums;
  readonly spread: Spread;
  readonly information: Information;
  readonly precision: Precision | undefined;
}

function outlookOf(sums: ModelSums, spread: Spread): Outlook {
  if (!(spread.batch > 0)) throw new RangeError(`the spread must be above 0: ${spread.batch}`);
  const information = informationOf(sums, spread);
  return { sums, spread, information, precision: precisionOf(information) };
}

/**
 * The candidates that narrow the comparison, the one that narrows it most first. The fall in the standard error is
 * what one more row does to the covariance of the coefficients with the variances as they are.
 */
export function rankNextBatches<C extends Candidate>(
  sums: ModelSums,
  comparison: Comparison,
  member: MemberTotals | undefined,
  candidates: readonly C[],
  spread: Spread,
): readonly NextBatch<C>[] {
  return rankFrom(outlookOf(sums, spread), comparison, member, candidates);
}

function rankFrom<C extends Candidate>(
  outlook: Outlook,
  comparison: Comparison,
  member: MemberTotals | undefined,
  candidates: readonly C[],
): readonly NextBatch<C>[] {
  const { sums, spread } = outlook;
  const standardError = errorFrom(outlook.precision, comparison, spread);
  const usual = usualCovariates(sums);
  const errorAfter = errorWithOneMore(outlook, comparison, member);
  return candidates
    .flatMap((candidate): readonly NextBatch<C>[] => {
      const after = errorAfter(
        fullRow(sums.design, { levels: candidate.levels, covariates: usual(candidate) }),
      );
      if (after === undefined) return [];
      if (standardError !== undefined && after > (1 - LEAST_FALL) * standardError) return [];
      const reason = reasonFor(sums, comparison, member, candidate, standardError);
      return [{ candidate, standardError, standardErrorAfter: after, reason }];
    })
    .sort((a, b) => a.standardErrorAfter - b.standardErrorAfter);
}

/**
 * The standard error after one more batch with this row of full columns. With w and s the member's own, the batch
 * tells of b what it does beyond what the member's earlier ones foretell: (x − w s)'b, with the variance σ²(1 + w). So
 *   l'Φl falls by σ²(u'd)²/(1 + w + d'A⁻¹d), d = x − w s, u = A⁻¹l (Sherman, Morrison 1950, Annals of Mathematical Statistics 21, 124–127).
 * A row that the batches so far do not span says nothing of what can be estimated already, but may make possible what
 * cannot.
 */
function errorWithOneMore(
  { information, precision, spread }: Outlook,
  comparison: Comparison,
  member: MemberTotals | undefined,
): (row: readonly number[]) => number | undefined {
  const l = precision && contrastIn(precision.frame, comparison);
  if (precision === undefined || l === undefined)
    return (row) => errorFrom(precisionOf(withBatch(information, member, row, spread)), comparison, spread);
  const { frame, inverse } = precision;
  const columns = keptColumns(frame);
  const u = inverse.mmul(l);
  const variance = dot(l, u);
  const w = memberWeight(member?.columns[0] ?? 0, spread);
  return (row) => {
    const isSpanned =
      row.every(
        (value, k) => value === 0 || isCovariate(information.design, k) || (frame.counts[k] ?? 0) > 0,
      ) &&
      obstacles(
        frame.rank,
        frame.columns.map(({ fullColumn }) => row[fullColumn] ?? 0),
      ).length === 0;
    if (!isSpanned) return spread.batch * Math.sqrt(variance);
    const d = Matrix.columnVector(
      columns.map(({ fullColumn }) => (row[fullColumn] ?? 0) - w * (member?.columns[fullColumn] ?? 0)),
    );
    const fall = dot(u, d) ** 2 / (1 + w + bilinear(d, inverse, d));
    return spread.batch * Math.sqrt(variance - fall);
  };
}

const isCovariate = (design: Design, column: number): boolean => column >= covariateColumn(design, 0);

/** A smaller share of the standard error than this is not worth a batch. */
const LEAST_FALL = 0.001;

/** What a cook cooks a batch for (a choice of ours, no source); comparisons narrowed by less are asked where there is no other. */
const WORTHWHILE_FALL = 0.01;

export interface NextBatches<C extends Candidate = Candidate> {
  readonly comparison: Comparison;
  /** The candidates that narrow it, the best first; at least one. */
  readonly batches: readonly NextBatch<C>[];
}

/**
 * The comparison that is known worst among those that one of the candidates can narrow by a hundredth, or else at all,
 * and what to cook for it. One that cannot be estimated yet is worse than any other. Undefined when no candidate helps.
 */
export function bestNextBatches<C extends Candidate>(
  sums: ModelSums,
  wanted: readonly Comparison[],
  member: MemberTotals | undefined,
  candidates: readonly C[],
  spread: Spread,
): NextBatches<C> | undefined {
  const outlook = outlookOf(sums, spread);
  const widestFirst = wanted
    .map((comparison) => ({
      comparison,
      width: errorFrom(outlook.precision, comparison, spread) ?? Number.POSITIVE_INFINITY,
    }))
    .sort((a, b) => (a.width === b.width ? 0 : b.width - a.width));
  let little: NextBatches<C> | undefined;
  for (const { comparison, width } of widestFirst) {
    const batches = rankFrom(outlook, comparison, member, candidates);
    const [best] = batches;
    if (best === undefined) continue;
    if (best.standardErrorAfter <= (1 - WORTHWHILE_FALL) * width) return { comparison, batches };
    little ??= { comparison, batches };
  }
  return little;
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
    return known.map(({ name, shift }) => covariates[name] ?? usual?.[name] ?? shift);
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
