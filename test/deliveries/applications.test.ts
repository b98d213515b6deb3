import { afterAll, beforeEach, describe, expect, it } from 'vitest';
import { TERMINAL } from '../../src/chat/call.js';
import type { Outbox } from '../../src/chat/platform.js';
import { startScheduler } from '../../src/deliveries/scheduler.js';
import { composingWith, weeklyPosts } from '../../src/weekly/post.js';
import { NOW, openTalk, type Talk } from '../support/talk.js';

const SUNDAY = new Date('2026-11-29T18:00:00Z');
const MONDAY = '2026-11-30T12:00:00Z';
const BOT = '1000';
const TEST_BOT = '2000';
const weekly = '/settings weekly channel:#rendering day:sunday hour:18 zone:UTC';

let talk: Talk;
beforeEach(async () => {
  await talk?.close();
  talk = await openTalk();
});
afterAll(() => talk.close());

/** What a bot sends when it looks once, and what it tells managers. */
async function sentBy(application: string, { isClosed = false, now = SUNDAY } = {}) {
  const posts: string[] = [];
  const told: string[] = [];
  const words: string[] = [];
  const outbox: Outbox = {
    async post({ community }) {
      if (isClosed) return { kind: 'closed', why: 'the channel is gone' };
      posts.push(community);
      return { kind: 'posted', message: `message-${posts.length}` };
    },
    find: async () => undefined,
    names: async (community, channel) => ({ community, channel }),
    async tellManagers(_community, { title, lines }) {
      told.push(title);
      words.push(...lines);
      return true;
    },
  };
  const onFailure = (error: unknown) => {
    throw error;
  };
  const scheduler = startScheduler({
    db: talk.db,
    contents: { weekly: weeklyPosts(composingWith(talk.db)) },
    outbox,
    application,
    worker: 'one',
    clock: () => now,
    onFailure,
  });
  await scheduler.tick();
  await scheduler.stop();
  return { posts, told, words };
}

/** As rows were before they named a bot. */
async function forgetBots(): Promise<void> {
  await talk.db.updateTable('communities').set({ weekly_application: null }).execute();
  await talk.db.updateTable('deliveries').set({ application: null }).execute();
}

describe('bots that share one database', () => {
  it('each send the weekly posts that were set with them, and leave the others’ alone', async () => {
    await talk.ask(weekly, { admin: true, application: BOT, community: 'a' });
    await talk.ask(weekly, { admin: true, application: TEST_BOT, community: 'b' });
    await talk.ask(weekly, { admin: true, application: TERMINAL, community: 'c' });
    expect((await sentBy(TERMINAL)).posts).toEqual(['c']);
    expect((await sentBy(TEST_BOT)).posts).toEqual(['b']);
    expect((await sentBy(BOT)).posts).toEqual(['a']);
  });

  it('take no post that another of them was about to send', async () => {
    await talk.ask(weekly, { admin: true, application: BOT });
    await talk.ask('/weekly post', { admin: true, application: BOT });
    const soon = { now: new Date(NOW) };
    expect((await sentBy(TERMINAL, soon)).posts).toEqual([]);
    expect((await sentBy(TEST_BOT, soon)).posts).toEqual([]);
    expect((await sentBy(BOT, soon)).posts).toEqual(['ember-lane']);
  });

  it('have a post sent by the one that was set last, and the others say so', async () => {
    await talk.ask(weekly, { admin: true, application: BOT });
    await talk.ask(weekly, { admin: true, application: TEST_BOT });
    const shown = async (application: string) =>
      (await talk.ask('/settings show', { admin: true, application })).lines.join(' ');
    expect(await shown(BOT)).toContain('Another bot that shares these records sends it');
    expect(await shown(TEST_BOT)).not.toContain('Another bot');
    expect((await sentBy(BOT)).posts).toEqual([]);
    expect((await sentBy(TEST_BOT)).posts).toEqual(['ember-lane']);
  });

  it('tell managers of what came to them, and send what they kept themselves', async () => {
    await talk.ask(weekly, { admin: true, application: BOT });
    await talk.ask('/safety report:"It foamed over"', { application: BOT });
    await sentBy(BOT, { isClosed: true });
    const soon = { admin: true, now: MONDAY };
    await talk.ask('/safety report:"It foamed over again"', { application: BOT, now: MONDAY });
    expect((await sentBy(TEST_BOT, { now: new Date(MONDAY) })).told).toEqual([]);
    expect((await talk.ask('/weekly post', { ...soon, application: TEST_BOT })).title).not.toContain('kept');
    expect((await talk.ask('/weekly post', { ...soon, application: BOT })).title).toContain('kept');
    expect(await sentBy(BOT, { now: new Date(MONDAY) })).toEqual({
      posts: ['ember-lane'],
      told: ['A near miss was reported'],
      // It says where the button is; the message itself has none.
      words: [
        'On ember-lane. Whoever manages it can read it: use /safety there and press “Read near misses” below its answer.',
      ],
    });
  });
});

describe('what was set before bots were told apart', () => {
  it('is for whichever bot of Discord asks first, never for the terminal', async () => {
    await talk.ask(weekly, { admin: true, application: BOT });
    await forgetBots();
    expect((await sentBy(TERMINAL)).posts).toEqual([]);
    expect((await sentBy(TEST_BOT)).posts).toEqual(['ember-lane']);
  });

  it('stays with the bot that took it up', async () => {
    await talk.ask(weekly, { admin: true, application: BOT });
    await talk.ask('/weekly post', { admin: true, application: BOT });
    await forgetBots();
    await sentBy(BOT, { isClosed: true, now: new Date(NOW) });
    const kept = await talk.db.selectFrom('deliveries').select('application').execute();
    expect(kept).toEqual([{ application: BOT }]);
  });
});
