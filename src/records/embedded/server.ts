import { once } from 'node:events';
import { readFile, rename, rm } from 'node:fs/promises';
import { createServer } from 'node:net';
import { join } from 'node:path';
import type { Cluster } from './cluster.js';
import { findProcesses, isAlive, type RunningPostgres, waitUntilGone } from './processes.js';
import { openServerLog, type ServerLog } from './server-log.js';

export const HOST = '127.0.0.1';

/** One that we started; it knows what it gave up over, if it did. */
export type StartedServer = RunningPostgres & Pick<ServerLog, 'complaint'>;

const STOP_WAIT_MS = 10_000;

const SETTINGS = [
  `listen_addresses=${HOST}`,
  'unix_socket_directories=',
  'max_connections=60',
  'shared_buffers=64MB',
  'work_mem=16MB',
  'wal_level=minimal',
  'max_wal_senders=0',
  'log_checkpoints=off',
  'jit=off',
  'timezone=UTC',
  'log_timezone=UTC',
];
const NOT_DURABLE = ['fsync=off', 'synchronous_commit=off', 'full_page_writes=off'];

/** Starts a server; it may end again at once, for example because another start was faster. */
export async function startServer(cluster: Cluster): Promise<StartedServer> {
  const { dataDir, clusterDir, programs, durable } = cluster;
  await clearStalePidFile(clusterDir);
  const port = await freePort();
  const log = await openServerLog(dataDir);
  const settings = durable ? SETTINGS : [...SETTINGS, ...NOT_DURABLE];
  try {
    const child = programs.start(
      'postgres',
      ['-D', clusterDir, '-p', String(port), ...settings.flatMap((setting) => ['-c', setting])],
      // In a session of its own: Ctrl-C is meant for the bot, which then stops the server in good order.
      { detached: true, stdio: ['ignore', log.fd, log.fd] },
    );
    await once(child, 'spawn');
    child.unref();
    return { pid: child.pid ?? 0, port, complaint: log.complaint };
  } finally {
    await log.close();
  }
}

/** Ends a server in good order, or less so when it does not follow; only ever one that works on this cluster. */
export async function stopServer(clusterDir: string, pid: number): Promise<void> {
  for (const signal of ['SIGINT', 'SIGQUIT', 'SIGKILL'] as const) {
    if ((await findProcesses(clusterDir)).server?.pid !== pid) break;
    try {
      process.kill(pid, signal);
    } catch {
      // It has ended already.
    }
    if (await waitUntilGone(clusterDir, pid, STOP_WAIT_MS)) return;
  }
}

const pidFileOf = (clusterDir: string): string => join(clusterDir, 'postmaster.pid');

/** Whether the lock file of a server is as it wrote it; it ends itself soon after that was damaged. */
export async function hasItsPidFile(clusterDir: string, { pid, port }: RunningPostgres): Promise<boolean> {
  const lines = (await readFile(pidFileOf(clusterDir), 'utf8').catch(() => '')).split('\n');
  return lines[0] === String(pid) && lines[3]?.trim() === String(port);
}

/**
 * Puts a lock file out of the way that would keep Postgres from starting although nothing works on the cluster:
 * damaged, or with the number of some other living process. What Postgres can judge itself is left to it.
 */
async function clearStalePidFile(clusterDir: string): Promise<void> {
  const file = pidFileOf(clusterDir);
  const content = await readFile(file, 'utf8').catch(() => undefined);
  if (content === undefined) return;
  const pid = /^(\d{1,10})\n/.exec(content)?.[1];
  if (pid !== undefined && Number(pid) > 1 && !isAlive(Number(pid))) return;
  if ((await findProcesses(clusterDir)).server) return;
  await waitUntilGone(clusterDir, undefined, STOP_WAIT_MS);
  const aside = `${file}.stale`;
  await rename(file, aside).catch(() => {});
  // Had another start written the file just now, its server would be there to see: give it back.
  if ((await findProcesses(clusterDir)).server) await rename(aside, file).catch(() => {});
  else await rm(aside, { force: true });
}

async function freePort(): Promise<number> {
  const server = createServer().listen(0, HOST);
  await once(server, 'listening');
  const address = server.address();
  server.close();
  await once(server, 'close');
  if (address === null || typeof address === 'string') throw new Error('no port was given');
  return address.port;
}
