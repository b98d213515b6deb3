import type { BaseLogger } from 'pino';
import { connectionTo, type Records, recordsIn } from './database.js';
import type { EmbeddedOptions } from './embedded/embedded-postgres.js';
import { migrate } from './migrate.js';
import type { DatabaseLimits } from './pool/limits.js';
import { type HearOfDatabase, openPool, type Pool } from './pool/pool.js';
import { pendingMigrations } from './readiness.js';
import { type Place, placeOf, StartRefused, startMayPass, startProblem } from './start-problems.js';

/** Where events are written down. */
export type StoreLog = Pick<BaseLogger, 'debug' | 'info' | 'warn'>;

export interface StoreOptions extends Required<Pick<EmbeddedOptions, 'announce' | 'onLockLost' | 'passing'>> {
  /** A Postgres to use; without one the bot starts its own in `dataDir`. */
  readonly databaseUrl: string | undefined;
  readonly limits: DatabaseLimits;
  readonly dataDir: string;
  /** This machine's time, to be held against the database's; undefined where another is pretended. */
  readonly now: Date | undefined;
  readonly log: StoreLog;
}

export interface Store {
  readonly db: Records;
  readonly pool: Pool;
  readonly connectionString: string;
  close(): Promise<void>;
}

const TOLD_AFTER_MS = 2000;

const NEWS: Readonly<Record<Parameters<HearOfDatabase>[0], string>> = {
  'connection lost': 'a database connection was lost',
  away: 'the database is out of reach; looking for it until it is back',
  back: 'the database is back',
};

/**
 * The Postgres that the environment names, or one of our own, looked over and brought up to date.
 * @throws StartRefused with one line for whoever started the bot; nothing is left running then
 */
export async function openStore(options: StoreOptions): Promise<Store> {
  const { limits, now, log, announce } = options;
  const server = await openServer(options);
  const { connectionString, place } = server;
  try {
    await inWords(place, log, async () => {
      const looksIntoTables = place.kind === 'embedded';
      const pending = await pendingMigrations({ connectionString, limits, now, looksIntoTables });
      if (pending.length === 0) return;
      const told = setTimeout(() => announce('Bringing the tables up to date…'), TOLD_AFTER_MS);
      const applied = await migrate(connectionString, limits).finally(() => clearTimeout(told));
      if (applied.length > 0) log.info({ applied }, 'brought the tables up to date');
    });
  } catch (error) {
    await server.stop();
    throw error;
  }
  const hear: HearOfDatabase = (news, cause) =>
    log.warn(cause === undefined ? {} : { error: cause }, NEWS[news]);
  const pool = openPool(connectionTo(connectionString), limits, hear);
  const db = recordsIn(pool);
  return {
    db,
    pool,
    connectionString,
    async close() {
      await db.destroy();
      await server.stop();
    },
  };
}

/**
 * Where the records are, and how to end what was started for that.
 * @throws StartRefused
 */
export async function openServer(options: Omit<StoreOptions, 'now'> & { readonly forReading?: boolean }) {
  const { databaseUrl, dataDir, log } = options;
  if (databaseUrl !== undefined)
    return { connectionString: databaseUrl, place: placeOf(databaseUrl), stop: async () => {} };
  const place: Place = { kind: 'embedded', dataDir };
  const { connectionString, stop } = await inWords(place, log, async () => {
    const { openEmbeddedPostgres } = await import('./embedded/embedded-postgres.js');
    return openEmbeddedPostgres({ ...options, log: (line) => log.info({}, line) });
  });
  return { connectionString, place, stop };
}

/** Turns what a start failed with into the line that says what to do about it. */
export async function inWords<T>(place: Place, log: StoreLog, start: () => Promise<T>): Promise<T> {
  try {
    return await start();
  } catch (error) {
    if (error instanceof StartRefused) throw error;
    const problem = startProblem(error, place);
    if (problem === undefined) throw error;
    log.debug({ error }, 'could not start');
    throw new StartRefused(problem, startMayPass(error, place));
  }
}
