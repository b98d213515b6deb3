import type { Kysely } from 'kysely';

/** Whether batches that look like mistakes count in a community's figures. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await db.schema
    .alterTable('communities')
    .addColumn('counts_odd_batches', 'boolean', (c) => c.notNull().defaultTo(true))
    .execute();
}

export async function down(db: Kysely<unknown>): Promise<void> {
  await db.schema.alterTable('communities').dropColumn('counts_odd_batches').execute();
}
