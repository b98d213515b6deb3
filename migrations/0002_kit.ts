import { type Kysely, sql } from 'kysely';

/** What a member cooks with: the kitchen itself, and the vessels in it. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await db.schema
    .createTable('kitchens')
    .addColumn('community_id', 'text', (c) => c.notNull())
    .addColumn('member_id', 'text', (c) => c.notNull())
    .addColumn('burner_w', 'double precision', (c) => c.check(sql`burner_w between 100 and 100000`))
    .addColumn('burner_kind', 'text', (c) =>
      c.check(sql`burner_kind in ('gas', 'electric', 'induction', 'outdoor gas')`),
    )
    .addColumn('altitude_m', 'double precision', (c) => c.check(sql`altitude_m between -500 and 6000`))
    .addColumn('fat_start_c', 'double precision', (c) => c.check(sql`fat_start_c between -30 and 95`))
    .addColumn('water_start_c', 'double precision', (c) => c.check(sql`water_start_c between 0 and 95`))
    .addColumn('price_per_kwh', 'double precision', (c) => c.check(sql`price_per_kwh between 0 and 1000`))
    .addPrimaryKeyConstraint('kitchens_pk', ['community_id', 'member_id'])
    .addForeignKeyConstraint(
      'kitchens_member',
      ['community_id', 'member_id'],
      'members',
      ['community_id', 'member_id'],
      (c) => c.onDelete('cascade'),
    )
    .execute();

  await db.schema
    .createTable('vessels')
    .addColumn('community_id', 'text', (c) => c.notNull())
    .addColumn('member_id', 'text', (c) => c.notNull())
    .addColumn('name', 'text', (c) => c.notNull().check(sql`length(name) between 1 and 40`))
    .addColumn('kind', 'text', (c) =>
      c.notNull().check(sql`kind in ('pot', 'pressure-cooker', 'slow-cooker', 'pan')`),
    )
    .addColumn('capacity_ml', 'double precision', (c) =>
      c.notNull().check(sql`capacity_ml between 900 and 200000`),
    )
    .addColumn('diameter_cm', 'double precision', (c) => c.check(sql`diameter_cm between 5 and 150`))
    .addColumn('added_at', 'timestamptz', (c) => c.notNull())
    .addPrimaryKeyConstraint('vessels_pk', ['community_id', 'member_id', 'name'])
    .addForeignKeyConstraint(
      'vessels_member',
      ['community_id', 'member_id'],
      'members',
      ['community_id', 'member_id'],
      (c) => c.onDelete('cascade'),
    )
    .execute();
  await sql`create unique index vessels_by_name on vessels (community_id, member_id, lower(name))`.execute(
    db,
  );
  // A member's own renders whose water was measured at the end: few, and asked for with every answer about water.
  await sql`
    create index batches_measured on batches (community_id, member_id, method, finished_at)
      include (water_ml, water_left_ml, minutes)
      where water_left_ml is not null and state = 'done' and removed_at is null`.execute(db);
}

export async function down(db: Kysely<unknown>): Promise<void> {
  await db.schema.dropIndex('batches_measured').execute();
  for (const table of ['vessels', 'kitchens']) await db.schema.dropTable(table).execute();
}
