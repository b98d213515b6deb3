/** The few operations on small symmetric matrices that the fit needs and ml-matrix does not have ready. */
import { CholeskyDecomposition, Matrix } from 'ml-matrix';

/** tr(AB) */
export function traceOfProduct(a: Matrix, b: Matrix): number {
  let trace = 0;
  for (let i = 0; i < a.rows; i += 1)
    for (let j = 0; j < a.columns; j += 1) trace += a.get(i, j) * b.get(j, i);
  return trace;
}

/** a'Bc of columns a and c */
export function bilinear(a: Matrix, b: Matrix, c: Matrix): number {
  let sum = 0;
  for (let i = 0; i < b.rows; i += 1) {
    let row = 0;
    for (let j = 0; j < b.columns; j += 1) row += b.get(i, j) * c.get(j, 0);
    sum += a.get(i, 0) * row;
  }
  return sum;
}

/** a'c of columns a and c */
export function dot(a: Matrix, c: Matrix): number {
  let sum = 0;
  for (let i = 0; i < a.rows; i += 1) sum += a.get(i, 0) * c.get(i, 0);
  return sum;
}

export interface Inverse {
  readonly inverse: Matrix;
  readonly logDeterminant: number;
  solve(column: Matrix): Matrix;
}

/** Inverse of a symmetric positive definite matrix by Cholesky; undefined when it is not positive definite. */
export function invertSymmetric(matrix: Matrix): Inverse | undefined {
  const cholesky = new CholeskyDecomposition(matrix);
  if (!cholesky.isPositiveDefinite()) return undefined;
  const root = cholesky.lowerTriangularMatrix;
  let logDeterminant = 0;
  for (let i = 0; i < root.rows; i += 1) logDeterminant += 2 * Math.log(root.get(i, i));
  const inverse = cholesky.solve(Matrix.eye(matrix.rows));
  symmetrise(inverse);
  return { inverse, logDeterminant, solve: (column) => cholesky.solve(column) };
}

/** Makes both halves of a nearly symmetric matrix equal, in place. */
export function symmetrise(matrix: Matrix): void {
  for (let i = 0; i < matrix.rows; i += 1)
    for (let j = 0; j < i; j += 1) {
      const mean = (matrix.get(i, j) + matrix.get(j, i)) / 2;
      matrix.set(i, j, mean);
      matrix.set(j, i, mean);
    }
}
