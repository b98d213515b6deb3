import { mkdtemp, readdir, realpath, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { TestProject } from 'vitest/node';
import { type EmbeddedPostgres, openEmbeddedPostgres } from '../../src/records/embedded/embedded-postgres.js';
import { findProcesses, isAlive } from '../../src/records/embedded/processes.js';
import { migrate } from '../../src/records/migrate.js';
import { databaseUrl, runOn, TEMPLATE } from './databases.js';

declare module 'vitest' {
  interface ProvidedContext {
    /** A Postgres for this run, holding a migrated, empty database to clone. */
    postgres: string;
  }
}

/** Where the runs keep their databases; the number of the process that runs the tests follows. */
const FOLDER = 'tallow-tally-tests-';

/** One Postgres for the whole run, in a folder of its own, gone afterwards. */
export async function setup(project: TestProject): Promise<() => Promise<void>> {
  await sweep();
  const dataDir = await mkdtemp(join(tmpdir(), `${FOLDER}${process.pid}-`));
  let postgres: EmbeddedPostgres | undefined;
  const tearDown = async (): Promise<void> => {
    await postgres?.stop();
    await rm(dataDir, { recursive: true, force: true });
  };
  try {
    postgres = await open(dataDir);
    await runOn(postgres.connectionString, 'template1', `create database ${TEMPLATE}`);
    await migrate(databaseUrl(postgres.connectionString, TEMPLATE));
    project.provide('postgres', postgres.connectionString);
  } catch (error) {
    await tearDown();
    throw error;
  }
  return tearDown;
}

const open = (dataDir: string): Promise<EmbeddedPostgres> =>
  openEmbeddedPostgres({ dataDir, log: () => {}, onLockLost: () => {}, durable: false });

/** Stops and removes what runs left that were killed before their end. */
async function sweep(): Promise<void> {
  for (const name of await readdir(tmpdir())) {
    const run = name.startsWith(FOLDER) ? /^(\d+)-/.exec(name.slice(FOLDER.length))?.[1] : undefined;
    if (run === undefined || isAlive(Number(run))) continue;
    const dataDir = join(tmpdir(), name);
    try {
      const { server } = await findProcesses(join(await realpath(dataDir), 'postgres'));
      if (server) await (await open(dataDir)).stop();
      await rm(dataDir, { recursive: true, force: true });
    } catch {
      // Another user's, or swept by another run at this moment.
    }
  }
}
