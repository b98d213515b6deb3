import { execFile } from 'node:child_process';
import { readdir, readFile, readlink } from 'node:fs/promises';
import { basename } from 'node:path';
import { promisify } from 'node:util';

export interface RunningPostgres {
  readonly pid: number;
  readonly port: number;
}

export interface ClusterProcesses {
  /** The server on this cluster, or undefined. */
  readonly server: RunningPostgres | undefined;
  /** Processes of a server that died and left them behind. */
  readonly leftBehind: readonly number[];
}

/**
 * Who really works on a cluster folder, by looking at the running processes: what a pid file says may be stale, damaged,
 * or about somebody else.
 * @param clusterDir absolute, without symbolic links
 */
export async function findProcesses(clusterDir: string): Promise<ClusterProcesses> {
  const found = process.platform === 'linux' ? await fromProc(clusterDir) : await fromPs(clusterDir);
  const server = found.find(({ port }) => port !== undefined);
  return {
    server: server?.port === undefined ? undefined : { pid: server.pid, port: server.port },
    leftBehind: server ? [] : found.map(({ pid }) => pid),
  };
}

/** Whether a process has this number and may be signalled by us. */
export function isAlive(pid: number): boolean {
  try {
    return process.kill(pid, 0);
  } catch {
    return false;
  }
}

interface Found {
  readonly pid: number;
  /** Only the server itself was started with one. */
  readonly port: number | undefined;
}

async function fromProc(clusterDir: string): Promise<readonly Found[]> {
  const pids = (await readdir('/proc')).filter((name) => /^\d+$/.test(name));
  const found = await Promise.all(
    pids.map(async (pid): Promise<readonly Found[]> => {
      try {
        const command = await readFile(`/proc/${pid}/cmdline`, 'utf8');
        // A process that has ended but was not yet taken off the list has no command line.
        if (!command.includes('postgres')) return [];
        const args = command.split('\0');
        const port = portOf(args, clusterDir);
        if (port !== undefined) return [{ pid: Number(pid), port }];
        const isChild =
          (args[0] ?? '').startsWith('postgres:') && (await readlink(`/proc/${pid}/cwd`)) === clusterDir;
        return isChild ? [{ pid: Number(pid), port: undefined }] : [];
      } catch {
        // Ended meanwhile, or another user's: not ours.
        return [];
      }
    }),
  );
  return found.flat();
}

async function fromPs(clusterDir: string): Promise<readonly Found[]> {
  if (process.platform === 'win32') return [];
  const { stdout } = await promisify(execFile)('ps', ['-axww', '-o', 'pid=,command='], {
    maxBuffer: 1 << 24,
  });
  return stdout.split('\n').flatMap((line) => {
    const match = /^\s*(\d+)\s+(.*)$/.exec(line);
    const command = match?.[2];
    if (match === null || command === undefined || !command.includes(` -D ${clusterDir} `)) return [];
    const port = / -p (\d+)/.exec(command)?.[1];
    return port === undefined ? [] : [{ pid: Number(match[1]), port: Number(port) }];
  });
}

function portOf(args: readonly string[], clusterDir: string): number | undefined {
  if (basename(args[0] ?? '') !== 'postgres') return undefined;
  if (args[args.indexOf('-D') + 1] !== clusterDir) return undefined;
  const port = Number(args[args.indexOf('-p') + 1]);
  return Number.isInteger(port) && port > 0 ? port : undefined;
}

/**
 * Waits until a server and what it left behind are gone, or, without a number, everything that works on the cluster;
 * another server that was started meanwhile is no matter. False when it is still there after `waitMs`.
 */
export async function waitUntilGone(
  clusterDir: string,
  pid: number | undefined,
  waitMs: number,
): Promise<boolean> {
  const end = Date.now() + waitMs;
  for (;;) {
    const { server, leftBehind } = await findProcesses(clusterDir);
    if (server === undefined ? leftBehind.length === 0 : pid !== undefined && server.pid !== pid) return true;
    if (Date.now() >= end) return false;
    await new Promise((resolve) => setTimeout(resolve, 10));
  }
}
