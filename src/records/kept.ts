import { LRUCache } from 'lru-cache';
import type { Records } from './database.js';

/** So many results are kept at once unless said otherwise; those asked for least lately go first. */
const MOST_KEPT = 100;

interface Kept<T> {
  readonly revision: number;
  readonly value: Promise<T>;
}

/**
 * Keeps what `work` makes of a community's batches, for each of its further arguments, until a batch is logged, corrected
 * or removed, or what counts is changed, by whatever process. What failed is not kept.
 */
export function keptWhileUnchanged<T, About extends readonly string[]>(
  work: (db: Records, community: string, ...about: About) => Promise<T>,
  mostKept = MOST_KEPT,
): (db: Records, community: string, ...about: About) => Promise<T> {
  const byRecords = new WeakMap<Records, LRUCache<string, Kept<T>>>();
  return async (db, community, ...about) => {
    const key = JSON.stringify([community, ...about]);
    // Asked before the work begins: what is kept may be newer than its revision, never older.
    const revision = await revisionOf(db, community);
    const cache = byRecords.get(db) ?? new LRUCache<string, Kept<T>>({ max: mostKept });
    byRecords.set(db, cache);
    const kept = cache.get(key);
    if (kept?.revision === revision) return kept.value;
    const value = work(db, community, ...about);
    cache.set(key, { revision, value });
    value.catch(() => {
      if (cache.peek(key)?.value === value) cache.delete(key);
    });
    return value;
  };
}

interface Reading {
  readonly communities: Set<string>;
  readonly revisions: Promise<ReadonlyMap<string, number>>;
}

const reading = new WeakMap<Records, Reading>();

/** Those who ask at the same moment share a read. It begins after the last of them has asked, so nobody hears of an older revision. */
async function revisionOf(db: Records, community: string): Promise<number> {
  const shared = reading.get(db) ?? startReading(db);
  shared.communities.add(community);
  return (await shared.revisions).get(community) ?? 0;
}

function startReading(db: Records): Reading {
  const communities = new Set<string>();
  const revisions = Promise.resolve().then(() => {
    reading.delete(db);
    return readRevisions(db, [...communities]);
  });
  const started = { communities, revisions };
  reading.set(db, started);
  return started;
}

async function readRevisions(
  db: Records,
  communities: readonly string[],
): Promise<ReadonlyMap<string, number>> {
  const rows = await db
    .selectFrom('communities')
    .select(['community_id', 'revision'])
    .where('community_id', 'in', communities)
    .execute();
  return new Map(rows.map(({ community_id, revision }) => [community_id, revision]));
}
