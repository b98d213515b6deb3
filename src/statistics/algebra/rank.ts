import type { Matrix } from 'ml-matrix';

/** A column that is a sum of multiples of columns before it. */
export interface AliasedColumn {
  /** Position among the columns walked. */
  readonly column: number;
  /** Its multiples of the kept columns, in their order; 0 for those that play no part. */
  readonly coefficients: readonly number[];
}

export interface RankWalk {
  /** Positions of the columns that are kept, in order; their number is the rank. */
  readonly kept: readonly number[];
  readonly aliased: readonly AliasedColumn[];
}

/** What a column keeps of its length when those before it are taken away, below which it says nothing new. */
const LEAST_RESIDUAL_SHARE = 1e-10;

/** Multiples smaller than this, columns scaled to length 1, are rounding. */
const LEAST_COEFFICIENT = 1e-7;

/**
 * Walks the columns of X in order, a Cholesky step on X'X (scaled to a unit diagonal) for each, and sets aside the
 * columns that are sums of multiples of columns kept before them. A column of zeros is set aside too.
 * @param xx X'X
 */
export function walkRank(xx: Matrix): RankWalk {
  const scale = (i: number) => Math.sqrt(xx.get(i, i));
  const kept: number[] = [];
  const aliased: AliasedColumn[] = [];
  /** Row k of the Cholesky factor of the kept columns, scaled. */
  const root: number[][] = [];
  for (let j = 0; j < xx.rows; j += 1) {
    const length = scale(j);
    if (length === 0) {
      aliased.push({ column: j, coefficients: [] });
      continue;
    }
    const row: number[] = [];
    let residual = 1;
    for (const [a, i] of kept.entries()) {
      const above = root[a] ?? [];
      let value = xx.get(j, i) / (length * scale(i));
      for (let k = 0; k < a; k += 1) value -= (row[k] ?? 0) * (above[k] ?? 0);
      value /= above[a] ?? Number.NaN;
      row.push(value);
      residual -= value * value;
    }
    if (residual > LEAST_RESIDUAL_SHARE) {
      kept.push(j);
      root.push([...row, Math.sqrt(residual)]);
    } else {
      const scaled = solveUpper(root, row);
      aliased.push({
        column: j,
        coefficients: scaled.map((value, a) =>
          Math.abs(value) < LEAST_COEFFICIENT ? 0 : (value * length) / scale(kept[a] ?? 0),
        ),
      });
    }
  }
  return { kept, aliased };
}

/** Solves L'a = r, where the rows of the lower triangular L are given. */
function solveUpper(root: readonly (readonly number[])[], right: readonly number[]): readonly number[] {
  const solution = [...right];
  for (let i = solution.length - 1; i >= 0; i -= 1) {
    for (let k = i + 1; k < solution.length; k += 1)
      solution[i] = (solution[i] ?? 0) - (root[k]?.[i] ?? 0) * (solution[k] ?? 0);
    solution[i] = (solution[i] ?? 0) / (root[i]?.[i] ?? Number.NaN);
  }
  return solution;
}

/** A contrast is estimable when rounding is all that tells it from the combination that the kept columns imply. */
const ESTIMABLE_WITHIN = 1e-8;

/**
 * The aliased columns that stand in the way of estimating Σ l_j b_j; none when it is estimable.
 * Estimable means: l_j = l_kept'a_j for every aliased column j with multiples a_j.
 * Source: Searle, Speed, Milliken (1980), The American Statistician 34, 216–221.
 */
export function obstacles(
  { kept, aliased }: RankWalk,
  contrast: readonly number[],
): readonly AliasedColumn[] {
  return aliased.filter(({ column, coefficients }) => {
    const wanted = contrast[column] ?? 0;
    let implied = 0;
    let size = Math.abs(wanted);
    for (const [a, coefficient] of coefficients.entries()) {
      const term = coefficient * (contrast[kept[a] ?? 0] ?? 0);
      implied += term;
      size += Math.abs(term);
    }
    return Math.abs(wanted - implied) > ESTIMABLE_WITHIN * size;
  });
}
