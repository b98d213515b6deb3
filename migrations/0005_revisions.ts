import { type Kysely, sql } from 'kysely';

/**
 * A number for each community that grows whenever its figures may have changed, so that what was worked out from them
 * can be kept until then. Triggers count, so that no way of writing a batch can forget to.
 */
export async function up(db: Kysely<unknown>): Promise<void> {
  // One sequence for all, so that a community erased and begun anew never comes to a number it had before.
  await sql`create sequence revisions`.execute(db);
  await db.schema
    .alterTable('communities')
    .addColumn('revision', 'bigint', (c) => c.notNull().defaultTo(sql`nextval('revisions')`))
    .execute();
  await sql`
    create function count_revision() returns trigger language plpgsql as $$
    begin
      update communities set revision = nextval('revisions')
        where community_id in (select distinct community_id from changed);
      return null;
    end $$`.execute(db);
  await sql`
    create trigger batches_logged after insert on batches
      referencing new table as changed for each statement execute function count_revision()`.execute(db);
  await sql`
    create trigger batches_corrected after update on batches
      referencing new table as changed for each statement execute function count_revision()`.execute(db);
  await sql`
    create trigger batches_erased after delete on batches
      referencing old table as changed for each statement execute function count_revision()`.execute(db);
  await sql`
    create function count_revision_of_member() returns trigger language plpgsql as $$
    begin
      update communities set revision = nextval('revisions') where community_id = new.community_id;
      return null;
    end $$`.execute(db);
  await sql`
    create trigger members_pooled after update on members
      for each row when (old.pooled is distinct from new.pooled) execute function count_revision_of_member()`.execute(
    db,
  );
}

export async function down(db: Kysely<unknown>): Promise<void> {
  await sql`drop trigger members_pooled on members`.execute(db);
  for (const trigger of ['batches_erased', 'batches_corrected', 'batches_logged'])
    await sql`drop trigger ${sql.ref(trigger)} on batches`.execute(db);
  for (const name of ['count_revision_of_member', 'count_revision'])
    await sql`drop function ${sql.ref(name)}`.execute(db);
  await db.schema.alterTable('communities').dropColumn('revision').execute();
  await sql`drop sequence revisions`.execute(db);
}
