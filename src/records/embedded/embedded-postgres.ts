import { setTimeout as pause } from 'node:timers/promises';
import type pg from 'pg';
import { DataFolderBusy, StartRefused } from '../start-problems.js';
import { type ClusterOptions, findCluster, readPassword } from './cluster.js';
import { connectionStringOf, holdFolder } from './folder-hold.js';
import { findProcesses, type RunningPostgres, waitUntilGone } from './processes.js';
import { hasItsPidFile, type StartedServer, startServer, stopServer } from './server.js';
import { serverLogOf } from './server-log.js';

export interface EmbeddedOptions extends ClusterOptions {
  readonly log: (line: string) => void;
  /** Called when the hold on the folder is lost while running: the bot must end. */
  readonly onLockLost: () => void;
  /** Whether the bot ends by itself soon: others then wait for it instead of giving up. */
  readonly passing?: boolean;
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
  const { dataDir, log, announce = () => {}, passing = false } = options;
  const cluster = await findCluster(options);
  const { clusterDir } = cluster;
  const password = await readPassword(clusterDir);
  const end = Date.now() + START_WAIT_MS;
  let failures = 0;
  let complaint: string | undefined;
  while (failures < FAILURES && Date.now() < end) {
    const running = (await findProcesses(clusterDir)).server;
    if (running) log(`found a Postgres at work on ${dataDir}, process ${running.pid}`);
    const server: RunningPostgres & Partial<StartedServer> = running ?? (await startServer(cluster));
    let hold: pg.Client | undefined;
    try {
      hold = await holdFolder(server, { dataDir, password, passing, announce });
    } catch (error) {
      const isBusy = error instanceof DataFolderBusy;
      if (isBusy && options.forReading) return lent(server, password);
      // One of ours that is of no use is not left behind; where it is busy, another bot is using it by now.
      if (!running && !isBusy) await stopServer(clusterDir, server.pid);
      throw error;
    }
    if (hold && (!running || (await hasItsPidFile(clusterDir, running))))
      return held(clusterDir, server, password, hold, options);
    if (hold) {
      // Better now, in good order, than when it ends itself.
      log('its lock file is damaged: replacing it');
      await stopServer(clusterDir, server.pid);
      await hold.end().catch(() => {});
      continue;
    }
    await waitUntilGone(clusterDir, server.pid, STOP_WAIT_MS);
    if (server.complaint && !(await findProcesses(clusterDir)).server) {
      failures++;
      complaint = (await server.complaint()) ?? complaint;
      await pause(FAILURE_PAUSE_MS * failures);
    } else failures = 0;
  }
  throw new StartRefused(
    `Postgres did not start in ${dataDir}${complaint === undefined ? '' : `: ${complaint}`}. Its own words are in ${serverLogOf(dataDir)}.`,
  );
}

/** A server that another copy of the bot holds, and stops. */
const lent = (server: RunningPostgres, password: string): EmbeddedPostgres => ({
  connectionString: connectionStringOf(server, password),
  port: server.port,
  pid: server.pid,
  stop: async () => {},
});

function held(
  clusterDir: string,
  server: RunningPostgres,
  password: string,
  hold: pg.Client,
  { onLockLost }: EmbeddedOptions,
): EmbeddedPostgres {
  let stopping = false;
  hold.on('end', () => {
    if (!stopping) onLockLost();
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
