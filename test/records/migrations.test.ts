import { Migrator, sql } from 'kysely';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { migrations } from '../../migrations/index.js';
import { openRecords, type Records } from '../../src/records/database.js';
import { type FreshDatabase, freshDatabase } from '../support/postgres.js';

let database: FreshDatabase;
let db: Records;
beforeAll(async () => {
  database = await freshDatabase();
  db = openRecords(database.connectionString, () => {});
});
afterAll(async () => {
  await db.destroy();
  await database.drop();
});

/** Tables, columns, indexes, triggers, functions and sequences, as Postgres names them. */
async function shape(): Promise<readonly string[]> {
  const { rows } = await sql<{ what: string }>`
    select 'column ' || table_name || '.' || column_name || ' ' || data_type || ' ' || coalesce(column_default, '') as what
      from information_schema.columns where table_schema = 'public' and table_name not like 'kysely%'
    union all select 'index ' || indexdef from pg_indexes where schemaname = 'public' and tablename not like 'kysely%'
    union all select 'trigger ' || tgrelid::regclass || ' ' || tgname from pg_trigger where not tgisinternal
    union all select 'function ' || proname from pg_proc where pronamespace = 'public'::regnamespace
    union all select 'sequence ' || sequence_name from information_schema.sequences where sequence_schema = 'public'
    order by what`.execute(db);
  return rows.map(({ what }) => what);
}

describe('the migrations', () => {
  it('can be taken back one by one, leaving nothing, and gone through again to the same tables', async () => {
    const migrator = new Migrator({ db, provider: { getMigrations: async () => migrations } });
    const before = await shape();
    expect(before).toContain('trigger batches batches_logged');
    for (const _ of Object.keys(migrations)) {
      const { error } = await migrator.migrateDown();
      expect(error).toBeUndefined();
    }
    expect(await shape()).toEqual([]);
    const { error } = await migrator.migrateToLatest();
    expect(error).toBeUndefined();
    expect(await shape()).toEqual(before);
  });
});
