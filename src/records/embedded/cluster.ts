import { randomBytes } from 'node:crypto';
import { once } from 'node:events';
import { existsSync } from 'node:fs';
import { mkdir, readdir, readFile, realpath, rename, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { damagedWords, StartRefused } from '../start-problems.js';
import { isAlive } from './processes.js';
import { findPrograms, type Programs } from './programs.js';
import { complaintIn } from './server-log.js';

export const SUPERUSER = 'tallow';

/** A database on the disk, and the programs that work on it. */
export interface Cluster {
  /** Absolute, without symbolic links. */
  readonly dataDir: string;
  readonly clusterDir: string;
  readonly programs: Programs;
  readonly durable: boolean;
}

export interface ClusterOptions {
  /** As whoever started the bot wrote it. */
  readonly dataDir: string;
  /** Told to the person who waits, when the wait is longer than a moment. */
  readonly announce?: (line: string) => void;
  /** Whether it is only read: nothing is made where nothing is, and another copy of the bot may go on using it. */
  readonly forReading?: boolean;
  /** False only in tests: a crash of the machine may then lose data. */
  readonly durable?: boolean;
}

/**
 * The cluster in a data folder; it is made where there is none yet, and so is the folder.
 * @throws StartRefused
 */
export async function findCluster(options: ClusterOptions): Promise<Cluster> {
  const { announce, forReading = false, durable = true } = options;
  if (forReading && !existsSync(join(options.dataDir, 'postgres')))
    throw new StartRefused(`There is no database in ${options.dataDir}. Name the folder of one with --data.`);
  await mkdir(options.dataDir, { recursive: true });
  const dataDir = await realpath(options.dataDir);
  const clusterDir = join(dataDir, 'postgres');
  const cluster = { dataDir, clusterDir, programs: await findPrograms(clusterDir), durable };
  if (existsSync(join(clusterDir, 'PG_VERSION'))) return cluster;
  const files = await readdir(clusterDir).catch(() => []);
  if (files.length > 0) throw new StartRefused(damagedWords('PG_VERSION is missing', options.dataDir));
  announce?.(`Making a database in ${options.dataDir}, once; this takes a few seconds…`);
  await makeCluster(cluster);
  return cluster;
}

const passwordFile = (clusterDir: string): string => join(clusterDir, 'bot-password');

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

/**
 * Makes a cluster with a random password. It is made beside its place and moved there whole, so that a first start
 * that is cut short leaves nothing half done; where two are made at once, the first one moved stays.
 */
async function makeCluster({ dataDir, clusterDir, programs, durable }: Cluster): Promise<void> {
  const workDir = join(dataDir, `.making-${process.pid}-${randomBytes(4).toString('hex')}`);
  const fresh = join(workDir, 'cluster');
  const pwfile = join(workDir, 'password');
  const password = randomBytes(24).toString('base64url');
  await clearUnfinished(dataDir);
  await mkdir(workDir, { mode: 0o700 });
  try {
    await writeFile(pwfile, `${password}\n`, { mode: 0o600 });
    await programs.give(workDir);
    await programs.give(pwfile);
    await runInitdb(programs, [
      `--pgdata=${fresh}`,
      `--username=${SUPERUSER}`,
      `--pwfile=${pwfile}`,
      '--auth=scram-sha-256',
      '--encoding=UTF8',
      '--locale=C',
      '--no-instructions',
      // A page that the disk garbled is noticed when it is read, not believed.
      '--data-checksums',
      ...(durable ? [] : ['--no-sync']),
    ]);
    await writeFile(passwordFile(fresh), password, { mode: 0o600, flush: true });
    await programs.give(passwordFile(fresh));
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

async function runInitdb(programs: Programs, args: readonly string[]): Promise<void> {
  const child = programs.start('initdb', args, { stdio: ['ignore', 'pipe', 'pipe'] });
  let said = '';
  for (const stream of [child.stdout, child.stderr]) stream?.on('data', (chunk) => (said += String(chunk)));
  const [code] = await once(child, 'close');
  if (code !== 0)
    throw new StartRefused(
      `A database could not be made: ${complaintIn(said) ?? `initdb ended with ${code}`}. Put that right, or choose another folder with --data.`,
    );
}
