import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { TestProject } from 'vitest/node';
import { openRecords } from '../../src/records/database.js';
import { openEmbeddedPostgres } from '../../src/records/embedded/embedded-postgres.js';
import { migrate } from '../../src/records/migrate.js';
import { databaseUrl, runOn, TEMPLATE } from './databases.js';

declare module 'vitest' {
  interface ProvidedContext {
    /** A Postgres for this run, holding a migrated, empty database to clone. */
    postgres: string;
  }
}

/** One Postgres for the whole run, in a folder of its own, gone afterwards. */
export async function setup(project: TestProject): Promise<() => Promise<void>> {
  const dataDir = await mkdtemp(join(tmpdir(), 'tallow-tally-tests-'));
  const postgres = await openEmbeddedPostgres({
    dataDir,
    log: () => {},
    onLockLost: () => {},
    durable: false,
  });
  await runOn(postgres.connectionString, 'template1', `create database ${TEMPLATE}`);
  const template = openRecords(databaseUrl(postgres.connectionString, TEMPLATE), () => {});
  await migrate(template);
  await template.destroy();
  project.provide('postgres', postgres.connectionString);
  return async () => {
    await postgres.stop();
    await rm(dataDir, { recursive: true, force: true });
  };
}
