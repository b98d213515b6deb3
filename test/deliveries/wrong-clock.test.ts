import { afterAll, beforeEach, describe, expect, it } from 'vitest';
import { TERMINAL } from '../../src/chat/call.js';
import type { Outbox } from '../../src/chat/platform.js';
import { clockCheck } from '../../src/deliveries/clock-check.js';
import { startScheduler } from '../../src/deliveries/scheduler.js';
import { composingWith, weeklyPosts } from '../../src/weekly/post.js';
import { openTalk, type Talk } from '../support/talk.js';

const HOUR_MS = 3_600_000;
const DAY_MS = 24 * HOUR_MS;

let talk: Talk;
beforeEach(async () => {
  await talk?.close();
  talk = await openTalk();
});
afterAll(() => talk.close());

/** A scheduler whose clock is set by hand, and the local times of what it posted. */
function schedulerAt(start: Date, mayWork?: () => Promise<boolean>) {
  const posts: string[] = [];
  let now = start;
  const outbox: Outbox = {
    async post() {
      posts.push(now.toISOString().slice(0, 13));
      return { kind: 'posted', message: `message-${posts.length}` };
    },
    find: async () => undefined,
    names: async (community, channel) => ({ community, channel }),
    tellManagers: async () => true,
  };
  const onFailure = (error: unknown) => {
    throw error;
  };
  const scheduler = startScheduler({
    db: talk.db,
    contents: { weekly: weeklyPosts(composingWith(talk.db)) },
    outbox,
    application: TERMINAL,
    worker: 'one',
    clock: () => now,
    ...(mayWork ? { mayWork } : {}),
    onFailure,
  });
  return {
    posts,
    clock: () => now,
    async tickAt(moment: Date | string) {
      now = new Date(moment);
      await scheduler.tick();
    },
    stop: () => scheduler.stop(),
  };
}

const FRIDAYS = '/settings weekly channel:#rendering day:friday hour:18 zone:Europe/Berlin';
const set = (now: string) => talk.ask(FRIDAYS, { admin: true, now });

describe('after a clock that was ahead was put right', () => {
  it.each([
    ['a year', 365, 0],
    ['ten days', 10, 0],
    // What the wrong clock has posted is not posted twice.
    ['two days', 2, 1],
  ])(
    'by %s, weekly posts go on, one a week',
    async (_ahead, days, posted) => {
      // A Wednesday; summer time ended on 25 October, so that 18:00 is 17:00 UTC.
      await set('2026-11-25T12:00:00Z');
      const bot = schedulerAt(new Date('2026-11-25T12:00:00Z'));
      // The wrong clock makes up its mind about every week between.
      await bot.tickAt(new Date(Date.parse('2026-11-26T18:00:00Z') + days * DAY_MS));
      bot.posts.length = 0;
      for (
        let at = Date.parse('2026-11-26T18:30:00Z');
        at < Date.parse('2027-02-01T00:00:00Z');
        at += HOUR_MS
      ) {
        const isNear = new Date(at).getUTCDay() === 5 && new Date(at).getUTCHours() > 14;
        if (isNear || new Date(at).getUTCHours() === 0) await bot.tickAt(new Date(at));
      }
      const fridays = [4, 11, 18, 25].map((day) => `2026-12-${String(day).padStart(2, '0')}T17`);
      const later = ['2027-01-01T17', '2027-01-08T17', '2027-01-15T17', '2027-01-22T17', '2027-01-29T17'];
      expect(bot.posts).toEqual(['2026-11-27T17', ...fridays, ...later].slice(posted));
      await bot.stop();
    },
    60_000,
  );

  it('also where somebody set the day anew meanwhile', async () => {
    await set('2026-11-25T12:00:00Z');
    const bot = schedulerAt(new Date('2026-11-25T12:00:00Z'));
    await bot.tickAt('2027-11-25T12:00:00Z');
    await set('2026-11-26T12:00:00Z');
    for (const at of ['2026-11-27T17:30:00Z', '2026-12-04T17:30:00Z']) await bot.tickAt(at);
    expect(bot.posts).toEqual(['2026-11-27T17', '2026-12-04T17']);
    await bot.stop();
  });

  it('and a clock that is right moves no appointment', async () => {
    await set('2026-10-19T12:00:00Z');
    const bot = schedulerAt(new Date('2026-10-19T12:00:00Z'));
    // Over the end of summer time, where a week is an hour longer.
    for (let at = Date.parse('2026-10-19T12:00:00Z'); at < Date.parse('2026-11-09T00:00:00Z'); at += HOUR_MS)
      await bot.tickAt(new Date(at));
    expect(bot.posts).toEqual(['2026-10-23T16', '2026-10-30T17', '2026-11-06T17']);
    await bot.stop();
  });
});

describe('while the clock and the database’s are more than a day apart', () => {
  it('nothing is planned or sent, it is said once, and all goes on when it is right again', async () => {
    const heard: string[] = [];
    let moment = new Date();
    const check = clockCheck(talk.db, () => moment, {
      wrong: (problem) => heard.push(problem),
      right: () => heard.push('right'),
    });
    const bot = schedulerAt(moment, check);
    // Every day is the right one for somebody.
    for (const day of ['monday', 'wednesday', 'friday', 'sunday'])
      await talk.ask(`/settings weekly channel:#rendering day:${day} hour:12 zone:UTC`, {
        admin: true,
        community: day,
        now: new Date().toISOString(),
      });
    const before = await talk.db.selectFrom('communities').select('weekly_next').execute();
    for (const days of [400, 30, 2, -2, -400]) {
      moment = new Date(Date.now() + days * DAY_MS);
      await bot.tickAt(moment);
    }
    expect(bot.posts).toEqual([]);
    expect(await talk.db.selectFrom('deliveries').select('about').execute()).toEqual([]);
    expect(await talk.db.selectFrom('communities').select('weekly_next').execute()).toEqual(before);
    expect(heard).toEqual([expect.stringMatching(/^This machine’s clock says .* and the database’s /)]);
    moment = new Date();
    await bot.tickAt(moment);
    expect(heard).toHaveLength(2);
    expect(heard[1]).toBe('right');
    await bot.stop();
  });
});
