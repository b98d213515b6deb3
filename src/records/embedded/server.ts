import { spawn } from 'node:child_process';
import { readFile, rename, rm } from 'node:fs/promises';
import { createServer } from 'node:net';
import { join } from 'node:path';
import type { Account } from './account.js';
import type { Binaries } from './binaries.js';
import { environment } from './cluster.js';
import { HOST } from './connection.js';
import { findProcesses, isAlive, type RunningPostgres, waitUntilGone } from './processes.js';
import { complaintSince, openServerLog } from './server-log.js';

export interface Cluster {
  /** Absolute, without symbolic links. */
  readonly dataDir: string;
  readonly clusterDir: string;
  readonly binaries: Binaries;
  readonly account: Account;
  /** False only in tests: a crash of the machine may then lose data. */
  readonly durable: boolean;
}

export interface StartedServer extends RunningPostgres {
  /** What it gave up over since it was started; undefined where it did not. */
  complaint(): Promise<string | undefined>;
}

const STOP_WAIT_MS = 10_000;

/** Starts a server; it may end again at once, for example because another start was faster. */
export async function startServer(cluster: Cluster): Promise<StartedServer> {
  const { dataDir, clusterDir, binaries, account, durable } = cluster;
  await clearStalePidFile(clusterDir);
  const port = await freePort();
  const log = await openServerLog(dataDir);
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
  try {
    const pid = await new Promise<number>((resolve, reject) => {
      child.once('spawn', () => resolve(child.pid ?? 0));
      child.once('error', reject);
    });
    child.unref();
    return { pid, port, complaint: () => complaintSince(dataDir, log.from) };
  } finally {
    await log.close();
  }
}

/** Ends a server in good order, or less so when it does not follow; only ever one that works on this cluster. */
export async function stopServer(clusterDir: string, pid: number): Promise<void> {
  for (const signal of ['SIGINT', 'SIGQUIT', 'SIGKILL'] as const) {
    if ((await findProcesses(clusterDir)).server?.pid !== pid) break;
    signalTo(pid, signal);
    if (await waitUntilGone(clusterDir, pid, STOP_WAIT_MS)) return;
  }
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

function signalTo(pid: number, signal: NodeJS.Signals): void {
  try {
    process.kill(pid, signal);
  } catch {
    // It has ended already.
  }
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
  await waitUntilGone(clusterDir, undefined, STOP_WAIT_MS);
  const aside = `${file}.stale`;
  await rename(file, aside).catch(() => {});
  // Had another start written the file just now, its server would be there to see: give it back.
  if ((await findProcesses(clusterDir)).server) await rename(aside, file).catch(() => {});
  else await rm(aside, { force: true });
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
