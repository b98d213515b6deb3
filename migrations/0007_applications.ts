import type { Kysely } from 'kysely';

/**
 * Which bot sends a message: several may share one database, and each sends only what was asked of it. Rows from before
 * name none.
 */
export async function up(db: Kysely<unknown>): Promise<void> {
  await db.schema.alterTable('communities').addColumn('weekly_application', 'text').execute();
  for (const table of ['deliveries', 'near_misses'])
    await db.schema.alterTable(table).addColumn('application', 'text').execute();
}

export async function down(db: Kysely<unknown>): Promise<void> {
  for (const table of ['near_misses', 'deliveries'])
    await db.schema.alterTable(table).dropColumn('application').execute();
  await db.schema.alterTable('communities').dropColumn('weekly_application').execute();
}
