import { afterAll, beforeEach, describe, expect, it } from 'vitest';
import { TERMINAL } from '../../src/chat/call.js';
import type { Outbox, OutgoingMessage } from '../../src/chat/platform.js';
import type { Reply } from '../../src/chat/reply.js';
import { startScheduler } from '../../src/deliveries/scheduler.js';
import { planDelivery } from '../../src/records/deliveries.js';
import { composingWith, weeklyPosts } from '../../src/weekly/post.js';
import { anyChannel, openTalk, type Talk } from '../support/talk.js';

const HOUR_MS = 3_600_000;
const SUNDAY = new Date('2026-11-29T18:00:00Z');
const weekly = '/settings weekly channel:#rendering day:sunday hour:18 zone:UTC';
const linking = {
  ...anyChannel,
  messageLink: (community: string, channel: string, message: string) =>
    `https://chat.example/${community}/${channel}/${message}`,
};

let talk: Talk;
let posts: OutgoingMessage[];
let told: Reply[];
let isClosed: boolean;
let isReachable: boolean;
const outbox: Outbox = {
  async post(message) {
    if (isClosed) return { kind: 'closed', why: 'the channel is gone' };
    posts.push(message);
    return { kind: 'posted', message: `message-${posts.length}` };
  },
  find: async () => undefined,
  names: async (community, channel) => ({ community, channel }),
  async tellManagers(_community, reply) {
    told.push(reply);
    return isReachable;
  },
};

/** The scheduler at that moment: what is due goes out. */
async function tickAt(now: Date): Promise<void> {
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
  await scheduler.tick();
  await scheduler.stop();
}

beforeEach(async () => {
  await talk?.close();
  talk = await openTalk();
  posts = [];
  told = [];
  isClosed = false;
  isReachable = true;
  await talk.ask(weekly, { admin: true });
});
afterAll(() => talk.close());

const later = (hours: number) => new Date(SUNDAY.getTime() + hours * HOUR_MS);
const manager = (now: Date) => ({ admin: true, now: now.toISOString(), platform: linking });

describe('/weekly post', () => {
  it('is for those who manage the community', async () => {
    expect((await talk.refuse('/weekly post')).title).toBe('Not for you');
  });

  it('sends this week’s once, and a second time only when told so', async () => {
    const wednesday = new Date('2026-11-25T12:00:00Z');
    await talk.ask('/weekly post', manager(wednesday));
    await talk.ask('/weekly post', manager(wednesday));
    await tickAt(wednesday);
    expect(posts).toHaveLength(1);
    const refused = await talk.refuse('/weekly post', manager(wednesday));
    expect(refused.text).toBe(
      'It is here: https://chat.example/ember-lane/rendering/message-1. To send it a second time: /weekly post again:yes.',
    );
    await tickAt(SUNDAY);
    expect(posts).toHaveLength(1);
    await talk.ask('/weekly post again:yes', manager(SUNDAY));
    await tickAt(SUNDAY);
    expect(posts).toHaveLength(2);
    expect(posts[1]?.reply.title).toBe(posts[0]?.reply.title);
    expect(posts[1]?.nonce).not.toBe(posts[0]?.nonce);
  });

  it('sends what was kept when the channel was closed, whose managers were told once', async () => {
    isClosed = true;
    await tickAt(SUNDAY);
    await tickAt(later(1));
    await tickAt(later(7 * 24));
    expect(told.map(({ title }) => title)).toEqual(['The weekly post could not be sent']);
    isClosed = false;
    await talk.ask('/weekly post', manager(later(9 * 24)));
    await tickAt(later(9 * 24));
    expect(posts).toHaveLength(1);
    expect(posts[0]?.reply.lines.join()).toContain('late');
    isClosed = true;
    await tickAt(later(14 * 24));
    expect(told).toHaveLength(2);
  });

  it('tells the managers once of two posts that could not be sent', async () => {
    isClosed = true;
    for (const about of ['2026-W48', '2026-W48/2'])
      await planDelivery(talk.db, {
        community: 'ember-lane',
        kind: 'weekly',
        about,
        application: TERMINAL,
        channel: 'rendering',
        dueAt: SUNDAY,
        state: 'due',
      });
    await tickAt(SUNDAY);
    await tickAt(later(1));
    expect(told.map(({ title }) => title)).toEqual(['2 weekly posts could not be sent']);
  });

  it('does not take managers that nobody reached for told, nor seeks them for ever', async () => {
    const shown = async () => (await talk.ask('/settings show', { admin: true })).lines.join(' ');
    isClosed = true;
    isReachable = false;
    await tickAt(SUNDAY);
    await tickAt(later(1));
    expect(told).toHaveLength(1);
    expect(await shown()).toContain('Sunday, 29 November 2026, 18:00), and nobody could be reached');
    isReachable = true;
    await tickAt(later(7 * 24));
    expect(told).toHaveLength(2);
    expect(await shown()).not.toContain('nobody could be reached');
    await tickAt(later(14 * 24));
    expect(told).toHaveLength(2);
  });

  it('says when it comes: soon where the bot stays, else once it runs on', async () => {
    const soon = await talk.ask('/weekly post', { admin: true });
    expect(soon.lines).toEqual(['It comes to #rendering within two minutes.']);
    const leaving = { ...anyChannel, postsWait: 'once the bot runs on' };
    const later = await talk.ask('/weekly post', { admin: true, platform: leaving });
    expect(later.lines).toEqual(['It comes to #rendering once the bot runs on.']);
  });

  it('names what it lacks', async () => {
    const shut = {
      ...anyChannel,
      channel: async () => ({ id: 'rendering', name: 'rendering', missing: ['Attach Files'] }),
    };
    expect((await talk.refuse('/weekly post', { admin: true, platform: shut })).text).toContain(
      'Attach Files',
    );
    await talk.ask('/settings no-weekly', { admin: true });
    expect((await talk.refuse('/weekly post', { admin: true })).text).toContain('/settings weekly');
  });
});

describe('/weekly preview', () => {
  it('counts a batch that was logged at that very moment', async () => {
    const now = '2026-11-26T12:00:00Z';
    await talk.ask('/batch log fat:2kg tallow:900g method:oven cut:ground', { now });
    const { week } = (await talk.ask('/weekly preview', { now })).figures;
    expect(week).toMatchObject({ batches: 1 });
  });
});

describe('/weekly past', () => {
  it('tells the hour in the community’s zone where messages have no address', async () => {
    await talk.ask(weekly.replace('zone:UTC', 'zone:Berlin'), { admin: true });
    await tickAt(SUNDAY);
    const past = await talk.ask('/weekly past');
    expect(past.lines).toEqual(['Sunday, 29 November 2026. It went out at 19:00, Europe/Berlin time.']);
  });

  it('has a link to each that went out', async () => {
    expect((await talk.ask('/weekly past')).figures.posts).toBe(0);
    await tickAt(SUNDAY);
    await tickAt(later(7 * 24));
    const past = await talk.ask('/weekly past', { platform: linking });
    expect(past.lines).toHaveLength(2);
    expect(past.lines[0]).toContain('6 December 2026');
    expect(past.lines[1]).toContain('https://chat.example/ember-lane/rendering/message-1');
  });
});

describe('the weekly post’s open question', () => {
  const log = (method: string, fat: string, tallow: string) =>
    `/batch log fat:"${fat}" tallow:"${tallow}" method:${method} cut:ground`;

  it('has a button that records who takes it on and answers with a plan', async () => {
    await talk.ask(log('oven', '2 kg', '900 g'), { as: 'Bram' });
    await talk.ask(log('open-pot', '2 kg', '1 kg'), { as: 'Bram' });
    await talk.ask(log('open-pot', '1 kg', '460 g'), { as: 'Odile' });
    const preview = await talk.ask('/weekly preview', { now: '2026-11-26T12:00:00Z' });
    const [take] = preview.actions;
    expect(take?.label).toBe('Take it on');
    const planned = await talk.ask(`press:${take?.id}`, { as: 'Odile' });
    expect(planned.audience).toBe('only you');
    expect(planned.figures.fatG).toBe(preview.figures.openFatG);
    await talk.ask(`press:${take?.id}`, { as: 'Odile' });
    const rows = await talk.db.selectFrom('taken_on').select(['member_id', 'fat_g']).execute();
    expect(rows).toEqual([{ member_id: 'Odile', fat_g: preview.figures.openFatG }]);
  });

  it('refuses a button that was tampered with', async () => {
    await talk.refuse('press:v1|weekly.take-on|lava|ground|1000');
    await talk.refuse('press:v1|weekly.take-on|oven|ground|-5');
  });

  it('is noted all the same where the cook’s kit cannot cook it, with the reason', async () => {
    await talk.ask('/kit add vessel:"small pot" capacity:"1 qt"', { as: 'Odile' });
    const noted = await talk.ask('press:v1|weekly.take-on|open-pot|ground|50000', { as: 'Odile' });
    expect(noted.title).toBe('It is noted that you take this on');
    expect(noted.lines.join(' ')).toContain('Too much for that vessel: ');
    expect(await talk.db.selectFrom('taken_on').select('member_id').execute()).toHaveLength(1);
  });
});
