import { spawn } from 'node:child_process';
import { randomBytes } from 'node:crypto';
import { chown, mkdir, readdir, readFile, rename, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { StartRefused } from '../start-problems.js';
import type { Account } from './account.js';
import { isAlive } from './processes.js';
import { complaintIn } from './server-log.js';

export const SUPERUSER = 'tallow';

const passwordFile = (clusterDir: string): string => join(clusterDir, 'bot-password');

/**
 * Makes a cluster with a random password. It is made beside its place and moved there whole, so that a first start
 * that is cut short leaves nothing half done; where two are made at once, the first one moved stays.
 */
export async function makeCluster(
  dataDir: string,
  clusterDir: string,
  initdb: string,
  account: Account,
  durable: boolean,
): Promise<void> {
  const workDir = join(dataDir, `.making-${process.pid}-${randomBytes(4).toString('hex')}`);
  const fresh = join(workDir, 'cluster');
  const pwfile = join(workDir, 'password');
  const password = randomBytes(24).toString('base64url');
  await clearUnfinished(dataDir);
  await mkdir(workDir, { mode: 0o700 });
  try {
    await writeFile(pwfile, `${password}\n`, { mode: 0o600 });
    await give(account, workDir, pwfile);
    await runInitdb(initdb, fresh, pwfile, account, durable);
    await writeFile(passwordFile(fresh), password, { mode: 0o600, flush: true });
    await give(account, passwordFile(fresh));
    await rename(fresh, clusterDir).catch((error: NodeJS.ErrnoException) => {
      if (error.code !== 'ENOTEMPTY' && error.code !== 'EEXIST') throw error;
    });
  } finally {
    await rm(workDir, { recursive: true, force: true });
  }
}

/** Removes what a first start left that was killed on the way; one that is still at work is let be. */
async function clearUnfinished(dataDir: string): Promise<void> {
  for (const name of await readdir(dataDir)) {
    const maker = /^\.making-(\d+)-[0-9a-f]{8}$/.exec(name)?.[1];
    if (maker === undefined || isAlive(Number(maker))) continue;
    await rm(join(dataDir, name), { recursive: true, force: true }).catch(() => {});
  }
}

async function give({ ids }: Account, ...paths: readonly string[]): Promise<void> {
  if (ids !== undefined) for (const path of paths) await chown(path, ids.uid, ids.gid);
}

/** @throws StartRefused when it cannot be read. */
export async function readPassword(clusterDir: string): Promise<string> {
  try {
    return (await readFile(passwordFile(clusterDir), 'utf8')).trim();
  } catch {
    throw new StartRefused(
      `The database in ${clusterDir} has no password file that can be read. Choose another folder with --data.`,
    );
  }
}

async function runInitdb(
  initdb: string,
  fresh: string,
  pwfile: string,
  account: Account,
  durable: boolean,
): Promise<void> {
  const { program, args, options } = account.command(initdb, [
    '--pgdata',
    fresh,
    '--username',
    SUPERUSER,
    '--pwfile',
    pwfile,
    '--auth=scram-sha-256',
    '--encoding=UTF8',
    '--locale=C',
    '--no-instructions',
    // A page that the disk garbled is noticed when it is read, not believed.
    '--data-checksums',
    ...(durable ? [] : ['--no-sync']),
  ]);
  const child = spawn(program, [...args], {
    ...options,
    cwd: '/',
    stdio: ['ignore', 'pipe', 'pipe'],
    env: environment(),
  });
  let said = '';
  for (const stream of [child.stdout, child.stderr]) stream.on('data', (chunk) => (said += String(chunk)));
  const code = await new Promise<number | null>((resolve, reject) => {
    child.on('error', reject);
    child.on('close', resolve);
  });
  if (code !== 0)
    throw new StartRefused(
      `A database could not be made: ${complaintIn(said) ?? `initdb ended with ${code}`}. Put that right, or choose another folder with --data.`,
    );
}

/**
 * All that Postgres needs to know of the environment: the bot's holds secrets, and variables of Postgres' own would
 * override what we ask for. Without SystemRoot no program starts on Windows.
 */
export function environment(): NodeJS.ProcessEnv {
  const { PATH, SystemRoot } = process.env;
  return {
    ...(PATH === undefined ? {} : { PATH }),
    ...(SystemRoot === undefined ? {} : { SystemRoot }),
    LC_ALL: 'C',
    TZ: 'UTC',
  };
}
