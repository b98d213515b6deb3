import { type Kysely, sql } from 'kysely';

/** What the weekly post needs besides the batches: near misses, who took a batch on, and posts that are asked for again. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await db.schema
    .alterTable('communities')
    .addColumn('weekly_skips_quiet', 'boolean', (c) => c.notNull().defaultTo(false))
    .addColumn('weekly_units', 'text', (c) => c.check(sql`weekly_units in ('us', 'metric')`))
    .execute();

  await db.schema
    .alterTable('deliveries')
    .addColumn('asked_at', 'timestamptz')
    .addColumn('managers_told_at', 'timestamptz')
    .execute();
  await sql`
    create index deliveries_untold on deliveries (due_at)
      where state = 'closed' and managers_told_at is null`.execute(db);

  await db.schema
    .createTable('near_misses')
    .addColumn('community_id', 'text', (c) => c.notNull())
    .addColumn('interaction', 'text', (c) => c.notNull())
    .addColumn('member_id', 'text', (c) => c.notNull())
    .addColumn('topic', 'text')
    .addColumn('report', 'text', (c) => c.notNull().check(sql`length(report) between 1 and 1000`))
    .addColumn('reported_at', 'timestamptz', (c) => c.notNull())
    .addColumn('managers_told_at', 'timestamptz')
    .addPrimaryKeyConstraint('near_misses_pk', ['community_id', 'interaction'])
    .addForeignKeyConstraint(
      'near_misses_member',
      ['community_id', 'member_id'],
      'members',
      ['community_id', 'member_id'],
      (c) => c.onDelete('cascade'),
    )
    .execute();
  await db.schema
    .createIndex('near_misses_by_time')
    .on('near_misses')
    .columns(['community_id', 'reported_at'])
    .execute();
  await sql`
    create index near_misses_untold on near_misses (reported_at) where managers_told_at is null`.execute(db);

  await db.schema
    .createTable('taken_on')
    .addColumn('community_id', 'text', (c) => c.notNull())
    .addColumn('member_id', 'text', (c) => c.notNull())
    .addColumn('method', 'text', (c) => c.notNull())
    .addColumn('cut', 'text', (c) => c.notNull())
    .addColumn('fat_g', 'double precision', (c) => c.notNull().check(sql`fat_g > 0`))
    .addColumn('taken_at', 'timestamptz', (c) => c.notNull())
    .addPrimaryKeyConstraint('taken_on_pk', ['community_id', 'member_id', 'method', 'cut', 'fat_g'])
    .addForeignKeyConstraint(
      'taken_on_member',
      ['community_id', 'member_id'],
      'members',
      ['community_id', 'member_id'],
      (c) => c.onDelete('cascade'),
    )
    .execute();
}

export async function down(db: Kysely<unknown>): Promise<void> {
  await db.schema.dropTable('taken_on').execute();
  await db.schema.dropTable('near_misses').execute();
  await sql`drop index deliveries_untold`.execute(db);
  await db.schema.alterTable('deliveries').dropColumn('managers_told_at').dropColumn('asked_at').execute();
  await db.schema
    .alterTable('communities')
    .dropColumn('weekly_units')
    .dropColumn('weekly_skips_quiet')
    .execute();
}
