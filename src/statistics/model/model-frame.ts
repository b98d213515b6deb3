import { Matrix } from 'ml-matrix';
import { type Packed, packedLength } from '../algebra/packed.js';
import { type RankWalk, walkRank } from '../algebra/rank.js';
import { type Design, fullWidth, type ModelColumn, modelColumns } from './design.js';
import { type FitSums, fitSums, type SizeGroup } from './reml.js';
import { columnCounts, type ModelSums, triangleIndex, type UpperTriangle } from './sufficient-statistics.js';

/** Which columns the model of these batches has, before anything is estimated. */
export interface ModelFrame {
  readonly design: Design;
  /** Number of batches in each full column of the design. */
  readonly counts: readonly number[];
  /** Columns of the model, aliased ones included. */
  readonly columns: readonly ModelColumn[];
  /** Which columns are kept, and of what the others consist. */
  readonly rank: RankWalk;
  /** Mean of each covariate over the batches, not shifted, in the order of the design. */
  readonly covariateMeans: readonly number[];
}

/** The columns for the levels that occur, and which of them can be told apart. */
export function modelFrame(sums: Pick<ModelSums, 'design' | 'total'>): ModelFrame {
  const counts = columnCounts(sums);
  const columns = modelColumns(sums.design, counts);
  const rank = walkRank(productsOf(sums.design, columns, sums.total.xx));
  return { design: sums.design, counts, columns, rank, covariateMeans: covariateMeans(sums) };
}

/** The columns of a model that are kept. */
export function keptColumns({ columns, rank }: ModelFrame): readonly ModelColumn[] {
  return rank.kept.flatMap((position) => columns[position] ?? []);
}

/** The sums in the columns that are kept. */
export function sumsOfKept({ design, total, groups }: ModelSums, frame: ModelFrame): FitSums {
  const kept = keptColumns(frame).map(({ fullColumn }) => fullColumn);
  const products = groups.map(
    ({ batches, members, ss, st, tt }): SizeGroup => ({
      batches,
      members,
      products: augmented(design, kept, ss, st, tt),
    }),
  );
  return fitSums(total.batches, kept.length, augmented(design, kept, total.xx, total.xy, total.yy), products);
}

/** Mean of each covariate over the batches, not shifted, in the order of the design. */
export function covariateMeans({ design, total }: Pick<ModelSums, 'design' | 'total'>): readonly number[] {
  const first = fullWidth(design) - design.covariates.length;
  return design.covariates.map(({ shift }, c) => shift + (total.xx[first + c] ?? Number.NaN) / total.batches);
}

/** The part of a matrix over full columns that belongs to these columns of the model. */
export function productsOf(design: Design, columns: readonly ModelColumn[], full: UpperTriangle): Matrix {
  const width = fullWidth(design);
  const products = Matrix.zeros(columns.length, columns.length);
  for (const [a, { fullColumn: i }] of columns.entries())
    for (const [b, { fullColumn: j }] of columns.entries())
      products.set(a, b, full[triangleIndex(width, i, j)] ?? Number.NaN);
  return products;
}

/** Cross-products of the chosen full columns with the response as one more column at the end. */
function augmented(
  design: Design,
  columns: readonly number[],
  xx: readonly number[],
  xy: readonly number[],
  yy: number,
): Packed {
  const width = fullWidth(design);
  const packed = new Float64Array(packedLength(columns.length + 1));
  let at = 0;
  for (const [a, i] of columns.entries()) {
    for (let b = a; b < columns.length; b += 1)
      packed[at++] = xx[triangleIndex(width, i, columns[b] ?? 0)] ?? Number.NaN;
    packed[at++] = xy[i] ?? Number.NaN;
  }
  packed[at] = yy;
  return packed;
}
