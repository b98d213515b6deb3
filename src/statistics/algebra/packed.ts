/**
 * Sums of cross-products kept as the upper triangle of a symmetric matrix, row by row, in one array: quick to add up
 * over many groups of members.
 */
import { Matrix } from 'ml-matrix';

export type Packed = Float64Array;

/** Number of entries of the triangle of a matrix of this width. */
export function packedLength(width: number): number {
  return (width * (width + 1)) / 2;
}

/** target + factor × source, in place. */
export function accumulate(target: Packed, source: Packed, factor: number): void {
  for (let k = 0; k < target.length; k += 1) target[k] = (target[k] ?? 0) + factor * (source[k] ?? 0);
}

/** The leading `size` rows and columns as a whole matrix. */
export function unpack(packed: Packed, width: number, size = width): Matrix {
  const matrix = Matrix.zeros(size, size);
  for (let i = 0, row = 0; i < size; row += width - i, i += 1)
    for (let j = i; j < size; j += 1) {
      const value = packed[row + j - i] ?? Number.NaN;
      matrix.set(i, j, value);
      matrix.set(j, i, value);
    }
  return matrix;
}

/** The last column without its last entry: X'y when y is the last column. */
export function lastColumn(packed: Packed, width: number): Matrix {
  const column = Matrix.zeros(width - 1, 1);
  for (let i = 0, row = 0; i < width - 1; row += width - i, i += 1)
    column.set(i, 0, packed[row + width - 1 - i] ?? Number.NaN);
  return column;
}

/** The entry in the last corner: y'y when y is the last column. */
export function lastEntry(packed: Packed): number {
  return packed[packed.length - 1] ?? Number.NaN;
}
