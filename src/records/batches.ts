import { sql } from 'kysely';
import { type Cut, isCut, isMethod, type Method } from '../words/methods.js';
import type { Records } from './database.js';
import { rememberMember } from './members.js';
import type { BatchesTable } from './schema.js';
import { findTwin, type Twin } from './twins.js';

/** What a member says of a finished batch. */
export interface BatchFacts {
  readonly method: Method;
  readonly cut: Cut;
  readonly fatG: number;
  readonly tallowG: number;
  readonly waterMl: number | undefined;
  readonly waterLeftMl: number | undefined;
  readonly minutes: number | undefined;
  readonly weighedAs: 'disc' | 're-melted' | undefined;
  readonly taste: readonly string[];
  readonly note: string | undefined;
  readonly finishedAt: Date;
}

export interface Batch extends BatchFacts {
  readonly number: number;
  readonly memberId: string;
  readonly memberName: string;
  readonly changes: number;
}

export interface LogEntry {
  readonly community: string;
  readonly member: { readonly id: string; readonly name: string };
  readonly interaction: string;
  readonly now: Date;
  readonly facts: BatchFacts;
  /** Store it although it looks like one that was logged a moment ago. */
  readonly evenIfTwin?: boolean;
}

export type Logged =
  | { readonly kind: 'logged'; readonly batch: Batch }
  /** The same interaction had stored it. */
  | { readonly kind: 'logged before'; readonly number: number }
  /** It looks like this one. Nothing was stored. */
  | { readonly kind: 'twin'; readonly twin: Twin };

/**
 * Stores a finished batch under the community's next number, once: a second entry with the same interaction stores
 * nothing, nor does one that looks like another from a moment ago.
 */
export async function logBatch(db: Records, entry: LogEntry): Promise<Logged> {
  const { community, member, facts } = entry;
  return db.transaction().execute(async (tx) => {
    await rememberMember(tx, community, member, entry.now);
    // This lock makes numbers consecutive and decides who of two entries that are the same, or look it, comes first.
    const { last_batch } = await tx
      .selectFrom('communities')
      .select('last_batch')
      .where('community_id', '=', community)
      .forNoKeyUpdate()
      .executeTakeFirstOrThrow();
    const known = await tx
      .selectFrom('batches')
      .select('number')
      .where('community_id', '=', community)
      .where('logged_by_interaction', '=', entry.interaction)
      .executeTakeFirst();
    if (known) return { kind: 'logged before', number: known.number };
    const like = { ...facts, community, memberId: member.id };
    const twin = entry.evenIfTwin ? undefined : await findTwin(tx, like, entry.now);
    if (twin) return { kind: 'twin', twin };
    const number = last_batch + 1;
    await tx
      .updateTable('communities')
      .set({ last_batch: number })
      .where('community_id', '=', community)
      .execute();
    await tx
      .insertInto('batches')
      .values({
        community_id: community,
        number,
        member_id: member.id,
        ...columnsOf(facts),
        state: 'done',
        logged_at: entry.now,
        logged_by_interaction: entry.interaction,
      })
      .execute();
    const batch = { ...facts, number, memberId: member.id, memberName: member.name, changes: 0 };
    return { kind: 'logged', batch };
  });
}

/** A batch that was not removed, or undefined. */
export async function findBatch(db: Records, community: string, number: number): Promise<Batch | undefined> {
  const row = await selectBatches(db, community).where('batches.number', '=', number).executeTakeFirst();
  return row && batchOf(row);
}

export interface BatchFilter {
  readonly member?: string | undefined;
  readonly method?: string | undefined;
  readonly cut?: string | undefined;
}

/** The newest batches first, and how many there are in all. */
export async function listBatches(
  db: Records,
  community: string,
  filter: BatchFilter,
  most: number,
): Promise<{ readonly batches: readonly Batch[]; readonly total: number }> {
  const rows = await selectBatches(db, community)
    .select(sql<number>`count(*) over ()`.as('total'))
    .$if(filter.member !== undefined, (q) => q.where('batches.member_id', '=', filter.member ?? ''))
    .$if(filter.method !== undefined, (q) => q.where('batches.method', '=', filter.method ?? ''))
    .$if(filter.cut !== undefined, (q) => q.where('batches.cut', '=', filter.cut ?? ''))
    .orderBy('batches.finished_at', 'desc')
    .orderBy('batches.number', 'desc')
    .limit(most)
    .execute();
  return { batches: rows.map(batchOf), total: rows[0]?.total ?? 0 };
}

function selectBatches(db: Records, community: string) {
  return db
    .selectFrom('batches')
    .innerJoin('members', (join) =>
      join
        .onRef('members.community_id', '=', 'batches.community_id')
        .onRef('members.member_id', '=', 'batches.member_id'),
    )
    .selectAll('batches')
    .select('members.name as member_name')
    .select((e) =>
      e
        .selectFrom('batch_changes')
        .select((c) => c.fn.countAll<number>().as('changes'))
        .whereRef('batch_changes.community_id', '=', 'batches.community_id')
        .whereRef('batch_changes.number', '=', 'batches.number')
        .as('changes'),
    )
    .where('batches.community_id', '=', community)
    .where('batches.state', '=', 'done')
    .where('batches.removed_at', 'is', null);
}

type BatchRow = Awaited<ReturnType<ReturnType<typeof selectBatches>['execute']>>[number];

function batchOf(row: BatchRow): Batch {
  if (row.tallow_g === null || row.finished_at === null) {
    throw new Error(`batch ${row.number} is done without a weight or a date`);
  }
  if (!isMethod(row.method) || !isCut(row.cut)) {
    throw new Error(`batch ${row.number} has the method ${row.method} and the cut ${row.cut}`);
  }
  return {
    number: row.number,
    memberId: row.member_id,
    memberName: row.member_name,
    method: row.method,
    cut: row.cut,
    fatG: row.fat_g,
    tallowG: row.tallow_g,
    waterMl: row.water_ml ?? undefined,
    waterLeftMl: row.water_left_ml ?? undefined,
    minutes: row.minutes ?? undefined,
    weighedAs: row.weighed_as === 'disc' || row.weighed_as === 're-melted' ? row.weighed_as : undefined,
    taste: row.taste,
    note: row.note ?? undefined,
    finishedAt: row.finished_at,
    changes: row.changes ?? 0,
  };
}

/** The columns that hold what the member said. */
export function columnsOf(facts: BatchFacts) {
  return {
    method: facts.method,
    cut: facts.cut,
    fat_g: facts.fatG,
    tallow_g: facts.tallowG,
    water_ml: facts.waterMl ?? null,
    water_left_ml: facts.waterLeftMl ?? null,
    minutes: facts.minutes ?? null,
    weighed_as: facts.weighedAs ?? null,
    taste: [...facts.taste],
    note: facts.note ?? null,
    finished_at: facts.finishedAt,
  } satisfies Partial<Record<keyof BatchesTable, unknown>>;
}
