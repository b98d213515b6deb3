import { type Batch, type BatchFacts, columnsOf, findBatch } from './batches.js';
import type { Records } from './database.js';

export interface ChangeEntry {
  readonly community: string;
  readonly number: number;
  readonly changedBy: string;
  readonly interaction: string;
  readonly now: Date;
}

/**
 * Replaces what is known of a batch by `facts` and keeps what was there before. A second entry with the same
 * interaction changes nothing. Answers with the batch as it stands, or undefined when there is none.
 */
export async function correctBatch(
  db: Records,
  entry: ChangeEntry,
  facts: (before: Batch) => BatchFacts,
): Promise<Batch | undefined> {
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
export async function removeBatch(db: Records, entry: ChangeEntry): Promise<Batch | undefined> {
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
): Promise<Batch | undefined> {
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
      .select('change')
      .where('community_id', '=', entry.community)
      .where('interaction', '=', entry.interaction)
      .executeTakeFirst();
    if (!before || repeated) return before;
    const after = change(before);
    await apply(tx, after);
    await tx
      .insertInto('batch_changes')
      .values({
        community_id: entry.community,
        number: entry.number,
        change: before.changes + 1,
        changed_by: entry.changedBy,
        changed_at: entry.now,
        interaction: entry.interaction,
        before: JSON.stringify(columnsOf(before)),
        after: JSON.stringify({ ...columnsOf(after), ...mark }),
      })
      .execute();
    return { ...before, ...after, changes: before.changes + 1 };
  });
}

/** What was changed in a batch, oldest first. */
export async function batchHistory(
  db: Records,
  community: string,
  number: number,
): Promise<
  readonly {
    readonly changedBy: string;
    readonly changedAt: Date;
    readonly before: Readonly<Record<string, unknown>>;
    readonly after: Readonly<Record<string, unknown>>;
  }[]
> {
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
