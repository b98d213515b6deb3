import { sql } from 'kysely';
import type { Records } from './database.js';
import { countedBatches, type PoolFilter } from './pooled-sums.js';

/** One batch as a mark in a picture. */
export interface BatchMark {
  readonly method: string;
  readonly cut: string;
  readonly fatG: number;
  readonly yield: number;
  readonly minutes: number | null;
}

/** The newest batches that count, for a picture: more marks than this would hide one another. */
export async function batchMarks(
  db: Records,
  community: string,
  filter: PoolFilter,
  most = 600,
): Promise<readonly BatchMark[]> {
  return countedBatches(db, community, filter)
    .select([
      'batches.method',
      'batches.cut',
      'batches.fat_g as fatG',
      'batches.minutes',
      sql<number>`batches.tallow_g / batches.fat_g`.as('yield'),
    ])
    .orderBy('batches.finished_at', 'desc')
    .limit(most)
    .execute();
}
