import { Migrator } from 'kysely';
import { migrations } from '../../migrations/index.js';
import type { Records } from './database.js';

/** Brings the tables up to date; several processes may try at once. Throws what the failed migration threw. */
export async function migrate(db: Records): Promise<readonly string[]> {
  const migrator = new Migrator({ db, provider: { getMigrations: async () => ({ ...migrations }) } });
  const { error, results } = await migrator.migrateToLatest();
  if (error) throw error;
  return (results ?? []).map(({ migrationName }) => migrationName);
}
