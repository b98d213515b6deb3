import { type Kysely, sql } from 'kysely';

/**
 * Blind tastings: what is compared, the codes and the order of every seat's cups, and who sits there with what they
 * answered. What came out is kept as counts, without names, once a tasting is closed.
 */
export async function up(db: Kysely<unknown>): Promise<void> {
  await db.schema
    .createTable('tastings')
    .addColumn('community_id', 'text', (c) => c.notNull())
    .addColumn('number', 'integer', (c) => c.notNull())
    .addColumn('kind', 'text', (c) => c.notNull().check(sql`kind in ('triangle', 'pair', 'ranking')`))
    .addColumn('products', 'jsonb', (c) => c.notNull())
    .addColumn('quality', 'text', (c) => c.check(sql`length(quality) <= 100`))
    .addColumn('expected', 'integer', (c) => c.check(sql`expected in (0, 1)`))
    .addColumn('planned', 'integer', (c) => c.notNull().check(sql`planned between 2 and 100`))
    .addColumn('matters_share', 'double precision', (c) =>
      c.check(sql`matters_share > 0 and matters_share <= 1`),
    )
    .addColumn('matters_d_prime', 'double precision', (c) => c.check(sql`matters_d_prime > 0`))
    .addColumn('opened_by', 'text')
    .addColumn('opened_at', 'timestamptz', (c) => c.notNull())
    .addColumn('opened_by_interaction', 'text', (c) => c.notNull())
    .addColumn('served_by', 'text')
    .addColumn('closed_at', 'timestamptz')
    .addColumn('counts', 'jsonb')
    .addPrimaryKeyConstraint('tastings_pk', ['community_id', 'number'])
    .addUniqueConstraint('tastings_opened_once', ['community_id', 'opened_by_interaction'])
    .addForeignKeyConstraint('tastings_community', ['community_id'], 'communities', ['community_id'], (c) =>
      c.onDelete('cascade'),
    )
    .addCheckConstraint('tastings_one_matter', sql`num_nonnulls(matters_share, matters_d_prime) = 1`)
    .addCheckConstraint('tastings_quality_said', sql`(kind = 'triangle') = (quality is null)`)
    .addCheckConstraint('tastings_expected_of_pair', sql`expected is null or kind = 'pair'`)
    .addCheckConstraint('tastings_closed_counted', sql`num_nonnulls(closed_at, counts) in (0, 2)`)
    .execute();
  await sql`create index tastings_open on tastings (opened_at) where closed_at is null`.execute(db);

  await db.schema
    .createTable('tasting_servings')
    .addColumn('community_id', 'text', (c) => c.notNull())
    .addColumn('number', 'integer', (c) => c.notNull())
    .addColumn('seat', 'integer', (c) => c.notNull().check(sql`seat >= 1`))
    .addColumn('cups', 'jsonb', (c) => c.notNull())
    .addPrimaryKeyConstraint('tasting_servings_pk', ['community_id', 'number', 'seat'])
    .addForeignKeyConstraint(
      'tasting_servings_tasting',
      ['community_id', 'number'],
      'tastings',
      ['community_id', 'number'],
      (c) => c.onDelete('cascade'),
    )
    .execute();

  await db.schema
    .createTable('tasting_answers')
    .addColumn('community_id', 'text', (c) => c.notNull())
    .addColumn('number', 'integer', (c) => c.notNull())
    .addColumn('seat', 'integer', (c) => c.notNull())
    .addColumn('member_id', 'text', (c) => c.notNull())
    .addColumn('picked', sql`text[]`)
    .addColumn('answered_at', 'timestamptz')
    .addPrimaryKeyConstraint('tasting_answers_pk', ['community_id', 'number', 'seat'])
    .addUniqueConstraint('tasting_answers_one_seat_each', ['community_id', 'number', 'member_id'])
    .addForeignKeyConstraint(
      'tasting_answers_serving',
      ['community_id', 'number', 'seat'],
      'tasting_servings',
      ['community_id', 'number', 'seat'],
      (c) => c.onDelete('cascade'),
    )
    .addForeignKeyConstraint(
      'tasting_answers_member',
      ['community_id', 'member_id'],
      'members',
      ['community_id', 'member_id'],
      (c) => c.onDelete('cascade'),
    )
    .addCheckConstraint('tasting_answers_dated', sql`num_nonnulls(picked, answered_at) in (0, 2)`)
    .execute();
  // a member's rows are looked for when the member goes
  await db.schema
    .createIndex('tasting_answers_by_member')
    .on('tasting_answers')
    .columns(['community_id', 'member_id'])
    .execute();
}

export async function down(db: Kysely<unknown>): Promise<void> {
  for (const table of ['tasting_answers', 'tasting_servings', 'tastings'])
    await db.schema.dropTable(table).execute();
}
