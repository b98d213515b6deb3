import { execFileSync } from 'node:child_process';
import {
  appendFile,
  mkdtemp,
  open,
  readdir,
  readFile,
  realpath,
  rm,
  truncate,
  writeFile,
} from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { findProcesses } from '../../../src/records/embedded/processes.js';
import { StartRefused } from '../../../src/records/start-problems.js';
import type { Store } from '../../../src/records/store.js';
import { startBot } from '../../support/bot.js';
import { openQuietStore } from '../../support/quiet-store.js';

const MOST_MS = 10_000;
let logged = 0;
/** No two alike, which would be asked about. */
const logLine = (): string =>
  `/batch log fat:"${1000 + 10 * ++logged} g" tallow:"500 g" method:open-pot cut:ground`;

let folder: string;
/** A database with a batch in it, to be copied and damaged. */
let whole: string;
beforeAll(async () => {
  folder = await realpath(await mkdtemp(join(tmpdir(), 'tallow-tally-embedded-')));
  whole = join(folder, 'whole');
  expect((await startBot({ dataDir: whole, args: [logLine()] }).finish()).code).toBe(0);
}, 60_000);
afterAll(() => rm(folder, { recursive: true, force: true, maxRetries: 5 }));

let dataDir: string;
let cluster: string;
let copies = 0;
beforeEach(() => {
  dataDir = join(folder, `copy-${++copies}`);
  cluster = join(dataDir, 'postgres');
  // With the owners: as root the files belong to another account.
  execFileSync('cp', ['-a', whole, dataDir]);
});
afterEach(async () => {
  const { server } = await findProcesses(cluster);
  if (server) process.kill(server.pid, 'SIGKILL');
  expect(server).toBeUndefined();
});

const openIt = (): Promise<Store> => openQuietStore({ dataDir });

/** The line that a start is refused with, in time. */
async function refused(): Promise<string> {
  const began = Date.now();
  const error = await openIt().then(
    () => new Error('it started'),
    (reason: unknown) => reason,
  );
  if (!(error instanceof StartRefused)) throw error;
  expect(Date.now() - began).toBeLessThan(MOST_MS);
  expect(error.message).toMatch(/^[^\n]+\.$/);
  return error.message;
}

/** The files of the bot’s own tables and indexes; Postgres numbers those that are not its own from 16384. */
async function tableFiles(): Promise<readonly string[]> {
  const base = join(cluster, 'base', '5');
  return (await readdir(base)).filter((name) => Number(name) >= 16_384).map((name) => join(base, name));
}

async function overwriteFirstPage(file: string): Promise<void> {
  const handle = await open(file, 'r+');
  await handle.write(Buffer.alloc(8192, 0x5a), 0, 8192, 0);
  await handle.close();
}

describe('a start on a data folder that something happened to says in one line', () => {
  it.each([
    [
      'that the password kept with it is another',
      () => writeFile(join(cluster, 'bot-password'), 'another'),
      /does not accept the password kept with it/,
    ],
    ['that the password is gone', () => rm(join(cluster, 'bot-password')), /no password file/],
    [
      'that the folder of the database is gone',
      () => rm(join(cluster, 'base', '5'), { recursive: true }),
      /seems damaged \(3D000\).*npm run restore/,
    ],
    [
      'that its tables are cut off',
      async () => {
        for (const file of await tableFiles()) await truncate(file, 10);
      },
      /seems damaged \(XX001\)/,
    ],
    [
      'that its pages are overwritten',
      async () => {
        for (const file of await tableFiles()) await overwriteFirstPage(file);
      },
      /seems damaged \(XX001\)/,
    ],
    [
      'that Postgres’ own tables are overwritten',
      // pg_class (PostgreSQL source, src/include/catalog/pg_class.h).
      () => overwriteFirstPage(join(cluster, 'base', '5', '1259')),
      /seems damaged/,
    ],
    [
      'that PG_VERSION is gone',
      () => rm(join(cluster, 'PG_VERSION')),
      /seems damaged \(PG_VERSION is missing\)/,
    ],
    [
      'that another Postgres made it',
      () => writeFile(join(cluster, 'PG_VERSION'), '16\n'),
      /did not start in .*: database files are incompatible with server\./,
    ],
    [
      'that pg_control is cut off',
      () => truncate(join(cluster, 'global', 'pg_control'), 10),
      /did not start in .*pg_control/,
    ],
    [
      'that its configuration holds a mistake',
      () => appendFile(join(cluster, 'postgresql.conf'), 'nonsense = 1\n'),
      /did not start in .*postgresql\.conf" contains errors/,
    ],
    [
      'that its write-ahead log is gone',
      async () => {
        const wal = join(cluster, 'pg_wal');
        for (const name of await readdir(wal)) await rm(join(wal, name), { recursive: true });
      },
      /did not start in /,
    ],
    [
      'that it is a file',
      async () => {
        await rm(dataDir, { recursive: true });
        await writeFile(dataDir, 'a note');
      },
      /is not a folder/,
    ],
  ])('%s, and leaves no server behind', { timeout: 30_000 }, async (_what, happens, words) => {
    await happens();
    expect(await refused()).toMatch(words);
    expect((await findProcesses(cluster)).server).toBeUndefined();
  });

  it('that a newer version of the bot made it', { timeout: 30_000 }, async () => {
    const store = await openIt();
    await store.db
      .withTables<{ kysely_migration: { name: string; timestamp: string } }>()
      .insertInto('kysely_migration')
      .values({ name: '9999_future', timestamp: '2030-01-01T00:00:00.000Z' })
      .execute();
    await store.close();
    expect(await refused()).toMatch(
      /^This database was made by a newer version of the bot; start that one\./,
    );
  });
});

describe.skipIf(process.platform !== 'linux')('the embedded server', () => {
  it('is told nothing of the environment but where programs are, the language and the zone', {
    timeout: 30_000,
  }, async () => {
    const bot = startBot({
      dataDir,
      env: { MY_SECRET: 'hunter2', DISCORD_API: 'http://127.0.0.1:1', PGPORT: '1' },
    });
    expect((await bot.say('/batch list')).ok).toBe(true);
    const { server } = await findProcesses(cluster);
    const environment = await readFile(`/proc/${server?.pid}/environ`, 'utf8');
    const names = environment
      .split('\0')
      .flatMap((entry) => entry.split('=').slice(0, 1))
      .filter((name) => name !== '');
    // Postgres itself adds names of its own that begin with PG.
    expect(names.filter((name) => !name.startsWith('PG')).sort()).toEqual(['LC_ALL', 'PATH', 'TZ']);
    expect(environment).not.toContain('hunter2');
    await bot.finish();
  });
});

describe('several copies of the bot on one folder', () => {
  const answered = async (starts: readonly ReturnType<typeof startBot>[]) => {
    const ends = await Promise.all(starts.map((bot) => bot.finish()));
    return ends.map(({ code, said }) => (code === 0 ? 'answered' : said.trim()));
  };
  const once = () => startBot({ dataDir, args: [logLine()] });
  const pause = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));
  const busy = /^(answered|Another copy of the bot is using [^\n]*)$/;

  it.each([2, 3])(
    '%i that are started at once with a line each answer, or say who is in the way',
    {
      timeout: 180_000,
    },
    async (copiesAtOnce) => {
      let known = 1;
      for (let round = 0; round < 2; round++) {
        const ends = await answered(Array.from({ length: copiesAtOnce }, once));
        for (const end of ends) expect(end).toMatch(busy);
        known += ends.filter((end) => end === 'answered').length;
      }
      const bot = startBot({ dataDir });
      expect((await bot.say('/batch list')).reply?.figures.batches).toBe(known);
      await bot.finish();
    },
  );

  it('that are started one after the other always answer, however soon', { timeout: 180_000 }, async () => {
    for (const ms of [0, 300, 800, 1500]) {
      const first = once();
      await pause(ms);
      expect(await answered([first, once()])).toEqual(['answered', 'answered']);
    }
  });

  it('wait for one that is stopping', { timeout: 60_000 }, async () => {
    const first = startBot({ dataDir });
    await first.say('/batch list');
    const ended = first.finish();
    expect(await answered([once()])).toEqual(['answered']);
    expect((await ended).code).toBe(0);
  });
});
