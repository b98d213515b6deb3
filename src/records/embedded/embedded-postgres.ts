import { existsSync } from 'node:fs';
import { mkdir, readdir, readFile, realpath } from 'node:fs/promises';
import { join } from 'node:path';
import type pg from 'pg';
import { DataFolderBusy, damagedWords, StartRefused } from '../start-problems.js';
import { accountFor } from './account.js';
import { findBinaries } from './binaries.js';
import { makeCluster, readPassword } from './cluster.js';
import { connectionStringOf } from './connection.js';
import { type HoldOptions, holdFolder } from './folder-hold.js';
import { findProcesses, type RunningPostgres, waitUntilGone } from './processes.js';
import { type Cluster, type StartedServer, startServer, stopServer } from './server.js';
import { serverLogOf } from './server-log.js';

export interface EmbeddedOptions {
  readonly dataDir: string;
  readonly log: (line: string) => void;
  /** Told to the person who waits, when the wait is longer than a moment. */
  readonly announce?: (line: string) => void;
  /** Called when the hold on the folder is lost while running: the bot must end. */
  readonly onLockLost: () => void;
  /** Whether the bot ends by itself soon: others then wait for it instead of giving up. */
  readonly passing?: boolean;
  /** Whether it is only read: nothing is made where nothing is, and another copy of the bot may go on using it. */
  readonly forReading?: boolean;
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

/** A server that ends at once so many times, while no other is at work, does not start. */
const FAILURES = 3;
const FAILURE_PAUSE_MS = 200;
/** However often servers come and go meanwhile. */
const START_WAIT_MS = 60_000;
const STOP_WAIT_MS = 30_000;

/**
 * Opens the Postgres of our own in a data folder: makes it when there is none, uses or replaces one that a killed bot
 * left running, waits for one that is stopping, and holds a lock inside it for as long as the bot lives.
 * @throws DataFolderBusy when another bot holds the lock, StartRefused with one line when it cannot be started, and
 *   whatever Postgres refuses the connection with; a server that was started for nothing is stopped again
 */
export async function openEmbeddedPostgres(options: EmbeddedOptions): Promise<EmbeddedPostgres> {
  const { log, announce = () => {}, passing = false } = options;
  const cluster = await findCluster(options);
  const { clusterDir } = cluster;
  const password = await readPassword(clusterDir);
  const holdOptions: HoldOptions = { dataDir: options.dataDir, password, passing, announce };
  const end = Date.now() + START_WAIT_MS;
  let failures = 0;
  let complaint: string | undefined;
  while (failures < FAILURES && Date.now() < end) {
    const running = (await findProcesses(clusterDir)).server;
    if (running) log(`found a Postgres at work on ${options.dataDir}, process ${running.pid}`);
    const server = running ?? (await startServer(cluster));
    const hold = await holdOrStop(server, running === undefined, cluster, holdOptions).catch((error) => {
      if (error instanceof DataFolderBusy && options.forReading) return 'beside' as const;
      throw error;
    });
    if (hold === 'beside') return lent(server, password);
    if (hold === undefined) {
      await waitUntilGone(clusterDir, server.pid, STOP_WAIT_MS);
      const isRace = running !== undefined || (await findProcesses(clusterDir)).server !== undefined;
      if (isRace) failures = 0;
      else {
        failures++;
        complaint = (await complaintOf(server)) ?? complaint;
        await pause(FAILURE_PAUSE_MS * failures);
      }
      continue;
    }
    if (running === undefined || (await pidFileIsRight(clusterDir, running)))
      return held(clusterDir, server, password, hold, options);
    // Postgres ends itself soon after its lock file was damaged: replace it now, in good order.
    log('its lock file is damaged: replacing it');
    await stopServer(clusterDir, running.pid);
    await hold.end().catch(() => {});
  }
  throw new StartRefused(
    `Postgres did not start in ${options.dataDir}${complaint === undefined ? '' : `: ${complaint}`}. Its own words are in ${serverLogOf(options.dataDir)}.`,
  );
}

/** Makes the folder and the database in it where there is none yet. */
async function findCluster(options: EmbeddedOptions): Promise<Cluster> {
  const durable = options.durable ?? true;
  if (options.forReading && !existsSync(join(options.dataDir, 'postgres')))
    throw new StartRefused(`There is no database in ${options.dataDir}. Name the folder of one with --data.`);
  await mkdir(options.dataDir, { recursive: true });
  const dataDir = await realpath(options.dataDir);
  const clusterDir = join(dataDir, 'postgres');
  const binaries = await findBinaries();
  const account = await accountFor(clusterDir, [binaries.postgres, binaries.initdb]);
  if (!existsSync(join(clusterDir, 'PG_VERSION'))) {
    if (await holdsFiles(clusterDir))
      throw new StartRefused(damagedWords('PG_VERSION is missing', options.dataDir));
    options.announce?.(`Making a database in ${options.dataDir}, once; this takes a few seconds…`);
    await makeCluster(dataDir, clusterDir, binaries.initdb, account, durable);
  }
  return { dataDir, clusterDir, binaries, account, durable };
}

const holdsFiles = (folder: string): Promise<boolean> =>
  readdir(folder).then(
    (names) => names.length > 0,
    () => false,
  );

/** Undefined when the server went away; one that is ours and of no use is not left behind. */
async function holdOrStop(
  server: RunningPostgres,
  isOurs: boolean,
  { clusterDir }: Cluster,
  options: HoldOptions,
): Promise<pg.Client | undefined> {
  try {
    return await holdFolder(server, options);
  } catch (error) {
    // Another bot is using it by now.
    if (isOurs && !(error instanceof DataFolderBusy)) await stopServer(clusterDir, server.pid);
    throw error;
  }
}

function held(
  clusterDir: string,
  server: RunningPostgres,
  password: string,
  hold: pg.Client,
  options: EmbeddedOptions,
): EmbeddedPostgres {
  let stopping = false;
  hold.on('end', () => {
    if (!stopping) options.onLockLost();
  });
  return {
    ...lent(server, password),
    async stop() {
      if (stopping) return;
      stopping = true;
      // The hold goes with the server: given up before, another start would take it and lose the server.
      await stopServer(clusterDir, server.pid);
      await hold.end().catch(() => {});
    },
  };
}

/** A server that another copy of the bot holds, and stops. */
const lent = ({ pid, port }: RunningPostgres, password: string): EmbeddedPostgres => ({
  connectionString: connectionStringOf(port, password),
  port,
  pid,
  stop: async () => {},
});

const complaintOf = async (server: RunningPostgres | StartedServer): Promise<string | undefined> =>
  'complaint' in server ? server.complaint() : undefined;

async function pidFileIsRight(clusterDir: string, running: RunningPostgres): Promise<boolean> {
  const lines = (await readFile(join(clusterDir, 'postmaster.pid'), 'utf8').catch(() => '')).split('\n');
  return lines[0] === String(running.pid) && lines[3]?.trim() === String(running.port);
}

const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));
