import { createHash } from 'node:crypto';
import { mkdtemp, readdir, readFile, rm, stat, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gunzipSync, gzipSync } from 'node:zlib';
import fc from 'fast-check';
import { Migrator, sql } from 'kysely';
import pg from 'pg';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, inject, it, vi } from 'vitest';
import { migrations } from '../../migrations/index.js';
import { backUp, restore } from '../../src/records/backup/run.js';
import { openRecords, type Records } from '../../src/records/database.js';
import { USUAL_LIMITS } from '../../src/records/pool/limits.js';
import { StartRefused } from '../../src/records/start-problems.js';
import { startBot } from '../support/bot.js';
import { databaseUrl, runOn } from '../support/databases.js';
import { freshDatabase } from '../support/postgres.js';
import { openTalk, type Talk } from '../support/talk.js';

let folder: string;
let talk: Talk;
let file: string;
let made = 0;
const closers: (() => Promise<void>)[] = [];
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'tallow-tally-backup-'));
  talk = await openTalk();
  await fillEveryTable(talk.db);
});
beforeEach(() => {
  file = join(folder, `backup-${++made}.gz`);
});
afterEach(async () => {
  for (const close of closers.splice(0).reverse()) await close();
});
afterAll(async () => {
  await talk.close();
  await rm(folder, { recursive: true, force: true, maxRetries: 5 });
});

const ODD = [
  'plain',
  '\\N',
  '\\.',
  'a\\b\\\\c\\',
  'two\nlines\r\nand\ra\ttab',
  '“quotes” \'single\' "double" `tick` $1 %s',
  '🥩👩‍🍳 é é العربية',
  '',
  ' spaces ',
  '\u2028\u0001\u007f\v\f\b',
  '{"tallowTally":"backup"}',
];
const NOW = new Date('2026-11-25T18:00:00.123Z');

async function fillEveryTable(db: Records): Promise<void> {
  const community_id = 'ember\t"lane"';
  for (const id of [community_id, 'other'])
    await db.insertInto('communities').values({ community_id: id, created_at: NOW }).execute();
  for (const [at, name] of ODD.entries()) {
    const member_id = `member ${at} ${name}`;
    await db.insertInto('members').values({ community_id, member_id, name, created_at: NOW }).execute();
    await db
      .insertInto('batches')
      .values({
        community_id,
        number: at + 1,
        member_id,
        method: 'oven',
        cut: 'ground',
        // Neither is a short decimal in binary.
        fat_g: 1000 / 3 + at,
        tallow_g: at % 2 ? 0.1 + 0.2 : null,
        taste: at % 3 ? [name, 'clean', '{"a","b"}', 'NULL'] : [],
        note: name,
        state: at % 2 ? 'done' : 'rendering',
        finished_at: at % 2 ? NOW : null,
        logged_at: NOW,
        logged_by_interaction: `interaction ${at}`,
      })
      .execute();
    await db
      .insertInto('batch_changes')
      .values({
        community_id,
        number: at + 1,
        change: 1,
        changed_by: member_id,
        changed_at: NOW,
        interaction: `change ${at}`,
        before: JSON.stringify({ note: name, 'odd key\n"': [1e21, 0.1, null, true] }),
        after: JSON.stringify({ note: `${name}!` }),
      })
      .execute();
    await db
      .insertInto('drafts')
      .values({
        community_id,
        draft_id: `draft ${at}`,
        member_id,
        body: JSON.stringify([name]),
        created_at: NOW,
      })
      .execute();
    await db
      .insertInto('near_misses')
      .values({
        community_id,
        interaction: `miss ${at}`,
        member_id,
        topic: name,
        report: `-${name}`,
        reported_at: NOW,
      })
      .execute();
  }
  const member_id = `member 0 ${ODD[0]}`;
  await db.insertInto('kitchens').values({ community_id, member_id, altitude_m: -12.5 }).execute();
  const vessel = { name: 'stock pot 🥘\\', kind: 'pot' as const, capacity_ml: 11_356.235, added_at: NOW };
  await db
    .insertInto('vessels')
    .values({ community_id, member_id, ...vessel })
    .execute();
  const taken = { method: 'oven', cut: 'ground', fat_g: 3629, taken_at: NOW };
  await db
    .insertInto('taken_on')
    .values({ community_id, member_id, ...taken })
    .execute();
  const { kind, counts } = {
    kind: 'triangle' as const,
    counts: { kind: 'triangle', correct: 1, assessors: 2 },
  };
  const products = JSON.stringify(ODD.map((words) => ({ words })));
  await db
    .insertInto('tastings')
    .values({
      community_id,
      number: 1,
      kind,
      products,
      planned: 2,
      matters_share: 0.1 + 0.2,
      opened_by: member_id,
      opened_at: NOW,
      opened_by_interaction: 'open',
      closed_at: NOW,
      counts: JSON.stringify(counts),
    })
    .execute();
  await db
    .insertInto('tasting_servings')
    .values({ community_id, number: 1, seat: 1, cups: JSON.stringify([{ code: '123', product: 0 }]) })
    .execute();
  await db
    .insertInto('tasting_answers')
    .values({ community_id, number: 1, seat: 1, member_id, picked: ['123', 'a\tb'], answered_at: NOW })
    .execute();
  const delivery = { kind: 'weekly' as const, about: '2026-W48', channel: '#a\\b', due_at: NOW, nonce: 'n' };
  await db
    .insertInto('deliveries')
    .values({ community_id, ...delivery })
    .execute();
}

/** Every row of every table there is, as Postgres writes it, and where every sequence stands. */
async function everything(db: Records): Promise<Readonly<Record<string, readonly string[]>>> {
  const tables = await sql<{ name: string }>`
    select table_name as name from information_schema.tables
      where table_schema = current_schema() and table_name not like 'kysely%' order by 1`.execute(db);
  const found: Record<string, readonly string[]> = {};
  for (const { name } of tables.rows) {
    const { rows } = await sql<{
      row: string;
    }>`select t::text as row from ${sql.table(name)} t order by 1`.execute(db);
    found[name] = rows.map(({ row }) => row);
  }
  const sequences = await sql<{ is: string }>`
    select sequencename || ' ' || coalesce(last_value::text, 'fresh') as is from pg_sequences
      where schemaname = current_schema() order by 1`.execute(db);
  return { ...found, sequences: sequences.rows.map(({ is }) => is) };
}

const quiet = {
  limits: USUAL_LIMITS,
  dataDir: 'not used',
  log: { debug: () => {}, info: () => {}, warn: () => {} },
  announce: () => {},
  onLockLost: () => {},
  signal: new AbortController().signal,
};

const backUpTo = (to: string, from = talk.connectionString, more = {}): Promise<string> =>
  backUp({ ...quiet, files: [to], databaseUrl: from, now: NOW, ...more });
const restoreFrom = (from: string, to: string, more = {}): Promise<string> =>
  restore({ ...quiet, files: [from], databaseUrl: to, ...more });

/** A database without even tables. */
async function bareDatabase(): Promise<{ readonly url: string; readonly db: Records }> {
  const server = inject('postgres');
  const name = `bare_${process.pid}_${++made}`;
  await runOn(server, 'postgres', `create database ${name} template template0`);
  const url = databaseUrl(server, name);
  const db = openRecords(url, () => {});
  closers.push(() => runOn(server, 'postgres', `drop database ${name} with (force)`));
  closers.push(() => db.destroy());
  return { url, db };
}

/** Migrated and empty, as a bot leaves it that was started and asked nothing. */
async function emptyDatabase(): Promise<{ readonly url: string; readonly db: Records }> {
  const database = await freshDatabase();
  const db = openRecords(database.connectionString, () => {});
  closers.push(() => database.drop());
  closers.push(() => db.destroy());
  return { url: database.connectionString, db };
}

async function refusal(work: Promise<string>): Promise<string> {
  const error = await work.then(
    (done) => new Error(done),
    (reason: unknown) => reason,
  );
  if (!(error instanceof StartRefused)) throw error;
  expect(error.message).toMatch(/^[^\n]+[.)E]$/);
  return error.message;
}

describe('a backup', () => {
  it('holds every row of every table, and every sequence: all is the same where it is put back', async () => {
    const before = await everything(talk.db);
    expect(Object.entries(before).filter(([, rows]) => rows.length === 0)).toEqual([]);
    expect(await backUpTo(file)).toMatch(/^Backed up \d+ rows of \d+ tables to .*\(\d+ kB\)\.$/);
    for (const { url, db } of [await bareDatabase(), await emptyDatabase()]) {
      expect(await restoreFrom(file, url)).toMatch(
        /^Put back \d+ rows of \d+ tables, as they were on 2026-11-25 18:00 UTC\.$/,
      );
      expect(await everything(db)).toEqual(before);
    }
    expect(await everything(talk.db)).toEqual(before);
  });

  it('goes on where it is put back: triggers count, from where they stood', async () => {
    await backUpTo(file);
    const { url, db } = await bareDatabase();
    await restoreFrom(file, url);
    const revisions = () => db.selectFrom('communities').select('revision').orderBy('revision').execute();
    const before = await revisions();
    await db.updateTable('batches').set({ note: 'changed' }).where('number', '=', 1).execute();
    const after = await revisions();
    expect(Math.max(...after.map(({ revision }) => revision))).toBeGreaterThan(
      Math.max(...before.map(({ revision }) => revision)),
    );
    await expect(
      sql`insert into members (community_id, member_id, name, created_at) values ('nowhere', 'x', 'x', now())`.execute(
        db,
      ),
    ).rejects.toThrow('foreign key');
  });

  it('is of one moment, whatever is logged meanwhile', async () => {
    const before = await everything(talk.db);
    const blocker = new pg.Client({ connectionString: talk.connectionString });
    await blocker.connect();
    await blocker.query('begin');
    await blocker.query('lock table vessels in access exclusive mode');
    const done = backUpTo(file);
    const waits = async () => {
      const { rows } = await sql`select 1 from pg_stat_activity
        where application_name like '%backup' and wait_event_type = 'Lock'`.execute(talk.db);
      return rows.length;
    };
    await expect.poll(waits, { timeout: 10_000 }).toBe(1);
    // Of these the one is read already, the other not yet.
    await blocker.query(`insert into communities (community_id, created_at) values ('late', now())`);
    await blocker.query(`delete from batch_changes where number = 1`);
    await blocker.query('commit');
    await done;
    await blocker.query(`delete from communities where community_id = 'late'`);
    await blocker.end();
    const { url, db } = await bareDatabase();
    await restoreFrom(file, url);
    expect(await everything(db)).toMatchObject({
      communities: before.communities,
      batch_changes: before.batch_changes,
    });
  });

  it('can be read by nobody else, and by anybody who unpacks it', async () => {
    await backUpTo(file);
    expect((await stat(file)).mode & 0o777).toBe(0o600);
    const [header] = gunzipSync(await readFile(file))
      .toString('utf8')
      .split('\n');
    expect(JSON.parse(header ?? '')).toMatchObject({
      tallowTally: 'backup',
      migrations: Object.keys(migrations),
    });
  });

  it('of an older version is put back and brought up to date', async () => {
    const old = await bareDatabase();
    const migrator = new Migrator({ db: old.db, provider: { getMigrations: async () => migrations } });
    await migrator.migrateTo('0002_kit');
    await sql`insert into communities (community_id, last_batch, created_at) values ('old', 7, now())`.execute(
      old.db,
    );
    await sql`insert into members (community_id, member_id, name, created_at) values ('old', 'Robin', 'Robin', now())`.execute(
      old.db,
    );
    await backUpTo(file, old.url);
    for (const { url, db } of [await bareDatabase(), await emptyDatabase()]) {
      await restoreFrom(file, url);
      expect(
        await db
          .selectFrom('communities')
          .select(['community_id', 'last_batch', 'counts_odd_batches'])
          .execute(),
      ).toEqual([{ community_id: 'old', last_batch: 7, counts_odd_batches: true }]);
      const { rows } = await sql<{ name: string }>`select name from kysely_migration order by name`.execute(
        db,
      );
      expect(rows.map(({ name }) => name)).toEqual(Object.keys(migrations));
    }
  });

  it('finds the tables behind a schema of the user’s own that is empty', async () => {
    const { url, db } = await emptyDatabase();
    await db.insertInto('communities').values({ community_id: 'behind', created_at: NOW }).execute();
    await sql`create schema own`.execute(db);
    expect(await backUpTo(file, `${url}&options=-csearch_path%3Down,public`)).toMatch(/^Backed up 1 rows of/);
  });

  it('says how far it is when it takes long', async () => {
    const told: string[] = [];
    const now = vi.spyOn(Date, 'now');
    let seconds = 0;
    now.mockImplementation(() => 1_000_000 + 1000 * seconds++);
    try {
      await backUpTo(file, talk.connectionString, { announce: (line: string) => told.push(line) });
      const { url } = await bareDatabase();
      await restoreFrom(file, url, { announce: (line: string) => told.push(line) });
    } finally {
      now.mockRestore();
    }
    expect(told.some((line) => /^Backing up: \d+ rows so far…$/.test(line))).toBe(true);
    expect(told.some((line) => /^Putting back: \d+ of \d+ rows…$/.test(line))).toBe(true);
  });
});

describe('a backup is not made', () => {
  it('over a file that is there, nor where there is no folder', async () => {
    await writeFile(file, 'the only good one');
    expect(await refusal(backUpTo(file))).toMatch(/is there already\. Name another file\.$/);
    expect(await readFile(file, 'utf8')).toBe('the only good one');
    expect(await refusal(backUpTo(join(folder, 'missing', 'x.gz')))).toMatch(/^There is no folder .*missing/);
    expect(
      await refusal(backUp({ ...quiet, files: [], databaseUrl: talk.connectionString, now: NOW })),
    ).toMatch(/^Name one file/);
  });

  it('of a database without tables of the bot', async () => {
    const { url } = await bareDatabase();
    expect(await refusal(backUpTo(file, url))).toMatch(/holds no tables of the bot/);
  });

  it('half: stopped on its way it leaves no file', async () => {
    const signal = AbortSignal.abort();
    await expect(backUpTo(file, talk.connectionString, { signal })).rejects.toThrow();
    expect((await readdir(folder)).filter((name) => name.includes(`backup-${made}.`))).toEqual([]);
  });
});

describe('nothing is put back', () => {
  it('into a database that holds records', async () => {
    await backUpTo(file);
    const before = await everything(talk.db);
    expect(await refusal(restoreFrom(file, talk.connectionString))).toMatch(/holds records already/);
    expect(await everything(talk.db)).toEqual(before);
  });

  it('into a database of something else, or of a newer version', async () => {
    await backUpTo(file);
    const other = await bareDatabase();
    await sql`create table letters (text text)`.execute(other.db);
    expect(await refusal(restoreFrom(file, other.url))).toMatch(/holds tables of something else/);
    expect(Object.keys(await everything(other.db))).toEqual(['letters', 'sequences']);
    const newer = await emptyDatabase();
    await sql`insert into kysely_migration (name, timestamp) values ('9999_future', '2030')`.execute(
      newer.db,
    );
    expect(await refusal(restoreFrom(file, newer.url))).toMatch(/made by a newer version of the bot/);
  });

  it('when it is stopped on its way', async () => {
    await backUpTo(file);
    const { url, db } = await emptyDatabase();
    await expect(restoreFrom(file, url, { signal: AbortSignal.abort() })).rejects.toThrow();
    expect(Object.values(await everything(db)).flat()).toEqual([expect.stringMatching(/^revisions/)]);
  });

  it('while somebody holds on to the tables', { timeout: 20_000 }, async () => {
    await backUpTo(file);
    const { url, db } = await emptyDatabase();
    const holder = new pg.Client({ connectionString: url });
    await holder.connect();
    await holder.query('begin');
    await holder.query('select * from batches');
    expect(await refusal(restoreFrom(file, url))).toMatch(/waiting for a lock/);
    await holder.end();
    expect(await db.selectFrom('batches').select('number').execute()).toEqual([]);
  });

  it('of a file that is none', async () => {
    const url = 'postgres://nobody@127.0.0.1:1/not-asked';
    expect(await refusal(restoreFrom(join(folder, 'missing.gz'), url))).toMatch(/^There is no file /);
    expect(await refusal(restoreFrom(folder, url))).toMatch(/is not a file\.$/);
    for (const content of [
      '',
      'text',
      gzipSync('text\n'),
      gzipSync('{}\n'),
      gzipSync(Buffer.alloc(1000)),
      gzipSync(''),
    ]) {
      await writeFile(file, content);
      expect(await refusal(restoreFrom(file, url))).toMatch(
        /is not a backup of this bot|was cut off or changed/,
      );
    }
  });

  it('of a file that a newer version of the bot made', async () => {
    await backUpTo(file);
    const lines = gunzipSync(await readFile(file)).toString('latin1');
    const url = 'postgres://nobody@127.0.0.1:1/not-asked';
    for (const newer of [
      lines.replace('"format":1', '"format":2'),
      resealed(lines.replace('0001_batches', '0001_others')),
    ]) {
      await writeFile(file, gzipSync(Buffer.from(newer, 'latin1')));
      expect(await refusal(restoreFrom(file, url))).toMatch(/was made by a newer version of the bot/);
    }
  });

  it('of a file that was cut off or changed, wherever', async () => {
    await backUpTo(file);
    const whole = await readFile(file);
    const content = gunzipSync(whole);
    const url = 'postgres://nobody@127.0.0.1:1/not-asked';
    const refused = async (bytes: Buffer): Promise<void> => {
      await writeFile(file, bytes);
      expect(await refusal(restoreFrom(file, url))).toMatch(/was cut off or changed|is not a backup/);
    };
    await fc.assert(
      fc.asyncProperty(fc.nat(whole.length - 1), (length) => refused(whole.subarray(0, length))),
      { numRuns: 60 },
    );
    // The first ten bytes say when and by what it was packed (RFC 1952), and may be anything.
    const at = fc.integer({ min: 10, max: whole.length - 1 });
    const flip = (bytes: Buffer, index: number, by: number): Buffer => {
      const changed = Buffer.from(bytes);
      changed[index] = (changed[index] ?? 0) ^ by;
      return changed;
    };
    const by = fc.integer({ min: 1, max: 255 });
    await fc.assert(
      fc.asyncProperty(at, by, (index, bits) => {
        const changed = flip(whole, index, bits);
        // The same lines can be packed in more than one way (RFC 1951).
        fc.pre(!unpacksTo(changed, content));
        return refused(changed);
      }),
      { numRuns: 200 },
    );
    // Packed again, so that the checksum of the packing agrees.
    await fc.assert(
      fc.asyncProperty(fc.nat(content.length - 1), by, (index, bits) =>
        refused(gzipSync(flip(content, index, bits))),
      ),
      { numRuns: 200 },
    );
    for (const more of ['x', '\n', '{}\n'])
      await refused(gzipSync(Buffer.concat([content, Buffer.from(more)])));
    for (const more of [Buffer.from('x'), gzipSync('x\n'), whole])
      await refused(Buffer.concat([whole, more]));
  });
});

function unpacksTo(packed: Buffer, content: Buffer): boolean {
  try {
    return gunzipSync(packed).equals(content);
  } catch {
    return false;
  }
}

/** With a seal that agrees with what is before it. */
function resealed(lines: string): string {
  const body = lines.slice(0, lines.lastIndexOf('\n', lines.length - 2) + 1);
  return `${body}${JSON.stringify({ sha256: createHash('sha256').update(body, 'latin1').digest('hex') })}\n`;
}

describe('the way between the bot’s own Postgres and another', () => {
  it('leads there and back, also while the bot runs', { timeout: 120_000 }, async () => {
    const log = (pounds: number) =>
      `/batch log fat:"${pounds} lb" tallow:"2 lb" method:open-pot cut:ground note:"says “\\N” 🥩"`;
    const own = join(folder, 'own');
    const bot = startBot({ dataDir: own });
    expect((await bot.say(log(4))).ok).toBe(true);
    const run = async (
      args: readonly string[],
      env: Readonly<Record<string, string>> = {},
      dataDir = own,
    ) => {
      const done = startBot({ args, env, dataDir });
      let out = '';
      done.process.stdout?.on('data', (piece) => {
        out += String(piece);
      });
      const { code, said } = await done.finish();
      return { code, said: said.replace(/^Making a database.*\n/m, '').trim(), out: out.trim() };
    };
    expect(await run(['backup', file])).toMatchObject({
      code: 0,
      said: '',
      out: expect.stringMatching(/^Backed up 3 rows of/),
    });
    expect(await run(['restore', file])).toMatchObject({
      code: 2,
      said: expect.stringMatching(/^Another copy of the bot is using/),
    });
    expect((await bot.say('/batch list')).reply?.figures.batches).toBe(1);
    expect((await bot.finish()).code).toBe(0);

    const { url } = await bareDatabase();
    const outside = { DATABASE_URL: url };
    expect((await run(['restore', file], outside)).out).toMatch(/^Put back 3 rows/);
    const there = startBot({ env: outside });
    expect((await there.say(log(5))).reply?.figures.batch).toBe(2);
    await there.finish();

    const back = `${file}.back`;
    expect((await run(['backup', back], outside)).code).toBe(0);
    const fresh = join(folder, 'fresh');
    expect(await run(['restore', back], {}, fresh)).toMatchObject({ code: 0, said: '' });
    const again = startBot({ dataDir: fresh });
    expect((await again.say('/batch list')).reply?.figures.batches).toBe(2);
    expect((await again.say(log(6))).reply?.figures.batch).toBe(3);
    await again.finish();
  });

  it('begins only where a database is', async () => {
    const nowhere = join(folder, 'nowhere');
    const { code, said } = await startBot({ args: ['backup', file], dataDir: nowhere }).finish();
    expect(code).toBe(2);
    expect(said).toMatch(/^There is no database in .*nowhere\./m);
    expect(await stat(nowhere).catch(() => undefined)).toBeUndefined();
  }, 60_000);
});
