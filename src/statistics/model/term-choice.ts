import { type Design, fullWidth, levelColumn } from './design.js';
import {
  type CrossProducts,
  type EqualSizeGroup,
  type MemberTotals,
  type ModelSums,
  triangleIndex,
} from './sufficient-statistics.js';

/** Which factors and covariates to keep, by name. */
export interface TermChoice {
  readonly factors: readonly string[];
  readonly covariates: readonly string[];
}

/**
 * The sums of the same batches for a model with fewer terms: a choice among columns that were added up already.
 * With no terms at all the model is the typical cook's yield and nothing else.
 */
export function chooseTerms(sums: ModelSums, choice: TermChoice): ModelSums {
  const design: Design = {
    ...sums.design,
    factors: sums.design.factors.filter(({ name }) => choice.factors.includes(name)),
    covariates: sums.design.covariates.filter(({ name }) => choice.covariates.includes(name)),
  };
  const width = fullWidth(sums.design);
  const kept = keptColumns(sums.design, choice);
  const triangle = (values: readonly number[]) =>
    kept.flatMap((i, a) => kept.slice(a).map((j) => values[triangleIndex(width, i, j)] ?? 0));
  const vector = (values: readonly number[]) => kept.map((i) => values[i] ?? 0);
  const total: CrossProducts = { ...sums.total, xx: triangle(sums.total.xx), xy: vector(sums.total.xy) };
  const groups = sums.groups.map(
    (group): EqualSizeGroup => ({ ...group, ss: triangle(group.ss), st: vector(group.st) }),
  );
  return { design, total, groups };
}

/** One member's sums for a model with fewer terms. */
export function chooseMemberTerms(design: Design, totals: MemberTotals, choice: TermChoice): MemberTotals {
  return { ...totals, columns: keptColumns(design, choice).map((column) => totals.columns[column] ?? 0) };
}

/** Full columns of the terms kept, in order. */
function keptColumns(design: Design, choice: TermChoice): readonly number[] {
  const kept = [0];
  for (const [f, { name, levels }] of design.factors.entries())
    if (choice.factors.includes(name)) kept.push(...levels.map((level) => levelColumn(design, f, level)));
  const firstCovariate = fullWidth(design) - design.covariates.length;
  for (const [c, { name }] of design.covariates.entries())
    if (choice.covariates.includes(name)) kept.push(firstCovariate + c);
  return kept;
}
