import { DateTime } from 'luxon';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { TERMINAL } from '../../src/chat/call.js';
import type { Outbox, OutgoingMessage } from '../../src/chat/platform.js';
import { startScheduler } from '../../src/deliveries/scheduler.js';
import { composingWith, weeklyPosts } from '../../src/weekly/post.js';
import { openTalk, type Talk } from '../support/talk.js';

/** Both hemispheres, half-hour zones (one whose clocks change by half an hour), and one that suspends its summer time for Ramadan. */
const ZONES = [
  'America/New_York',
  'Europe/Berlin',
  'Asia/Kolkata',
  'Australia/Lord_Howe',
  'America/Santiago',
  'Africa/Casablanca',
  'Pacific/Apia',
];
const WEEKS = 104;
const HOUR_MS = 3_600_000;
const START = new Date('2026-01-05T12:00:00Z');

interface Sent extends OutgoingMessage {
  readonly at: Date;
}

/** Half an hour before a post should come, then, and half an hour after: one that comes at another time is seen to. */
function isAboutTheHour(at: Date, zone: string): boolean {
  const local = DateTime.fromJSDate(at, { zone });
  return local.weekday === 7 && Math.abs(local.hour * 60 + local.minute - 18 * 60) <= 30;
}

let talk: Talk;
beforeAll(async () => {
  talk = await openTalk();
});
afterAll(() => talk.close());

describe('two years of the scheduler on virtual time', () => {
  const sent: Sent[] = [];

  beforeAll(async () => {
    for (const zone of ZONES) {
      const line = `/settings weekly channel:#rendering day:sunday hour:18 zone:${zone}`;
      await talk.ask(line, { admin: true, community: zone, now: START.toISOString() });
    }
    let now = START;
    const outbox: Outbox = {
      async post(message) {
        sent.push({ ...message, at: now });
        return { kind: 'posted', message: `message-${sent.length}` };
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
      onFailure,
    });
    const end = DateTime.fromJSDate(START).plus({ weeks: WEEKS }).toJSDate();
    for (; now < end; now = new Date(now.getTime() + HOUR_MS / 2)) {
      if (ZONES.some((zone) => isAboutTheHour(now, zone))) await scheduler.tick();
    }
    await scheduler.stop();
  }, 240_000);

  it.each(ZONES)('has 104 posts in %s, all at the local hour, each of a week of its own', (zone) => {
    const posts = sent.filter(({ community }) => community === zone);
    expect(posts).toHaveLength(WEEKS);
    for (const { at } of posts) {
      const local = DateTime.fromJSDate(at, { zone });
      expect([local.weekday, local.hour]).toEqual([7, 18]);
    }
    expect(new Set(posts.map(({ reply }) => reply.title)).size).toBe(WEEKS);
    expect(posts.some(({ reply }) => reply.lines.join().includes('late'))).toBe(false);
  });
});
