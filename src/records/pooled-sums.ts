import { sql } from 'kysely';
import { YIELD_SHIFT } from '../statistics/model/batch-design.js';
import type { MemberSums } from '../statistics/model/member-sums.js';
import { isMethod, type Method } from '../words/methods.js';
import type { Records } from './database.js';

export interface PoolFilter {
  readonly method?: string | undefined;
  readonly cut?: string | undefined;
  /** Batches finished at or after this moment. */
  readonly from?: Date | undefined;
  /** Batches finished before this moment. */
  readonly until?: Date | undefined;
  /** Leaves these batches out. */
  readonly exceptNumbers?: readonly number[] | undefined;
}

/** What the pooled yield needs of one member, and the typical cook's besides. */
export interface PooledSums extends MemberSums {
  readonly member: string;
  /** Σ (yield − YIELD_SHIFT)² */
  readonly yieldSquares: number;
}

/**
 * One row of sums for each member whose batches count: what the pooled yield and its interval are computed from.
 * The batches themselves never leave the database.
 */
export async function pooledSums(
  db: Records,
  community: string,
  filter: PoolFilter,
): Promise<readonly PooledSums[]> {
  return countedBatches(db, community, filter).select(SUMS).groupBy('batches.member_id').execute();
}

/** The pooled sums of each method that was used, by method. */
export async function pooledSumsByMethod(
  db: Records,
  community: string,
  filter: PoolFilter,
): Promise<ReadonlyMap<Method, readonly PooledSums[]>> {
  const rows = await countedBatches(db, community, filter)
    .select(['batches.method', ...SUMS])
    .groupBy(['batches.method', 'batches.member_id'])
    .execute();
  const byMethod = new Map<Method, PooledSums[]>();
  for (const { method, ...sums } of rows) {
    if (!isMethod(method)) throw new Error(`a stored batch has the method ${method}`);
    byMethod.set(method, [...(byMethod.get(method) ?? []), sums]);
  }
  return byMethod;
}

const SUMS = [
  'batches.member_id as member',
  sql<number>`count(*)`.as('batches'),
  sql<number>`sum(fat_g)`.as('fatG'),
  sql<number>`sum(fat_g * fat_g)`.as('fatG2'),
  sql<number>`sum(tallow_g)`.as('tallowG'),
  sql<number>`sum(tallow_g / fat_g)`.as('yieldSum'),
  sql<number>`sum((tallow_g / fat_g - ${sql.lit(YIELD_SHIFT)}) ^ 2)`.as('yieldSquares'),
] as const;

/** Finished batches that were not removed, of members who share theirs. */
export function countedBatches(db: Records, community: string, filter: PoolFilter) {
  const { method, cut, from, until, exceptNumbers = [] } = filter;
  return db
    .selectFrom('batches')
    .where('batches.community_id', '=', community)
    .where('batches.state', '=', 'done')
    .where('batches.removed_at', 'is', null)
    .where(({ not, exists, selectFrom }) =>
      not(
        exists(
          selectFrom('members')
            .select('members.member_id')
            .whereRef('members.community_id', '=', 'batches.community_id')
            .whereRef('members.member_id', '=', 'batches.member_id')
            .where('members.pooled', '=', false),
        ),
      ),
    )
    .$if(method !== undefined, (q) => q.where('batches.method', '=', method ?? ''))
    .$if(cut !== undefined, (q) => q.where('batches.cut', '=', cut ?? ''))
    .$if(from !== undefined, (q) => q.where('batches.finished_at', '>=', from ?? new Date(0)))
    .$if(until !== undefined, (q) => q.where('batches.finished_at', '<', until ?? new Date(0)))
    .$if(exceptNumbers.length > 0, (q) =>
      q.where(sql<boolean>`batches.number <> all(${[...exceptNumbers]}::integer[])`),
    );
}
