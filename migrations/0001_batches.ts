import { type Kysely, sql } from 'kysely';

/** Communities, their members, their batches with every correction, drafts behind buttons, and what must be sent unasked. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await db.schema
    .createTable('communities')
    .addColumn('community_id', 'text', (c) => c.primaryKey())
    .addColumn('last_batch', 'integer', (c) => c.notNull().defaultTo(0))
    .addColumn('weekly_channel', 'text')
    .addColumn('weekly_day', 'integer', (c) => c.check(sql`weekly_day between 1 and 7`))
    .addColumn('weekly_hour', 'integer', (c) => c.check(sql`weekly_hour between 0 and 23`))
    .addColumn('weekly_zone', 'text')
    .addColumn('weekly_next', 'timestamptz')
    .addColumn('created_at', 'timestamptz', (c) => c.notNull())
    .addCheckConstraint(
      'communities_weekly_whole',
      sql`num_nulls(weekly_channel, weekly_day, weekly_hour, weekly_zone, weekly_next) in (0, 5)`,
    )
    .execute();

  await sql`create index communities_weekly on communities (weekly_next) where weekly_next is not null`.execute(
    db,
  );

  await db.schema
    .createTable('members')
    .addColumn('community_id', 'text', (c) => c.notNull())
    .addColumn('member_id', 'text', (c) => c.notNull())
    .addColumn('name', 'text', (c) => c.notNull())
    .addColumn('pooled', 'boolean', (c) => c.notNull().defaultTo(true))
    .addColumn('created_at', 'timestamptz', (c) => c.notNull())
    .addPrimaryKeyConstraint('members_pk', ['community_id', 'member_id'])
    .addForeignKeyConstraint('members_community', ['community_id'], 'communities', ['community_id'], (c) =>
      c.onDelete('cascade'),
    )
    .execute();

  await db.schema
    .createTable('batches')
    .addColumn('community_id', 'text', (c) => c.notNull())
    .addColumn('number', 'integer', (c) => c.notNull())
    .addColumn('member_id', 'text', (c) => c.notNull())
    .addColumn('method', 'text', (c) =>
      c
        .notNull()
        .check(sql`method in ('open-pot', 'pressure', 'slow-cooker', 'stovetop-dry', 'oven', 'smoker')`),
    )
    .addColumn('cut', 'text', (c) => c.notNull().check(sql`cut in ('ground', 'minced', 'cubed')`))
    .addColumn('fat_g', 'double precision', (c) => c.notNull().check(sql`fat_g > 0 and fat_g <= 500000`))
    .addColumn('tallow_g', 'double precision', (c) => c.check(sql`tallow_g > 0 and tallow_g <= fat_g`))
    .addColumn('water_ml', 'double precision', (c) => c.check(sql`water_ml >= 0 and water_ml <= 2000000`))
    .addColumn('water_left_ml', 'double precision', (c) => c.check(sql`water_left_ml >= 0`))
    .addColumn('minutes', 'double precision', (c) => c.check(sql`minutes > 0 and minutes <= 10080`))
    .addColumn('weighed_as', 'text', (c) => c.check(sql`weighed_as in ('disc', 're-melted')`))
    .addColumn('taste', sql`text[]`, (c) => c.notNull().defaultTo(sql`'{}'::text[]`))
    .addColumn('note', 'text', (c) => c.check(sql`length(note) <= 500`))
    .addColumn('state', 'text', (c) =>
      c.notNull().check(sql`state in ('rendering', 'chilling', 'done', 'abandoned')`),
    )
    .addColumn('started_at', 'timestamptz')
    .addColumn('finished_at', 'timestamptz')
    .addColumn('logged_at', 'timestamptz', (c) => c.notNull())
    .addColumn('logged_by_interaction', 'text', (c) => c.notNull())
    .addColumn('removed_at', 'timestamptz')
    .addPrimaryKeyConstraint('batches_pk', ['community_id', 'number'])
    .addUniqueConstraint('batches_logged_once', ['community_id', 'logged_by_interaction'])
    .addForeignKeyConstraint(
      'batches_member',
      ['community_id', 'member_id'],
      'members',
      ['community_id', 'member_id'],
      (c) => c.onDelete('cascade'),
    )
    .addCheckConstraint(
      'batches_done_weighed',
      sql`state <> 'done' or (tallow_g is not null and finished_at is not null)`,
    )
    .execute();
  // Everything the pooled figures need, so that summing a large community reads the index alone.
  await sql`
    create index batches_pooling on batches (community_id, member_id)
      include (fat_g, tallow_g, method, cut, finished_at)
      where state = 'done' and removed_at is null`.execute(db);
  await db.schema
    .createIndex('batches_by_time')
    .on('batches')
    .columns(['community_id', 'finished_at'])
    .execute();

  await db.schema
    .createTable('batch_changes')
    .addColumn('community_id', 'text', (c) => c.notNull())
    .addColumn('number', 'integer', (c) => c.notNull())
    .addColumn('change', 'integer', (c) => c.notNull())
    .addColumn('changed_by', 'text', (c) => c.notNull())
    .addColumn('changed_at', 'timestamptz', (c) => c.notNull())
    .addColumn('interaction', 'text', (c) => c.notNull())
    .addColumn('before', 'jsonb', (c) => c.notNull())
    .addColumn('after', 'jsonb', (c) => c.notNull())
    .addPrimaryKeyConstraint('batch_changes_pk', ['community_id', 'number', 'change'])
    .addUniqueConstraint('batch_changes_once', ['community_id', 'interaction'])
    .addForeignKeyConstraint(
      'batch_changes_batch',
      ['community_id', 'number'],
      'batches',
      ['community_id', 'number'],
      (c) => c.onDelete('cascade'),
    )
    .execute();

  await db.schema
    .createTable('drafts')
    .addColumn('community_id', 'text', (c) => c.notNull())
    .addColumn('draft_id', 'text', (c) => c.notNull())
    .addColumn('member_id', 'text', (c) => c.notNull())
    .addColumn('body', 'jsonb', (c) => c.notNull())
    .addColumn('created_at', 'timestamptz', (c) => c.notNull())
    .addPrimaryKeyConstraint('drafts_pk', ['community_id', 'draft_id'])
    .addForeignKeyConstraint('drafts_community', ['community_id'], 'communities', ['community_id'], (c) =>
      c.onDelete('cascade'),
    )
    .execute();

  await db.schema
    .createTable('deliveries')
    .addColumn('community_id', 'text', (c) => c.notNull())
    .addColumn('kind', 'text', (c) => c.notNull().check(sql`kind in ('weekly', 'reminder')`))
    .addColumn('about', 'text', (c) => c.notNull())
    .addColumn('channel', 'text', (c) => c.notNull())
    .addColumn('due_at', 'timestamptz', (c) => c.notNull())
    .addColumn('state', 'text', (c) =>
      c.notNull().defaultTo('due').check(sql`state in ('due', 'sent', 'closed', 'folded')`),
    )
    .addColumn('nonce', 'text', (c) => c.notNull())
    .addColumn('attempts', 'integer', (c) => c.notNull().defaultTo(0))
    .addColumn('claimed_by', 'text')
    .addColumn('claimed_until', 'timestamptz')
    .addColumn('first_claimed_at', 'timestamptz')
    .addColumn('sent_at', 'timestamptz')
    .addColumn('message', 'text')
    .addColumn('caution', 'text')
    .addColumn('last_error', 'text')
    .addPrimaryKeyConstraint('deliveries_pk', ['community_id', 'kind', 'about'])
    .addForeignKeyConstraint('deliveries_community', ['community_id'], 'communities', ['community_id'], (c) =>
      c.onDelete('cascade'),
    )
    .execute();
  await sql`create index deliveries_due on deliveries (due_at) where state = 'due'`.execute(db);
}

export async function down(db: Kysely<unknown>): Promise<void> {
  for (const table of ['deliveries', 'drafts', 'batch_changes', 'batches', 'members', 'communities']) {
    await db.schema.dropTable(table).execute();
  }
}
