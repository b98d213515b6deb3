import type { Batch } from '../../src/records/batches.js';

/** Tallow over raw fat, by weight. */
export const yieldOf = ({ fatG, tallowG }: Pick<Batch, 'fatG' | 'tallowG'>): number => tallowG / fatG;

/** The figures that every answer about one batch has. */
export const batchFigures = ({ number, fatG, tallowG }: Batch) => ({
  batch: number,
  fatG,
  tallowG,
  yield: yieldOf({ fatG, tallowG }),
});
