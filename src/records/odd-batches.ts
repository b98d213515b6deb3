import { sql } from 'kysely';
import { IMPOSSIBLE_YIELD } from '../cooking/blends/tallow.js';
import { observationOf } from '../statistics/model/batch-design.js';
import { type Oddity, oddBatches } from '../statistics/questions/odd-batches.js';
import type { Records } from './database.js';
import { MODEL_DESIGN } from './model-sums.js';
import { countedBatches } from './pooled-sums.js';

/** A batch that is probably a typing error or a wet disc. */
export interface NumberedOddity {
  readonly number: number;
  readonly memberId: string;
  readonly method: string;
  readonly cut: string;
  readonly fatG: number;
  readonly tallowG: number;
  readonly finishedAt: Date;
  readonly oddity: Oddity;
}

export type OddBatches =
  | { readonly kind: 'judged'; readonly odd: readonly NumberedOddity[] }
  /** More batches than are judged one by one while somebody waits. */
  | { readonly kind: 'too-many' };

/** Judging is the one thing here that looks at single batches; beyond so many it would take too long. */
export const MOST_JUDGED = 20_000;

/** What a batch without a time is taken to have taken when no other by its method says. */
const USUAL_MINUTES = 240;

/**
 * The batches of a community that look like mistakes, among those that count. All methods are judged together, each
 * batch against its own cook; one that says no time as if it had taken as long as its method usually does.
 */
export async function findOddBatches(
  db: Records,
  community: string,
  mostJudged = MOST_JUDGED,
): Promise<OddBatches> {
  if (await hasMoreThan(db, community, mostJudged)) return { kind: 'too-many' };
  const rows = await countedBatches(db, community, {})
    .select(['number', 'member_id', 'method', 'cut', 'fat_g', 'tallow_g', 'minutes'])
    .execute();
  const usual = usualMinutes(rows);
  const batches = rows.map((row) => ({
    number: row.number,
    memberId: row.member_id,
    method: row.method,
    cut: row.cut,
    fatG: row.fat_g,
    tallowG: row.tallow_g ?? 0,
    minutes: row.minutes ?? usual.get(row.method) ?? USUAL_MINUTES,
  }));
  const observations = batches.map((batch) => observationOf({ ...batch, member: batch.memberId }));
  const odd = oddBatches(MODEL_DESIGN, observations, IMPOSSIBLE_YIELD).flatMap(({ index, oddity }) => {
    const batch = batches[index];
    return batch ? [{ ...batch, oddity }] : [];
  });
  if (odd.length === 0) return { kind: 'judged', odd: [] };
  const finished = await finishedAt(
    db,
    community,
    odd.map(({ number }) => number),
  );
  return {
    kind: 'judged',
    odd: odd
      .map((batch) => ({ ...batch, finishedAt: finished.get(batch.number) ?? new Date(0) }))
      .sort((one, other) => one.number - other.number),
  };
}

/** When these batches were finished; asked of the few that matter, as a thousand dates take longer than a thousand numbers. */
async function finishedAt(
  db: Records,
  community: string,
  numbers: readonly number[],
): Promise<ReadonlyMap<number, Date | null>> {
  const rows = await db
    .selectFrom('batches')
    .select(['number', 'finished_at'])
    .where('community_id', '=', community)
    .where('number', 'in', numbers)
    .execute();
  return new Map(rows.map(({ number, finished_at }) => [number, finished_at]));
}

/** Counts no further than it must, and not at all where so many were never logged. */
async function hasMoreThan(db: Records, community: string, most: number): Promise<boolean> {
  const known = await db
    .selectFrom('communities')
    .select('last_batch')
    .where('community_id', '=', community)
    .executeTakeFirst();
  if (known === undefined || known.last_batch <= most) return false;
  const { batches } = await db
    .selectFrom(
      countedBatches(db, community, {})
        .select('batches.number')
        .limit(most + 1)
        .as('some'),
    )
    .select((e) => e.fn.countAll<number>().as('batches'))
    .executeTakeFirstOrThrow();
  return batches > most;
}

/** Whether they count in the community's figures; they do unless somebody who manages it has said otherwise. */
export async function countsOddBatches(db: Records, community: string): Promise<boolean> {
  const row = await db
    .selectFrom('communities')
    .select('counts_odd_batches')
    .where('community_id', '=', community)
    .executeTakeFirst();
  return row?.counts_odd_batches ?? true;
}

export async function setCountsOddBatches(
  db: Records,
  community: string,
  counts: boolean,
  now: Date,
): Promise<void> {
  await db
    .insertInto('communities')
    .values({ community_id: community, created_at: now, counts_odd_batches: counts })
    .onConflict((c) =>
      c.column('community_id').doUpdateSet({
        counts_odd_batches: counts,
        revision: sql<number>`nextval('revisions')`,
      }),
    )
    .execute();
}

function usualMinutes(
  batches: readonly { readonly method: string; readonly minutes: number | null }[],
): ReadonlyMap<string, number> {
  const sums = new Map<string, { minutes: number; batches: number }>();
  for (const { method, minutes } of batches) {
    if (minutes === null) continue;
    const sum = sums.get(method) ?? { minutes: 0, batches: 0 };
    sums.set(method, { minutes: sum.minutes + minutes, batches: sum.batches + 1 });
  }
  return new Map([...sums].map(([method, sum]) => [method, sum.minutes / sum.batches]));
}
