import { type Batch, type BatchFacts, columnsOf, findBatch } from './batches.js';
import type { Records } from './database.js';

export interface ChangeEntry {
  readonly community: string;
  readonly number: number;
  readonly changedBy: string;
  readonly interaction: string;
  readonly now: Date;
}

/** A batch before and after a change, by the columns that hold it. */
export interface RecordedChange {
  readonly before: Readonly<Record<string, unknown>>;
  readonly after: Readonly<Record<string, unknown>>;
}

export interface Change {
  /** As it stands. */
  readonly batch: Batch;
  /** Undefined when the batch said all that already. */
  readonly recorded: RecordedChange | undefined;
}

/**
 * Replaces what is known of a batch by `facts` and keeps what was there before; facts that are the same as before are
 * not recorded. A second entry with the same interaction changes nothing. Undefined when there is no such batch.
 */
export async function correctBatch(
  db: Records,
  entry: ChangeEntry,
  facts: (before: Batch) => BatchFacts,
): Promise<Change | undefined> {
  return changeBatch(db, entry, facts, async (tx, after) => {
    await tx
      .updateTable('batches')
      .set(columnsOf(after))
      .where('community_id', '=', entry.community)
      .where('number', '=', entry.number)
      .execute();
  });
}

/** Hides a batch from every list and figure; its history stays. Answers with the batch as it was. */
export async function removeBatch(db: Records, entry: ChangeEntry): Promise<Change | undefined> {
  return changeBatch(
    db,
    entry,
    (before) => before,
    async (tx) => {
      await tx
        .updateTable('batches')
        .set({ removed_at: entry.now })
        .where('community_id', '=', entry.community)
        .where('number', '=', entry.number)
        .execute();
    },
    { removed: true },
  );
}

async function changeBatch(
  db: Records,
  entry: ChangeEntry,
  change: (before: Batch) => BatchFacts,
  apply: (tx: Records, after: BatchFacts) => Promise<void>,
  mark: Readonly<Record<string, unknown>> = {},
): Promise<Change | undefined> {
  return db.transaction().execute(async (tx) => {
    await tx
      .selectFrom('batches')
      .select('number')
      .where('community_id', '=', entry.community)
      .where('number', '=', entry.number)
      .forUpdate()
      .execute();
    const before = await findBatch(tx, entry.community, entry.number);
    const repeated = await tx
      .selectFrom('batch_changes')
      .select(['before', 'after'])
      .where('community_id', '=', entry.community)
      .where('interaction', '=', entry.interaction)
      .executeTakeFirst();
    if (!before) return undefined;
    if (repeated) return { batch: before, recorded: repeated };
    const after = change(before);
    const [was, is] = [JSON.stringify(columnsOf(before)), JSON.stringify({ ...columnsOf(after), ...mark })];
    if (was === is) return { batch: before, recorded: undefined };
    await apply(tx, after);
    const recorded = await tx
      .insertInto('batch_changes')
      .values({
        community_id: entry.community,
        number: entry.number,
        change: before.changes + 1,
        changed_by: entry.changedBy,
        changed_at: entry.now,
        interaction: entry.interaction,
        before: was,
        after: is,
      })
      .returning(['before', 'after'])
      .executeTakeFirstOrThrow();
    return { batch: { ...before, ...after, changes: before.changes + 1 }, recorded };
  });
}

/** The number of the batch that an interaction has logged, corrected or removed already, if it has. */
export async function batchEntered(
  db: Records,
  community: string,
  interaction: string,
): Promise<number | undefined> {
  const [logged, changed] = await Promise.all([
    db
      .selectFrom('batches')
      .select('number')
      .where('community_id', '=', community)
      .where('logged_by_interaction', '=', interaction)
      .executeTakeFirst(),
    db
      .selectFrom('batch_changes')
      .select('number')
      .where('community_id', '=', community)
      .where('interaction', '=', interaction)
      .executeTakeFirst(),
  ]);
  return logged?.number ?? changed?.number;
}

/** What was changed in a batch, oldest first. */
export async function batchHistory(
  db: Records,
  community: string,
  number: number,
): Promise<readonly (RecordedChange & { readonly changedBy: string; readonly changedAt: Date })[]> {
  const rows = await db
    .selectFrom('batch_changes')
    .select(['changed_by', 'changed_at', 'before', 'after'])
    .where('community_id', '=', community)
    .where('number', '=', number)
    .orderBy('change')
    .execute();
  return rows.map((row) => ({
    changedBy: row.changed_by,
    changedAt: row.changed_at,
    before: row.before,
    after: row.after,
  }));
}
