import { Matrix } from 'ml-matrix';
import { describe, expect, it } from 'vitest';
import { obstacles, walkRank } from '../../../src/statistics/algebra/rank.js';

/** X'X of columns given row by row. */
function products(rows: readonly (readonly number[])[]): Matrix {
  const x = new Matrix(rows.map((row) => [...row]));
  return x.transpose().mmul(x);
}

/** A 1, two indicators that add up to it, a number, and a sum of the number and one indicator. */
const ROWS = [
  [1, 1, 0, 2, 3],
  [1, 1, 0, 5, 6],
  [1, 0, 1, 3, 3],
  [1, 0, 1, 7, 7],
  [1, 1, 0, 1, 2],
];

describe('rank', () => {
  it('keeps the first columns and says of what the others consist', () => {
    const { kept, aliased } = walkRank(products(ROWS));
    expect(kept).toEqual([0, 1, 3]);
    expect(aliased.map(({ column }) => column)).toEqual([2, 4]);
    for (const [a, expected] of [
      [1, -1],
      [0, 1, 1],
    ].entries())
      for (const [k, value] of expected.entries()) expect(aliased[a]?.coefficients[k]).toBeCloseTo(value, 10);
  });

  it('does not depend on the units of the columns', () => {
    const scaled = ROWS.map((row) => row.map((value, j) => value * ([1, 1e6, 1e-6, 1e4, 1e-3][j] ?? 1)));
    expect(walkRank(products(scaled)).kept).toEqual([0, 1, 3]);
  });

  it('sets a column of zeros aside', () => {
    const { kept, aliased } = walkRank(
      products([
        [1, 0],
        [1, 0],
      ]),
    );
    expect(kept).toEqual([0]);
    expect(aliased).toEqual([{ column: 1, coefficients: [] }]);
  });

  it('lets a combination be estimated exactly when the rows of X span it', () => {
    const walk = walkRank(products(ROWS));
    for (const row of ROWS) expect(obstacles(walk, row)).toEqual([]);
    // Half of one row less another is spanned too; the second indicator alone is not
    const [first = [], , third = []] = ROWS;
    expect(
      obstacles(
        walk,
        first.map((value, j) => value / 2 - (third[j] ?? 0)),
      ),
    ).toEqual([]);
    expect(obstacles(walk, [0, 0, 1, 0, 0]).map(({ column }) => column)).toEqual([2]);
  });
});
