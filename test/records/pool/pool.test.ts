import { randomBytes } from 'node:crypto';
import { setTimeout as pause } from 'node:timers/promises';
import { sql } from 'kysely';
import pg from 'pg';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, inject, it } from 'vitest';
import { SavingUnsure, Unavailable } from '../../../src/chat/fault.js';
import { rememberCommunity } from '../../../src/records/communities.js';
import { openRecords, type Records } from '../../../src/records/database.js';
import { type DatabaseLimits, USUAL_LIMITS } from '../../../src/records/pool/limits.js';
import { databaseUrl, runOn } from '../../support/databases.js';
import { type FreshDatabase, freshDatabase } from '../../support/postgres.js';
import { type Wire, wireTo } from '../../support/wire.js';

const NOW = new Date('2026-11-25T18:00:00Z');

let database: FreshDatabase;
let wire: Wire;
/** To look and to meddle with, past the wire. */
let beside: Records;
beforeAll(async () => {
  database = await freshDatabase();
  wire = await wireTo(database.connectionString);
  beside = openRecords(database.connectionString, () => {});
});
afterAll(async () => {
  await beside.destroy();
  await wire.close();
  await database.drop();
});

const opened: Records[] = [];
let news: string[] = [];
const open = (limits: Partial<DatabaseLimits> = {}, connectionString = wire.connectionString): Records => {
  const db = openRecords(connectionString, (one) => news.push(one), { ...USUAL_LIMITS, ...limits });
  opened.push(db);
  return db;
};
beforeEach(() => {
  news = [];
  wire.listen();
});
afterEach(async () => {
  await wire.mend();
  for (const db of opened.splice(0)) await db.destroy();
});

const pid = async (db: Records): Promise<number> =>
  (await sql<{ pid: number }>`select pg_backend_pid() as pid`.execute(db)).rows[0]?.pid ?? 0;
const end = (which: number) => sql`select pg_terminate_backend(${which})`.execute(beside);
const sleep = (db: Records, seconds: number) => sql`select pg_sleep(${seconds})`.execute(db);
const store = (db: Records, community: string) => rememberCommunity(db, community, NOW);
const isStored = async (community: string): Promise<boolean> =>
  (await beside
    .selectFrom('communities')
    .select('community_id')
    .where('community_id', '=', community)
    .executeTakeFirst()) !== undefined;

/** What somebody else holds for as long as `meanwhile` takes. */
const whileLocked = (meanwhile: () => Promise<void>): Promise<void> =>
  beside.transaction().execute(async (tx) => {
    await sql`lock table communities`.execute(tx);
    await meanwhile();
  });

const failure = (work: Promise<unknown>): Promise<unknown> =>
  work.then(
    () => 'it worked',
    (error: unknown) => error,
  );
const why = async (work: Promise<unknown>): Promise<unknown> => {
  const error = await failure(work);
  return error instanceof Unavailable ? error.why : error;
};
async function took<T>(work: Promise<T>): Promise<{ readonly ms: number; readonly result: T }> {
  const start = performance.now();
  const result = await work;
  return { ms: performance.now() - start, result };
}

describe('a connection that the server ends', () => {
  it('fails the statement that was under way, and nothing else', async () => {
    const db = open();
    const underWay = failure(sql`select pg_sleep(10), 'this one' as mark`.execute(db));
    await expect
      .poll(async () => {
        const { rows } = await sql<{ pid: number }>`
          select pid from pg_stat_activity where query like '%this one%' and state = 'active'
            and pid <> pg_backend_pid()`.execute(beside);
        for (const row of rows) await end(row.pid);
        return rows.length;
      })
      .toBe(1);
    expect(await underWay).toMatchObject({ name: 'Unavailable', why: 'away', cause: { code: '57P01' } });
    expect(await pid(db)).toBeGreaterThan(0);
    expect(news).toEqual(['connection lost']);
  });

  it('undoes a transaction between whose statements it was ended, and says that nothing was stored', async () => {
    const db = open();
    const reason = await why(
      db.transaction().execute(async (tx) => {
        await store(tx, 'undone');
        await end(await pid(tx));
        await pause(50);
        await store(tx, 'undone too');
      }),
    );
    expect(reason).toBe('away');
    expect(await isStored('undone')).toBe(false);
    await store(db, 'stored after');
    expect(await isStored('stored after')).toBe(true);
  });

  it('is not used again when it was ended while nobody used it', async () => {
    const db = open();
    const former = await pid(db);
    await end(former);
    await expect.poll(() => news).toEqual(['connection lost']);
    expect(await pid(db)).not.toBe(former);
  });
});

describe('a connection that is cut while something is stored', () => {
  it.each([
    ['before', false],
    ['after', true],
  ] as const)('at the commit leaves it open whether it was stored: %s', async (when, stored) => {
    const db = open();
    const community = `commit ${when}`;
    // begin, insert, commit
    wire.listen({ at: 2, when });
    const error = await failure(db.transaction().execute((tx) => store(tx, community)));
    expect(wire.statements.at(-1)).toBe('commit');
    expect(error).toBeInstanceOf(SavingUnsure);
    expect(await isStored(community)).toBe(stored);
  });

  it.each([
    ['before', false],
    ['after', true],
  ] as const)('outside a transaction leaves it open as well: %s', async (when, stored) => {
    const db = open();
    const community = `alone ${when}`;
    wire.listen({ at: 0, when });
    expect(await failure(store(db, community))).toBeInstanceOf(SavingUnsure);
    expect(await isStored(community)).toBe(stored);
  });

  it('before the commit is sure: nothing was stored', async () => {
    const db = open();
    wire.listen({ at: 1, when: 'after' });
    expect(await why(db.transaction().execute((tx) => store(tx, 'inside')))).toBe('away');
    expect(await isStored('inside')).toBe(false);
  });

  it('is no doubt where only something was read', async () => {
    const db = open();
    wire.listen({ at: 0, when: 'after' });
    expect(await why(db.selectFrom('communities').selectAll().forUpdate().execute())).toBe('away');
    wire.listen({ at: 0, when: 'after' });
    const read = db
      .with('found', (q) => q.selectFrom('communities').select('community_id').forUpdate())
      .selectFrom('found')
      .selectAll();
    expect(await why(read.execute())).toBe('away');
  });

  it('is a doubt where a change begins with what it reads', async () => {
    const db = open();
    wire.listen({ at: 0, when: 'after' });
    const change = db
      .with('found', (q) => q.selectFrom('communities').select('community_id').forUpdate())
      .updateTable('communities as c')
      .from('found')
      .set({ last_batch: 1 })
      .whereRef('c.community_id', '=', 'found.community_id');
    expect(await failure(change.execute())).toBeInstanceOf(SavingUnsure);
  });
});

describe('a database that takes too long', () => {
  it('is busy when no connection becomes free in time; they are given in the order of asking', async () => {
    const db = open({ connections: 1, waitMs: 300 });
    const held = sleep(db, 0.5);
    const { ms, result } = await took(why(pid(db)));
    expect(result).toBe('busy');
    expect(ms).toBeGreaterThan(290);
    await held;
    const order: number[] = [];
    await Promise.all([1, 2, 3].map(async (turn) => order.push((await pid(db)) && turn)));
    expect(order).toEqual([1, 2, 3]);
  });

  it('is busy when a statement takes longer than it may; the connection stays', async () => {
    const db = open({ connections: 1, statementMs: 200 });
    const former = await pid(db);
    expect(await failure(sleep(db, 5))).toMatchObject({ why: 'busy', cause: { code: '57014' } });
    expect(await pid(db)).toBe(former);
  });

  it('is busy when somebody else holds what is needed', async () => {
    const db = open({ lockMs: 200 });
    await whileLocked(async () => {
      expect(await failure(store(db, 'locked out'))).toMatchObject({ why: 'busy', cause: { code: '55P03' } });
    });
    expect(await isStored('locked out')).toBe(false);
  });

  it('ends a transaction of ours that says nothing', async () => {
    const db = open({ idleInTransactionMs: 200 });
    const reason = await why(
      db.transaction().execute(async (tx) => {
        await store(tx, 'asleep');
        await pause(500);
        await store(tx, 'asleep too');
      }),
    );
    expect(reason).toBe('busy');
    expect(await isStored('asleep')).toBe(false);
  });

  it('is given up where it was not told its limits, or does not keep them', async () => {
    const db = open({ statementMs: 100, toldToServer: false });
    const former = await pid(db);
    const { ms, result } = await took(why(sleep(db, 20)));
    expect(result).toBe('busy');
    expect(ms).toBeLessThan(4000);
    expect(await pid(db)).not.toBe(former);
  });

  it('is away once it hangs, and back once it goes on', { timeout: 20_000 }, async () => {
    const db = open({ statementMs: 100, connectMs: 500 });
    await Promise.all([pid(db), pid(db), pid(db)]);
    wire.freeze();
    // An open connection first, then a new one: after that everybody hears it at once.
    expect(await why(pid(db))).toBe('busy');
    expect(await why(pid(db))).toBe('away');
    const { ms, result } = await took(why(pid(db)));
    expect(result).toBe('away');
    expect(ms).toBeLessThan(100);
    await wire.mend();
    await expect.poll(() => why(pid(db)), { timeout: 3000 }).toBe('it worked');
    expect(news).toEqual(['connection lost', 'away', 'back']);
  });

  it('does not keep the bot from ending', async () => {
    const db = open();
    await Promise.all([pid(db), pid(db)]);
    wire.freeze();
    expect((await took(db.destroy())).ms).toBeLessThan(4000);
    opened.splice(0);
  });
});

describe('a database that cannot be reached', () => {
  it('is away at once, for everybody, and back within a second of its return', async () => {
    const db = open();
    await pid(db);
    await wire.down();
    expect(await why(pid(db))).toBe('away');
    const asked = await took(Promise.all(Array.from({ length: 100 }, () => why(pid(db)))));
    expect(new Set(asked.result)).toEqual(new Set(['away']));
    expect(asked.ms).toBeLessThan(200);
    await wire.mend();
    const back = await took(expect.poll(() => why(pid(db)), { interval: 20 }).toBe('it worked'));
    expect(back.ms).toBeLessThan(1000);
    expect(news).toEqual(['connection lost', 'away', 'back']);
  });

  it('is busy when it takes no more connections; one of ours that becomes free is waited for', async () => {
    const role = `few_${randomBytes(4).toString('hex')}`;
    const server = inject('postgres');
    await runOn(server, 'postgres', `create role ${role} login connection limit 1 password 'few'`);
    const url = new URL(databaseUrl(server, new URL(database.connectionString).pathname.slice(1)));
    url.username = role;
    url.password = 'few';
    try {
      const db = open({ waitMs: 1000 }, url.toString());
      expect(await Promise.all([sleep(db, 0.1), sleep(db, 0.1)].map(why))).toEqual([
        'it worked',
        'it worked',
      ]);
      const held = sleep(db, 1.5);
      expect(await failure(pid(db))).toMatchObject({ why: 'busy', cause: { code: '53300' } });
      await held;
      await db.destroy();
      opened.splice(0);
    } finally {
      await runOn(server, 'postgres', `drop role ${role}`);
    }
  });

  it('takes nothing new when it is read-only', async () => {
    const url = new URL(database.connectionString);
    url.searchParams.set('options', '-c default_transaction_read_only=on');
    const db = open({}, url.toString());
    expect(await why(store(db, 'never'))).toBe('read-only');
    expect(await why(db.transaction().execute((tx) => store(tx, 'never')))).toBe('read-only');
    expect(await pid(db)).toBeGreaterThan(0);
  });
});

describe('a statement that is wrong', () => {
  it('throws what the database said, and costs no connection', async () => {
    const db = open({ connections: 1 });
    const former = await pid(db);
    const error = await failure(sql`select nothing`.execute(db));
    expect(error).toBeInstanceOf(pg.DatabaseError);
    expect(error).toMatchObject({ code: '42703' });
    expect(await pid(db)).toBe(former);
  });
});
