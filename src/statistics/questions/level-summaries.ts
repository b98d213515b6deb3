/** Plain facts about the levels of a factor, nothing allowed for; straight from the sums. */
import { covariateColumn, type Design, fullWidth, levelColumn, usedLevels } from '../model/design.js';
import {
  columnCounts,
  type MemberTotals,
  type ModelSums,
  triangleIndex,
} from '../model/sufficient-statistics.js';

export interface LevelSummary {
  readonly level: string;
  readonly batches: number;
  /** Plain mean of the response over its batches. */
  readonly mean: number;
  /** Plain mean of each covariate over its batches, by name. */
  readonly covariateMeans: Readonly<Record<string, number>>;
}

/** The levels that occur, in the order of the design. */
export function levelSummaries(sums: ModelSums, factor: string): readonly LevelSummary[] {
  const { design, total } = sums;
  const counts = columnCounts(sums);
  const width = fullWidth(design);
  const f = factorPosition(sums.design, factor);
  return usedLevels(design, f, counts).map((level) => {
    const column = levelColumn(design, f, level);
    const batches = counts[column] ?? 0;
    const covariateMeans = design.covariates.map(({ name, shift }, c) => {
      const sum = total.xx[triangleIndex(width, column, covariateColumn(design, c))] ?? 0;
      return [name, shift + sum / batches] as const;
    });
    return {
      level,
      batches,
      mean: design.responseShift + (total.xy[column] ?? 0) / batches,
      covariateMeans: Object.fromEntries(covariateMeans),
    };
  });
}

/** Number of batches with both levels, for every pair of a level of one factor and a level of the other. */
export function cellCounts(
  sums: ModelSums,
  rows: string,
  columns: string,
): readonly { readonly row: string; readonly column: string; readonly batches: number }[] {
  const { design, total } = sums;
  const width = fullWidth(design);
  const [f, g] = [factorPosition(sums.design, rows), factorPosition(sums.design, columns)];
  const counts = columnCounts(sums);
  return usedLevels(design, f, counts).flatMap((row) =>
    usedLevels(design, g, counts).map((column) => ({
      row,
      column,
      batches:
        total.xx[triangleIndex(width, levelColumn(design, f, row), levelColumn(design, g, column))] ?? 0,
    })),
  );
}

/** How many members used each level, by level. */
export function membersByLevel(
  design: Design,
  members: Iterable<MemberTotals>,
  factor: string,
): ReadonlyMap<string, number> {
  const f = factorPosition(design, factor);
  const columns = (design.factors[f]?.levels ?? []).map(
    (level) => [level, levelColumn(design, f, level)] as const,
  );
  const counts = new Map<string, number>();
  for (const member of members)
    for (const [level, column] of columns)
      if ((member.columns[column] ?? 0) > 0) counts.set(level, (counts.get(level) ?? 0) + 1);
  return counts;
}

export interface LevelName {
  readonly factor: string;
  readonly level: string;
}

/** Levels of other factors that every batch of this level has: it was only ever used with them. */
export function onlyUsedWith(sums: ModelSums, { factor, level }: LevelName): readonly LevelName[] {
  return sums.design.factors.flatMap(({ name }) => {
    if (name === factor) return [];
    const together = cellCounts(sums, factor, name).filter(
      ({ row, batches }) => row === level && batches > 0,
    );
    const [only] = together;
    return only !== undefined && together.length === 1 ? [{ factor: name, level: only.column }] : [];
  });
}

function factorPosition(design: Design, factor: string): number {
  const position = design.factors.findIndex(({ name }) => name === factor);
  if (position < 0) throw new RangeError(`the design has no factor ${factor}`);
  return position;
}
