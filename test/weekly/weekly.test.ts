import { afterAll, beforeEach, describe, expect, it } from 'vitest';
import { TERMINAL } from '../../src/chat/call.js';
import type { Outbox, OutgoingMessage, Posted } from '../../src/chat/platform.js';
import { cautionsOf, type Reply } from '../../src/chat/reply.js';
import { type Scheduler, startScheduler } from '../../src/deliveries/scheduler.js';
import { openRecords, type Records } from '../../src/records/database.js';
import { CAUTIONS } from '../../src/safety/cautions.js';
import { composeWeekly, composingWith, weeklyPosts } from '../../src/weekly/post.js';
import { inOwnCommunity } from '../support/own-community.js';
import { openTalk, type Talk } from '../support/talk.js';

const HOUR_MS = 3_600_000;
const DAY_MS = 24 * HOUR_MS;

let talk: Talk;
const closers: (() => Promise<void>)[] = [];
beforeEach(async () => {
  for (const close of closers.splice(0)) await close();
  await talk?.close();
  talk = await openTalk();
});
afterAll(async () => {
  for (const close of closers.splice(0)) await close();
  await talk.close();
});

/** A channel kept in memory; what it does with the next posts can be chosen. */
function channel() {
  const posts: OutgoingMessage[] = [];
  const nextly: ('fail before' | 'fail after' | Exclude<Posted, { kind: 'posted' }>)[] = [];
  const told: Reply[] = [];
  const outbox: Outbox = {
    async post(message) {
      const behaviour = nextly.shift();
      if (behaviour === 'fail before') throw new Error('the connection broke');
      if (typeof behaviour === 'object') return behaviour;
      posts.push(message);
      if (behaviour === 'fail after') throw new Error('the connection broke after the message was taken');
      return { kind: 'posted', message: `message-${posts.length}` };
    },
    find: async (_channel, nonce) => {
      const at = posts.findIndex((post) => post.nonce === nonce);
      return at < 0 ? undefined : `message-${at + 1}`;
    },
    names: async (community, channel) => ({ community, channel }),
    async tellManagers(_community, news) {
      told.push(news);
      return true;
    },
  };
  return { posts, nextly, told, outbox };
}

function schedulerOf(outbox: Outbox, clock: () => Date, db: Records = talk.db, worker = 'one'): Scheduler {
  const scheduler = startScheduler({
    db,
    contents: { weekly: weeklyPosts(composingWith(db)) },
    outbox,
    application: TERMINAL,
    worker,
    clock,
    onFailure: () => {},
  });
  closers.push(() => scheduler.stop());
  return scheduler;
}

const weekly = '/settings weekly channel:#rendering day:sunday hour:18 zone:UTC';
const SUNDAY = new Date('2026-11-29T18:00:00Z');
const log = (fat: string, tallow: string, rest = 'method:open-pot cut:ground') =>
  `/batch log fat:"${fat}" tallow:"${tallow}" ${rest}`;

const weekFigures = (reply: Reply) => reply.figures as { [name: string]: { [name: string]: number } };

describe('the weekly post', () => {
  it('has this week’s and all-time pooled yields by method, the same as the raw rows give', async () => {
    await talk.ask(log('1 kg', '400 g'), { as: 'Bram', now: '2026-11-10T12:00:00Z' });
    await talk.ask(log('3 kg', '1.5 kg'), { as: 'Odile', now: '2026-11-25T12:00:00Z' });
    await talk.ask(log('1 kg', '300 g', 'method:oven cut:ground'), {
      as: 'Bram',
      now: '2026-11-26T12:00:00Z',
    });
    const { reply } = await composeWeekly(talk.db, 'ember-lane', SUNDAY, SUNDAY);
    const figures = weekFigures(reply);
    expect(figures.week?.pooledYield).toBeCloseTo(1800 / 4000, 12);
    expect(figures.all?.pooledYield).toBeCloseTo(2200 / 5000, 12);
    expect(reply.figures.byMethod).toMatchObject({
      'open-pot': { week: { pooledYield: 0.5 }, all: { pooledYield: 1900 / 4000 } },
      oven: { all: { pooledYield: 0.3 } },
    });
    const pooled = await talk.ask('/yield pooled since:2026-11-22', { now: '2026-11-29T18:00:00Z' });
    expect(figures.week?.pooledYield).toBe(pooled.figures.pooledYield);
    expect(figures.week?.pooledYieldLow).toBe(pooled.figures.pooledYieldLow);
  });

  it('says so when nobody cooked', async () => {
    const { reply } = await composeWeekly(talk.db, 'ember-lane', SUNDAY, SUNDAY);
    expect(reply.lines[0]).toContain('quiet week');
    expect(cautionsOf(reply)).toHaveLength(1);
  });

  it('reminds of something that fits what was cooked, and of nothing twice within six weeks', async () => {
    await talk.ask(weekly, { admin: true });
    const { posts, outbox } = channel();
    let now = SUNDAY;
    const scheduler = schedulerOf(outbox, () => now);
    for (let week = 0; week < 6; week++) {
      await talk.ask(log('2 kg', '900 g', 'method:pressure cut:ground'), {
        now: new Date(now.getTime() - DAY_MS).toISOString(),
      });
      await scheduler.tick();
      now = new Date(now.getTime() + 7 * DAY_MS);
    }
    const shown = posts.map(({ reply }) => reply.caution?.id ?? '');
    expect(shown).toHaveLength(6);
    expect(new Set(shown).size).toBe(6);
    expect(shown[0]).toBe('pressure-makers-limit');
    for (const id of shown) {
      const methods = CAUTIONS.find((caution) => caution.id === id)?.occasions.flatMap(
        ({ methods: fitting }) => fitting ?? (['pressure'] as const),
      );
      expect(methods).toContain('pressure');
    }
  });
});

describe('its delivery', () => {
  it('waits for its hour and comes once', async () => {
    await talk.ask(weekly, { admin: true });
    const { posts, outbox } = channel();
    let now = new Date(SUNDAY.getTime() - 1000);
    const scheduler = schedulerOf(outbox, () => now);
    await scheduler.tick();
    expect(posts).toHaveLength(0);
    now = SUNDAY;
    await Promise.all([scheduler.tick(), scheduler.tick()]);
    now = new Date(SUNDAY.getTime() + HOUR_MS);
    await scheduler.tick();
    expect(posts).toHaveLength(1);
    expect(posts[0]?.channel).toBe('rendering');
    expect(posts[0]?.nonce).toMatch(/^[\w-]{22}$/);
  });

  it('comes once however many processes look at the same moment', async () => {
    for (let community = 0; community < 30; community++) {
      await talk.ask(weekly, { admin: true, community: `c${community}` });
    }
    const { posts, outbox } = channel();
    const workers = Array.from({ length: 4 }, (_, at) => {
      const db = inOwnCommunity(openRecords(talk.connectionString, () => {}));
      closers.push(() => db.destroy());
      return schedulerOf(outbox, () => SUNDAY, db, `worker-${at}`);
    });
    await Promise.all(workers.map((worker) => worker.tick()));
    expect(posts.map(({ community }) => community).sort()).toEqual(
      Array.from({ length: 30 }, (_, at) => `c${at}`).sort(),
    );
  });

  it('is tried again after a failure, and not sent twice when the failure came after the message was taken', async () => {
    await talk.ask(weekly, { admin: true });
    const { posts, nextly, outbox } = channel();
    let now = SUNDAY;
    const scheduler = schedulerOf(outbox, () => now);
    nextly.push('fail before', 'fail after');
    for (let minute = 0; minute < 10; minute++) {
      await scheduler.tick();
      now = new Date(now.getTime() + 60_000);
    }
    expect(posts).toHaveLength(1);
    const row = await talk.db.selectFrom('deliveries').selectAll().executeTakeFirstOrThrow();
    expect(row).toMatchObject({ state: 'sent', message: 'message-1', attempts: 3 });
  });

  it('is given to another process when the one that claimed it died', async () => {
    await talk.ask(weekly, { admin: true });
    let now = SUNDAY;
    const dying: Outbox = { ...channel().outbox, post: () => new Promise(() => {}) };
    const db = inOwnCommunity(openRecords(talk.connectionString, () => {}));
    closers.push(() => db.destroy());
    void startScheduler({
      contents: { weekly: weeklyPosts(composingWith(talk.db)) },
      db,
      outbox: dying,
      application: TERMINAL,
      worker: 'dying',
      clock: () => now,
      onFailure: () => {},
    }).tick();
    const claimed = () => talk.db.selectFrom('deliveries').select('claimed_by').executeTakeFirst();
    await expect.poll(async () => (await claimed())?.claimed_by, { timeout: 5000 }).toBe('dying');
    const { posts, outbox } = channel();
    const survivor = schedulerOf(outbox, () => now, talk.db, 'survivor');
    await survivor.tick();
    expect(posts).toHaveLength(0);
    now = new Date(SUNDAY.getTime() + 6 * 60_000);
    await survivor.tick();
    expect(posts).toHaveLength(1);
  });

  it('is not given to another process while the one that claimed it may still be sending', async () => {
    await talk.ask(weekly, { admin: true });
    let now = SUNDAY;
    const slow = channel();
    let isTaken = (): void => {};
    const taken = new Promise<void>((resolve) => {
      isTaken = resolve;
    });
    let letGo = (): void => {};
    const held = new Promise<void>((resolve) => {
      letGo = resolve;
    });
    const sending = schedulerOf(
      {
        ...slow.outbox,
        async post(message) {
          isTaken();
          await held;
          return slow.outbox.post(message);
        },
      },
      () => now,
    ).tick();
    await taken;
    const { posts, outbox } = channel();
    const other = schedulerOf(outbox, () => now, talk.db, 'other');
    // Composing and sending wait for the database, for a picture and for Discord, each for less than a minute.
    for (const minutes of [1, 2, 3, 4]) {
      now = new Date(SUNDAY.getTime() + minutes * 60_000);
      await other.tick();
    }
    letGo();
    await sending;
    expect([slow.posts.length, posts.length]).toEqual([1, 0]);
  });

  it('waits twice as long after each failure, half a minute at first and half an hour at most', async () => {
    await talk.ask(weekly, { admin: true });
    const { nextly, outbox } = channel();
    nextly.push(...Array(8).fill('fail before'));
    let now = SUNDAY;
    const scheduler = schedulerOf(outbox, () => now);
    const waits: number[] = [];
    for (let failure = 0; failure < 8; failure++) {
      await scheduler.tick();
      const row = await talk.db.selectFrom('deliveries').select('claimed_until').executeTakeFirstOrThrow();
      const next = row.claimed_until ?? now;
      waits.push((next.getTime() - now.getTime()) / 60_000);
      now = next;
    }
    expect(waits).toEqual([0.5, 1, 2, 4, 8, 16, 30, 30]);
  });

  it('is not tried for ever where the channel is gone', async () => {
    await talk.ask(weekly, { admin: true });
    const { posts, nextly, outbox } = channel();
    nextly.push({ kind: 'closed', why: 'the channel is gone' });
    let now = SUNDAY;
    const scheduler = schedulerOf(outbox, () => now);
    for (let minute = 0; minute < 5; minute++) {
      await scheduler.tick();
      now = new Date(now.getTime() + HOUR_MS);
    }
    expect(posts).toHaveLength(0);
    const row = await talk.db.selectFrom('deliveries').selectAll().executeTakeFirstOrThrow();
    expect(row).toMatchObject({ state: 'closed', attempts: 1, last_error: 'the channel is gone' });
  });

  it('is given up after a few refusals whose reason nobody knows, kept, and its managers told where and why', async () => {
    await talk.ask(weekly, { admin: true });
    const { posts, nextly, told, outbox } = channel();
    const refused = { kind: 'refused', why: 'the thread is archived (code 50083)' } as const;
    nextly.push(...Array(20).fill(refused));
    let now = SUNDAY;
    const scheduler = schedulerOf(outbox, () => now);
    for (let minute = 0; minute < 30; minute++) {
      await scheduler.tick();
      now = new Date(now.getTime() + 60_000);
    }
    expect(posts).toHaveLength(0);
    const row = await talk.db.selectFrom('deliveries').selectAll().executeTakeFirstOrThrow();
    expect(row).toMatchObject({ state: 'closed', attempts: 4, last_error: refused.why });
    expect(told.map(({ title }) => title)).toEqual(['The weekly post could not be sent']);
    expect(told[0]?.lines[0]).toBe('On ember-lane, #rendering: the thread is archived (code 50083).');
    nextly.splice(0);
    await talk.ask('/weekly post', { admin: true, now: now.toISOString() });
    await scheduler.tick();
    expect(posts).toHaveLength(1);
  });

  it('goes out once a refusal has passed', async () => {
    await talk.ask(weekly, { admin: true });
    const { posts, nextly, told, outbox } = channel();
    nextly.push({ kind: 'refused', why: 'for whatever reason' });
    let now = SUNDAY;
    const scheduler = schedulerOf(outbox, () => now);
    await scheduler.tick();
    now = new Date(now.getTime() + 60_000);
    await scheduler.tick();
    expect(posts).toHaveLength(1);
    expect(told).toEqual([]);
  });

  it('waits as long as the place says, and then goes out', async () => {
    await talk.ask(weekly, { admin: true });
    const { posts, nextly, outbox } = channel();
    nextly.push({ kind: 'later', why: 'the channel is in slow mode', waitMs: 10 * 60_000 });
    let now = SUNDAY;
    const scheduler = schedulerOf(outbox, () => now);
    const sentAfter: number[] = [];
    for (let minute = 0; minute < 15; minute++) {
      await scheduler.tick();
      sentAfter.push(posts.length);
      now = new Date(now.getTime() + 60_000);
    }
    expect(sentAfter.indexOf(1)).toBe(10);
  });

  it('comes late and says so within 36 hours, and is folded into the next after that', async () => {
    await talk.ask(weekly, { admin: true });
    await talk.ask(log('1 kg', '400 g'), { now: '2026-11-28T12:00:00Z' });
    const { posts, outbox } = channel();
    let now = new Date(SUNDAY.getTime() + 35 * HOUR_MS);
    const scheduler = schedulerOf(outbox, () => now);
    await scheduler.tick();
    expect(posts[0]?.reply.lines.join(' ')).toContain('late');
    // Down over the next hour and two days more.
    await talk.ask(log('1 kg', '500 g'), { now: '2026-12-03T12:00:00Z' });
    now = new Date(SUNDAY.getTime() + 9 * DAY_MS);
    await scheduler.tick();
    expect(posts).toHaveLength(1);
    now = new Date(SUNDAY.getTime() + 14 * DAY_MS);
    await scheduler.tick();
    expect(posts).toHaveLength(2);
    const told = posts[1] && weekFigures(posts[1].reply).week;
    expect(told).toMatchObject({ batches: 1, fatG: 1000, tallowG: 500 });
  });
});
