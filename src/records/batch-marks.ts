import { sql } from 'kysely';
import type { Records } from './database.js';
import { countedBatches, type PoolFilter } from './pooled-sums.js';

// Single batches as marks in a picture: the newest that count, since more marks than these would hide one another.

const MOST_MARKS = 600;
const MOST_OWN = 200;
const MOST_OTHERS = 400;

export interface BatchMark {
  readonly method: string;
  readonly cut: string;
  readonly fatG: number;
  readonly yield: number;
  readonly minutes: number | null;
}

export async function batchMarks(
  db: Records,
  community: string,
  filter: PoolFilter,
  most = MOST_MARKS,
): Promise<readonly BatchMark[]> {
  return marksOf(db, community, filter)
    .select(['batches.method', 'batches.cut', 'batches.minutes'])
    .limit(most)
    .execute();
}

/** A batch in time, one's own or another's. */
export interface DatedBatch {
  readonly finishedAt: Date;
  readonly fatG: number;
  readonly yield: number;
  readonly own: boolean;
}

/** Everyone else's batches and then one member's own. */
export async function datedBatches(
  db: Records,
  community: string,
  member: string,
  filter: PoolFilter = {},
): Promise<readonly DatedBatch[]> {
  const newest = async (own: boolean) => {
    const marks = await marksOf(db, community, filter)
      .where('batches.member_id', own ? '=' : '<>', member)
      .select('batches.finished_at as finishedAt')
      .$narrowType<{ finishedAt: Date }>()
      .limit(own ? MOST_OWN : MOST_OTHERS)
      .execute();
    return marks.map((mark) => ({ ...mark, own }));
  };
  const [others, own] = await Promise.all([newest(false), newest(true)]);
  return [...others, ...own];
}

const marksOf = (db: Records, community: string, filter: PoolFilter) =>
  countedBatches(db, community, filter)
    .select(['batches.fat_g as fatG', sql<number>`batches.tallow_g / batches.fat_g`.as('yield')])
    .orderBy('batches.finished_at', 'desc');
