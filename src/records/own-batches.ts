import { sql } from 'kysely';
import type { Records } from './database.js';
import { countedBatches, type PoolFilter } from './pooled-sums.js';

/** One batch in time, one's own or another's. */
export interface DatedBatch {
  readonly finishedAt: Date;
  readonly fatG: number;
  readonly yield: number;
  readonly own: boolean;
}

/** More marks than this hide one another. */
const MOST_OWN = 200;
const MOST_OTHERS = 400;

/** The newest batches that count of one member, and the newest of everyone else, for a picture over time. */
export async function datedBatches(
  db: Records,
  community: string,
  member: string,
  filter: PoolFilter = {},
): Promise<readonly DatedBatch[]> {
  const newest = (own: boolean) =>
    countedBatches(db, community, filter)
      .where('batches.member_id', own ? '=' : '<>', member)
      .select([
        'batches.finished_at as finishedAt',
        'batches.fat_g as fatG',
        sql<number>`batches.tallow_g / batches.fat_g`.as('yield'),
      ])
      .orderBy('batches.finished_at', 'desc')
      .limit(own ? MOST_OWN : MOST_OTHERS)
      .execute();
  const [own, others] = await Promise.all([newest(true), newest(false)]);
  return [
    ...others.map((batch) => ({ ...batch, finishedAt: batch.finishedAt ?? new Date(0), own: false })),
    ...own.map((batch) => ({ ...batch, finishedAt: batch.finishedAt ?? new Date(0), own: true })),
  ];
}
