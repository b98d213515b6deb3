import type { Kysely } from 'kysely';

/** When managers were last sought without anybody being reached; empty once somebody was. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await db.schema.alterTable('communities').addColumn('managers_unreached_at', 'timestamptz').execute();
}

export async function down(db: Kysely<unknown>): Promise<void> {
  await db.schema.alterTable('communities').dropColumn('managers_unreached_at').execute();
}
