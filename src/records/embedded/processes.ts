import { execFile } from 'node:child_process';
import { readdir, readFile, readlink } from 'node:fs/promises';
import { basename } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { promisify } from 'node:util';

export interface RunningPostgres {
  readonly pid: number;
  readonly port: number;
}

/**
 * Who really works on a cluster folder, by looking at the running processes: what a pid file says may be stale, damaged,
 * or about somebody else.
 * @param clusterDir absolute, without symbolic links
 */
export async function findProcesses(clusterDir: string) {
  const found: readonly Found[] =
    process.platform === 'linux' ? await fromProc(clusterDir) : await fromPs(clusterDir);
  const server = found.find((one) => one !== 'child');
  // What is left behind are processes of a server that died without them.
  return { server, areLeftBehind: server === undefined && found.length > 0 };
}

/** Whether a process has this number and may be signalled by us. */
export function isAlive(pid: number): boolean {
  try {
    return process.kill(pid, 0);
  } catch {
    return false;
  }
}

/** Only the server itself was started with a port. */
type Found = RunningPostgres | 'child';

async function fromProc(clusterDir: string): Promise<readonly Found[]> {
  const pids = (await readdir('/proc')).filter((name) => /^\d+$/.test(name));
  const looks = pids.map(async (pid): Promise<readonly Found[]> => {
    // A process that has ended but was not yet taken off the list has no command line.
    const args = (await readFile(`/proc/${pid}/cmdline`, 'utf8')).split('\0');
    const program = args[0] ?? '';
    if (program.startsWith('postgres:'))
      return (await readlink(`/proc/${pid}/cwd`)) === clusterDir ? ['child'] : [];
    if (basename(program) !== 'postgres' || args[args.indexOf('-D') + 1] !== clusterDir) return [];
    const port = Number(args[args.indexOf('-p') + 1]);
    return port > 0 ? [{ pid: Number(pid), port }] : [];
  });
  // One that has ended meanwhile, or another user's, is not ours.
  return (await Promise.all(looks.map((look) => look.catch(() => [])))).flat();
}

async function fromPs(clusterDir: string): Promise<readonly Found[]> {
  if (process.platform === 'win32') return [];
  const { stdout } = await promisify(execFile)('ps', ['-axww', '-o', 'pid=,command='], {
    maxBuffer: 1 << 24,
  });
  return stdout.split('\n').flatMap((line) => {
    const pid = /^\s*(\d+) /.exec(line)?.[1];
    const port = line.includes(` -D ${clusterDir} `) ? / -p (\d+)/.exec(line)?.[1] : undefined;
    return pid === undefined || port === undefined ? [] : [{ pid: Number(pid), port: Number(port) }];
  });
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
    const { server, areLeftBehind } = await findProcesses(clusterDir);
    if (server === undefined ? !areLeftBehind : pid !== undefined && server.pid !== pid) return true;
    if (Date.now() >= end) return false;
    await pause(10);
  }
}
