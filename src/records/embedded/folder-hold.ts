import { setTimeout as pause } from 'node:timers/promises';
import pg from 'pg';
import { codeOf } from '../pool/failures.js';
import { DataFolderBusy, StartRefused } from '../start-problems.js';
import { SUPERUSER } from './cluster.js';
import { isAlive, type RunningPostgres } from './processes.js';
import { HOST } from './server.js';
import { serverLogOf } from './server-log.js';

/** Any number will do, as long as every copy of the bot asks for the same. */
const LOCK_KEY = 7_411_077;
const STAYS = 'tallow-tally: hold on the data folder';
const PASSES = 'tallow-tally: passing hold on the data folder';

const ANSWER_WAIT_MS = 5000;
/** The lock of a bot that was killed just now falls a moment later. */
const KILLED_WAIT_MS = 1500;
/** A bot that only answers its lines ends soon. */
const PASSING_WAIT_MS = 20_000;
const LISTEN_WAIT_MS = 30_000;
const CONNECTIONS_WAIT_MS = 5000;
/** After a crash of the machine Postgres first goes through what it had not written yet. */
const RECOVERY_WAIT_MS = 10 * 60_000;
const TOLD_AFTER_MS = 3000;

export interface HoldOptions {
  /** As whoever started the bot wrote it. */
  readonly dataDir: string;
  readonly password: string;
  /** Whether this bot ends by itself soon, so that others may wait for it. */
  readonly passing: boolean;
  readonly announce: (line: string) => void;
}

/** Where a server is to be reached; nothing in the environment changes the way. */
export const connectionStringOf = ({ port }: RunningPostgres, password: string): string =>
  `postgres://${SUPERUSER}:${password}@${HOST}:${port}/postgres?sslmode=disable`;

/**
 * Connects and takes the lock that says whose folder this is; it is given up when the connection ends, however the bot
 * ends. Undefined when the server went away meanwhile.
 * @throws DataFolderBusy when another bot holds it, StartRefused when the server does not answer, and whatever the server
 *   refuses the connection with when waiting would not help.
 */
export async function holdFolder(
  server: RunningPostgres,
  options: HoldOptions,
): Promise<pg.Client | undefined> {
  const client = await connectWhenReady(server, options);
  if (client === undefined) return undefined;
  try {
    await takeLock(client, options);
    return client;
  } catch (error) {
    await client.end().catch(() => {});
    if (isLoss(error)) return undefined;
    throw error;
  }
}

async function connectWhenReady(
  server: RunningPostgres,
  options: HoldOptions,
): Promise<pg.Client | undefined> {
  const { dataDir, announce } = options;
  const waitedMs = telling(announce, `Waiting for the database in ${dataDir} to be ready…`);
  for (;;) {
    try {
      return await connect(server, options);
    } catch (error) {
      if (!isAlive(server.pid)) return undefined;
      const wait = waitFor(error);
      if (wait === undefined) throw error;
      if (waitedMs() > wait) throw wait === CONNECTIONS_WAIT_MS ? error : doesNotAnswer(server, dataDir);
      await pause(20);
    }
  }
}

/** A connection whose loss is noticed by its end alone. */
async function connect(server: RunningPostgres, { password, passing }: HoldOptions): Promise<pg.Client> {
  const client = new pg.Client({
    connectionString: connectionStringOf(server, password),
    application_name: passing ? PASSES : STAYS,
    connectionTimeoutMillis: ANSWER_WAIT_MS,
    keepAlive: true,
  });
  // Unheard, the error would end the process first.
  client.on('error', () => {});
  try {
    await client.connect();
    return client;
  } catch (error) {
    // A connection left half open would keep the server waiting for it.
    void client.end().catch(() => {});
    throw error;
  }
}

/** For how long a failure to connect may pass by itself; undefined when it will not. */
function waitFor(error: unknown): number | undefined {
  switch (codeOf(error)) {
    // It is starting up, recovering or shutting down.
    case '57P01':
    case '57P02':
    case '57P03':
      return RECOVERY_WAIT_MS;
    case '53300':
      return CONNECTIONS_WAIT_MS;
    // It does not listen yet, or not any more.
    case 'ECONNREFUSED':
    case 'ECONNRESET':
    case 'EPIPE':
      return LISTEN_WAIT_MS;
    // The connection ended without a word, or was taken and not answered.
    case undefined:
      return error instanceof Error && error.message.startsWith('timeout') ? 0 : LISTEN_WAIT_MS;
    default:
      return undefined;
  }
}

const doesNotAnswer = ({ pid }: RunningPostgres, dataDir: string): StartRefused =>
  new StartRefused(
    `The Postgres in ${dataDir}, process ${pid}, runs but does not answer. End that process and start again; its own words are in ${serverLogOf(dataDir)}.`,
  );

/** @throws DataFolderBusy */
async function takeLock(client: pg.Client, { dataDir, announce }: HoldOptions): Promise<void> {
  const waitedMs = telling(announce, 'Waiting for another copy of the bot to finish…');
  for (;;) {
    const { rows } = await client.query<{ taken: boolean }>('select pg_try_advisory_lock($1) as taken', [
      LOCK_KEY,
    ]);
    if (rows[0]?.taken) return;
    const waited = waitedMs();
    const mayPass = waited < PASSING_WAIT_MS && (await holderPasses(client));
    if (waited > KILLED_WAIT_MS && !mayPass) throw new DataFolderBusy(dataDir);
    await pause(50);
  }
}

/** False when whoever holds the lock means to stay. */
async function holderPasses(client: pg.Client): Promise<boolean> {
  const { rows } = await client.query<{ name: string }>(
    `select application_name as name from pg_locks join pg_stat_activity using (pid)
      where locktype = 'advisory' and classid = 0 and objid = $1 and granted`,
    [LOCK_KEY],
  );
  return rows[0]?.name !== STAYS;
}

/** Answers how long somebody has waited since, and tells them once when that is more than a moment. */
function telling(announce: (line: string) => void, line: string): () => number {
  const began = Date.now();
  let isTold = false;
  return () => {
    const waited = Date.now() - began;
    if (waited > TOLD_AFTER_MS && !isTold) announce(line);
    isTold ||= waited > TOLD_AFTER_MS;
    return waited;
  };
}

/** Whether the server went away in the middle of a question: with a word or without. */
function isLoss(error: unknown): boolean {
  if (error instanceof StartRefused) return false;
  const code = codeOf(error);
  return code === undefined || /^(57P|08|E)/.test(code);
}
