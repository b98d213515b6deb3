import { spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { mkdir, open, readFile, realpath, rename, rm, stat } from 'node:fs/promises';
import { createServer } from 'node:net';
import { join } from 'node:path';
import pg from 'pg';
import { type Account, accountFor } from './account.js';
import { type Binaries, findBinaries } from './binaries.js';
import { environment, makeCluster, readPassword, SUPERUSER } from './cluster.js';
import { findProcesses, isAlive, type RunningPostgres, waitUntilGone } from './processes.js';
import { DataFolderBusy, StartRefused } from './start-refused.js';

export interface EmbeddedOptions {
  readonly dataDir: string;
  readonly log: (line: string) => void;
  /** Told to the person who waits, when the wait is longer than a moment. */
  readonly announce?: (line: string) => void;
  /** Called when the hold on the folder is lost while running: the bot must end. */
  readonly onLockLost: () => void;
  /** False only in tests: a crash of the machine may then lose data. */
  readonly durable?: boolean;
}

export interface EmbeddedPostgres {
  readonly connectionString: string;
  readonly port: number;
  readonly pid: number;
  /** Fast shutdown; resolves when the server is gone. */
  stop(): Promise<void>;
}

const HOST = '127.0.0.1';
const START_ATTEMPTS = 4;
const READY_WAIT_MS = 60_000;
const LISTEN_WAIT_MS = 5000;
const LOCK_WAIT_MS = 1500;
const STOP_WAIT_MS = 10_000;
const LOG_LIMIT_BYTES = 1_000_000;
/** Any number will do, as long as every copy of the bot asks for the same. */
const LOCK_KEY = 7_411_077;

/**
 * Opens the Postgres of our own in a data folder: makes it when there is none, uses or replaces one that a killed bot
 * left running, and holds a lock inside it for as long as the bot lives.
 * @throws DataFolderBusy when another bot holds the lock, StartRefused with one line when it cannot be started.
 */
export async function openEmbeddedPostgres(options: EmbeddedOptions): Promise<EmbeddedPostgres> {
  const durable = options.durable ?? true;
  await mkdir(options.dataDir, { recursive: true }).catch((error: NodeJS.ErrnoException) => {
    throw new StartRefused(
      `The folder ${options.dataDir} cannot be made (${error.code}). Choose another with --data.`,
    );
  });
  const dataDir = await realpath(options.dataDir);
  const clusterDir = join(dataDir, 'postgres');
  const binaries = await findBinaries();
  const account = await accountFor(clusterDir, [binaries.postgres, binaries.initdb]);
  if (!existsSync(join(clusterDir, 'PG_VERSION'))) {
    options.announce?.(`Making a database in ${options.dataDir}, once; this takes a few seconds…`);
    await makeCluster(dataDir, clusterDir, binaries.initdb, account, durable);
  }
  const password = await readPassword(clusterDir);

  for (let attempt = 1; attempt <= START_ATTEMPTS; attempt++) {
    const running = (await findProcesses(clusterDir)).server;
    if (running) {
      options.log(`found a Postgres at work on ${options.dataDir}, process ${running.pid}`);
      const lock = await holdLock(running.port, password, options.dataDir, running.pid);
      if (lock === undefined) continue;
      if (await pidFileIsRight(clusterDir, running))
        return held(clusterDir, running, password, lock, options);
      // Postgres ends itself soon after its lock file was damaged: replace it now, in good order.
      options.log('its lock file is damaged: replacing it');
      await lock.end();
      await stopServer(clusterDir, running.pid);
      continue;
    }
    await clearStalePidFile(clusterDir);
    const started = await startServer(dataDir, clusterDir, binaries, account, password, durable);
    if (started === undefined) continue;
    const lock = await holdLock(started.port, password, options.dataDir, started.pid);
    if (lock !== undefined) return held(clusterDir, started, password, lock, options);
  }
  throw new StartRefused(
    `Postgres did not start in ${options.dataDir}. Its own words are in ${join(options.dataDir, 'postgres.log')}.`,
  );
}

function held(
  clusterDir: string,
  server: RunningPostgres,
  password: string,
  lock: pg.Client,
  options: EmbeddedOptions,
): EmbeddedPostgres {
  let stopping = false;
  lock.on('end', () => {
    if (!stopping) options.onLockLost();
  });
  return {
    connectionString: `postgres://${SUPERUSER}:${password}@${HOST}:${server.port}/postgres`,
    port: server.port,
    pid: server.pid,
    async stop() {
      if (stopping) return;
      stopping = true;
      await lock.end().catch(() => {});
      await stopServer(clusterDir, server.pid);
    },
  };
}

/** Starts the server; undefined when it ended again at once, for example because another start was faster. */
async function startServer(
  dataDir: string,
  clusterDir: string,
  binaries: Binaries,
  account: Account,
  password: string,
  durable: boolean,
): Promise<RunningPostgres | undefined> {
  const port = await freePort();
  const log = await openLog(join(dataDir, 'postgres.log'));
  const { program, args, options } = account.command(binaries.postgres, [
    '-D',
    clusterDir,
    '-p',
    String(port),
    ...Object.entries(settings(durable)).flatMap(([name, value]) => ['-c', `${name}=${value}`]),
  ]);
  // In a session of its own: Ctrl-C is meant for the bot, which then stops the server in good order.
  const child = spawn(program, [...args], {
    ...options,
    cwd: '/',
    detached: true,
    stdio: ['ignore', log.fd, log.fd],
    env: environment(),
  });
  let ended = false;
  const onceStarted = new Promise<void>((resolve, reject) => {
    child.once('spawn', resolve);
    child.once('error', reject);
  });
  child.once('exit', () => {
    ended = true;
  });
  try {
    await onceStarted;
  } finally {
    await log.close();
  }
  child.unref();
  const end = Date.now() + READY_WAIT_MS;
  while (!ended && Date.now() < end) {
    const client = await connect(port, password).catch(() => undefined);
    if (client) {
      await client.end();
      return child.pid === undefined ? undefined : { pid: child.pid, port };
    }
    await pause(10);
  }
  if (!ended) child.kill('SIGQUIT');
  return undefined;
}

function settings(durable: boolean): Readonly<Record<string, string>> {
  return {
    listen_addresses: HOST,
    unix_socket_directories: '',
    max_connections: '60',
    shared_buffers: '64MB',
    work_mem: '16MB',
    wal_level: 'minimal',
    max_wal_senders: '0',
    log_checkpoints: 'off',
    jit: 'off',
    timezone: 'UTC',
    log_timezone: 'UTC',
    ...(durable
      ? {}
      : {
          fsync: 'off',
          synchronous_commit: 'off',
          full_page_writes: 'off',
        }),
  };
}

/**
 * Connects and takes the lock that says whose folder this is; it is given up when the connection ends, however the bot
 * ends. Undefined when the server went away meanwhile.
 */
async function holdLock(
  port: number,
  password: string,
  dataDir: string,
  pid: number,
): Promise<pg.Client | undefined> {
  const end = Date.now() + READY_WAIT_MS;
  const listening = Date.now() + LISTEN_WAIT_MS;
  let client: pg.Client | undefined;
  while (client === undefined) {
    try {
      client = await connect(port, password);
    } catch (error) {
      const code = error instanceof Error && 'code' in error ? String(error.code) : '';
      if (code === '28P01' || code === '28000') {
        throw new StartRefused(
          `The database in ${dataDir} does not accept the password kept with it. Choose another folder with --data.`,
        );
      }
      // 57P03: it is starting up or shutting down.
      const soon = code === '57P03' || code === '53300';
      // A server that was started this moment does not listen yet.
      const sooner = code === 'ECONNREFUSED' && Date.now() < listening;
      if (!(soon || sooner) || Date.now() > end || !isAlive(pid)) return undefined;
      await pause(20);
    }
  }
  // The lock of a bot that was killed just now falls a moment later.
  const giveUp = Date.now() + LOCK_WAIT_MS;
  for (;;) {
    const { rows } = await client.query<{ taken: boolean }>('select pg_try_advisory_lock($1) as taken', [
      LOCK_KEY,
    ]);
    if (rows[0]?.taken) return client;
    if (Date.now() > giveUp) {
      await client.end();
      throw new DataFolderBusy(dataDir);
    }
    await pause(50);
  }
}

async function connect(port: number, password: string): Promise<pg.Client> {
  const client = new pg.Client({
    host: HOST,
    port,
    user: SUPERUSER,
    password,
    database: 'postgres',
    application_name: 'tallow-tally: hold on the data folder',
    keepAlive: true,
  });
  // Losing the connection is noticed by its end; unheard, the error would end the process first.
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

async function stopServer(clusterDir: string, pid: number): Promise<void> {
  for (const signal of ['SIGINT', 'SIGQUIT', 'SIGKILL'] as const) {
    // Only ever a process that works on our cluster.
    if ((await findProcesses(clusterDir)).server?.pid !== pid) break;
    signalTo(pid, signal);
    if (await waitUntilGone(clusterDir, STOP_WAIT_MS)) return;
  }
}

function signalTo(pid: number, signal: NodeJS.Signals): void {
  try {
    process.kill(pid, signal);
  } catch {
    // It has ended already.
  }
}

async function pidFileIsRight(clusterDir: string, running: RunningPostgres): Promise<boolean> {
  const lines = (await readFile(join(clusterDir, 'postmaster.pid'), 'utf8').catch(() => '')).split('\n');
  return lines[0] === String(running.pid) && lines[3]?.trim() === String(running.port);
}

/**
 * Puts a lock file out of the way that would keep Postgres from starting although nothing works on the cluster:
 * damaged, or with the number of some other living process. What Postgres can judge itself is left to it.
 */
async function clearStalePidFile(clusterDir: string): Promise<void> {
  const file = join(clusterDir, 'postmaster.pid');
  const content = await readFile(file, 'utf8').catch(() => undefined);
  if (content === undefined) return;
  const pid = /^(\d{1,10})\n/.exec(content)?.[1];
  if (pid !== undefined && Number(pid) > 1 && !isAlive(Number(pid))) return;
  if ((await findProcesses(clusterDir)).server) return;
  await waitUntilGone(clusterDir, STOP_WAIT_MS);
  const aside = `${file}.stale`;
  await rename(file, aside).catch(() => {});
  // Had another start written the file just now, its server would be there to see: give it back.
  if ((await findProcesses(clusterDir)).server) await rename(aside, file).catch(() => {});
  else await rm(aside, { force: true });
}

async function openLog(file: string) {
  const size = await stat(file).then(
    (found) => found.size,
    () => 0,
  );
  return open(file, size > LOG_LIMIT_BYTES ? 'w' : 'a', 0o600);
}

async function freePort(): Promise<number> {
  const server = createServer();
  await new Promise<void>((resolve, reject) => {
    server.once('error', reject);
    server.listen(0, HOST, resolve);
  });
  const address = server.address();
  await new Promise((resolve) => server.close(resolve));
  if (address === null || typeof address === 'string') throw new Error('no port was given');
  return address.port;
}

const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));
