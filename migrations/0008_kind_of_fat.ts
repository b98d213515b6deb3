import { type Kysely, sql } from 'kysely';

/** What the fat of a batch was, and how much lean was left on it. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await db.schema
    .alterTable('batches')
    .addColumn('kind', 'text', (c) => c.check(sql`kind in ('trimmings', 'suet')`))
    .addColumn('lean_fraction', 'double precision', (c) =>
      c.check(sql`lean_fraction >= 0 and lean_fraction < 1`),
    )
    .execute();
}

export async function down(db: Kysely<unknown>): Promise<void> {
  await db.schema.alterTable('batches').dropColumn('kind').dropColumn('lean_fraction').execute();
}
