import { existsSync, statSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { dirname } from 'node:path';
import { StartRefused } from '../start-problems.js';

/** How to run a program of Postgres: it refuses to run as root. */
export interface Account {
  /** Owner of the database's files; undefined when that is simply whoever runs the bot. */
  readonly ids: { readonly uid: number; readonly gid: number } | undefined;
  /** Turns a program and its arguments into what must be spawned. */
  command(program: string, args: readonly string[]): SpawnedCommand;
}

export interface SpawnedCommand {
  readonly program: string;
  readonly args: readonly string[];
  readonly options: { readonly uid?: number; readonly gid?: number };
}

const SETPRIV = ['/usr/bin/setpriv', '/bin/setpriv'];

/**
 * The account to run Postgres under: our own, or, as root, an unprivileged one that exists. Where that one may not
 * walk to the folder or to the programs, it is given the one right it lacks, for those processes alone.
 * @throws StartRefused where neither works.
 */
export async function accountFor(clusterDir: string, programs: readonly string[]): Promise<Account> {
  const own = process.getuid?.();
  if (own === undefined || own !== 0) {
    if (own !== undefined && existsSync(clusterDir) && statSync(clusterDir).uid !== own) {
      throw new StartRefused(
        `The database in ${clusterDir} belongs to another user. Start the bot as that user, or choose another folder with --data.`,
      );
    }
    return { ids: undefined, command: (program, args) => ({ program, args, options: {} }) };
  }

  const ids = await unprivileged(clusterDir);
  if ([clusterDir, ...programs].every((path) => mayReach(path, ids))) {
    return { ids, command: (program, args) => ({ program, args, options: ids }) };
  }
  const setpriv = SETPRIV.find((path) => existsSync(path));
  if (setpriv === undefined) {
    throw new StartRefused(
      `Postgres does not run as root, and no other account may enter ${dirname(clusterDir)}. Choose another folder with --data, run the bot as an ordinary user, or set DATABASE_URL.`,
    );
  }
  const drop = [
    // Without it the kernel forgets the right where a program asks whether it may open a file, as initdb does.
    '--securebits=+no_setuid_fixup',
    `--reuid=${ids.uid}`,
    `--regid=${ids.gid}`,
    '--clear-groups',
    '--inh-caps=+dac_override',
    '--ambient-caps=+dac_override',
  ];
  return {
    ids,
    command: (program, args) => ({ program: setpriv, args: [...drop, program, ...args], options: {} }),
  };
}

/** Whoever owns the database already, else the account `postgres` or `nobody`. */
async function unprivileged(clusterDir: string): Promise<{ uid: number; gid: number }> {
  if (existsSync(clusterDir)) {
    const { uid, gid } = statSync(clusterDir);
    if (uid !== 0) return { uid, gid };
  }
  const passwd = await readFile('/etc/passwd', 'utf8').catch(() => '');
  for (const wanted of ['postgres', 'nobody']) {
    const [, , uid, gid] =
      passwd
        .split('\n')
        .find((line) => line.startsWith(`${wanted}:`))
        ?.split(':') ?? [];
    if (uid !== undefined && gid !== undefined) return { uid: Number(uid), gid: Number(gid) };
  }
  throw new StartRefused(
    'Postgres does not run as root, and there is neither an account “postgres” nor “nobody”. Run the bot as an ordinary user, or set DATABASE_URL.',
  );
}

/** Whether every folder above a path lets the account through. */
function mayReach(path: string, { uid, gid }: { uid: number; gid: number }): boolean {
  for (let folder = dirname(path); ; folder = dirname(folder)) {
    if (existsSync(folder)) {
      const stat = statSync(folder);
      const bit = stat.uid === uid ? 0o100 : stat.gid === gid ? 0o010 : 0o001;
      if ((stat.mode & bit) === 0) return false;
    }
    if (folder === dirname(folder)) return true;
  }
}
