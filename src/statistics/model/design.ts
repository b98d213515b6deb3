/** A grouping of the batches that is compared, such as the method. */
export interface Factor {
  readonly name: string;
  /** Every level that may occur, in order: the first that does occur is the one others are compared with. */
  readonly levels: readonly string[];
}

/** A number that is allowed for, such as hours. */
export interface Covariate {
  readonly name: string;
  /** A constant near its centre, taken off before summing: far from their centre, cross-products lose digits. */
  readonly shift: number;
}

/** What is measured, and what its differences may come from. */
export interface Design {
  readonly factors: readonly Factor[];
  readonly covariates: readonly Covariate[];
  /** A constant near the centre of the response, taken off before summing. */
  readonly responseShift: number;
}

/** One batch as the model sees it; levels and covariates in the order of the design. */
export interface Observation {
  readonly member: string;
  readonly levels: readonly string[];
  readonly covariates: readonly number[];
  readonly response: number;
}

/**
 * Full columns of a design, in which the sums are kept: a 1, then for every level of every factor a 1 or 0, then the
 * shifted covariates. Which levels occur need not be known to add up; the model picks its own columns later.
 */
export function fullWidth({ factors, covariates }: Design): number {
  return 1 + factors.reduce((width, { levels }) => width + levels.length, 0) + covariates.length;
}

/**
 * Full column of a level.
 * @throws RangeError for a level or factor that the design does not have.
 */
export function levelColumn({ factors }: Design, factor: number, level: string): number {
  const position = factors[factor]?.levels.indexOf(level) ?? -1;
  if (position < 0) throw new RangeError(`factor ${factors[factor]?.name ?? factor} has no level ${level}`);
  return 1 + factors.slice(0, factor).reduce((width, { levels }) => width + levels.length, 0) + position;
}

/** Full column of the covariate at this position in the design. */
export function covariateColumn(design: Design, covariate: number): number {
  return fullWidth(design) - design.covariates.length + covariate;
}

/** Where the columns of a design are, found once for very many batches. */
export interface ColumnFinder {
  readonly width: number;
  /** @throws RangeError for a level or factor that the design does not have. */
  level(factor: number, level: string): number;
  covariate(covariate: number): number;
}

export function columnFinder(design: Design): ColumnFinder {
  const byLevel = design.factors.map(
    ({ levels }, f) => new Map(levels.map((level) => [level, levelColumn(design, f, level)])),
  );
  const first = covariateColumn(design, 0);
  return {
    width: fullWidth(design),
    level: (factor, level) => byLevel[factor]?.get(level) ?? levelColumn(design, factor, level),
    covariate: (covariate) => first + covariate,
  };
}

/**
 * A column of the fitted model: treatment contrasts, so that a level's column is its difference from the base level.
 */
export type ModelColumn = { readonly fullColumn: number } & (
  | { readonly kind: 'intercept' }
  | { readonly kind: 'level'; readonly factor: string; readonly level: string; readonly base: string }
  | { readonly kind: 'covariate'; readonly covariate: string; readonly shift: number }
);

/**
 * Columns of the model for the levels that occur. Unused levels are dropped, and so is a factor of which only one
 * level occurs: there is nothing to compare.
 * @param counts number of batches in each full column (for the levels; other entries are not read)
 */
export function modelColumns(design: Design, counts: readonly number[]): readonly ModelColumn[] {
  const columns: ModelColumn[] = [{ kind: 'intercept', fullColumn: 0 }];
  for (const [f, factor] of design.factors.entries()) {
    const [base, ...others] = usedLevels(design, f, counts);
    if (base === undefined) continue;
    for (const level of others)
      columns.push({
        kind: 'level',
        factor: factor.name,
        level,
        base,
        fullColumn: levelColumn(design, f, level),
      });
  }
  for (const [c, { name, shift }] of design.covariates.entries())
    columns.push({ kind: 'covariate', covariate: name, shift, fullColumn: covariateColumn(design, c) });
  return columns;
}

/** Levels of a factor that occur, in the order of the design. */
export function usedLevels(design: Design, factor: number, counts: readonly number[]): readonly string[] {
  return (design.factors[factor]?.levels ?? []).filter(
    (level) => (counts[levelColumn(design, factor, level)] ?? 0) > 0,
  );
}

export function sameColumn(a: ModelColumn, b: ModelColumn): boolean {
  return a.fullColumn === b.fullColumn;
}
