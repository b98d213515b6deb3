import { LRUCache } from 'lru-cache';
import type { Records } from './database.js';

/** Communities for which something is kept at once; those asked least lately go first. */
const MOST_KEPT = 100;

interface Kept<T> {
  readonly revision: number;
  readonly value: Promise<T>;
}

/**
 * Keeps what `work` makes of a community's batches until a batch is logged, corrected or removed, or what counts is
 * changed, by whatever process. What failed is not kept.
 */
export function keptWhileUnchanged<T>(
  work: (db: Records, community: string) => Promise<T>,
): (db: Records, community: string) => Promise<T> {
  const byRecords = new WeakMap<Records, LRUCache<string, Kept<T>>>();
  return async (db, community) => {
    // Asked before the work begins: what is kept may be newer than its revision, never older.
    const revision = await revisionOf(db, community);
    const cache = byRecords.get(db) ?? new LRUCache<string, Kept<T>>({ max: MOST_KEPT });
    byRecords.set(db, cache);
    const kept = cache.get(community);
    if (kept?.revision === revision) return kept.value;
    const value = work(db, community);
    cache.set(community, { revision, value });
    value.catch(() => {
      if (cache.peek(community)?.value === value) cache.delete(community);
    });
    return value;
  };
}

async function revisionOf(db: Records, community: string): Promise<number> {
  const row = await db
    .selectFrom('communities')
    .select('revision')
    .where('community_id', '=', community)
    .executeTakeFirst();
  return row?.revision ?? 0;
}
