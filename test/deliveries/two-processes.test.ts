import { setTimeout as pause } from 'node:timers/promises';
import { afterAll, beforeEach, describe, expect, it, vi } from 'vitest';
import { type Bot, startBot } from '../support/bot.js';
import { type StandIn, startStandIn } from '../support/chat-server/server.js';
import type { Guild } from '../support/chat-server/world.js';
import { giveUpClaims, makePostsDue } from '../support/due-posts.js';
import { openTalk, type Talk } from '../support/talk.js';

const SERVERS = 8;
const PATIENTLY = { timeout: 60_000, interval: 100 };

let talk: Talk;
let standin: StandIn;
let guilds: readonly Guild[];
beforeEach(async () => {
  await standin?.close();
  await talk?.close();
  talk = await openTalk();
  standin = await startStandIn({ shards: 2 });
  guilds = Array.from({ length: SERVERS }, (_, at) => standin.addGuild(`Server ${at}`, [{ name: 'weekly' }]));
});
afterAll(async () => {
  await standin.close();
  await talk.close();
});

const channelOf = (guild: Guild) => guild.channel('weekly').id;
const postsIn = (guild: Guild) => standin.messages(channelOf(guild)).length;

/** The weekly post of every server has just come due. */
const makeDue = (application: string): Promise<string> =>
  makePostsDue(
    talk.db,
    application,
    guilds.map((guild) => ({ community: guild.id, channel: channelOf(guild) })),
  );

const startShard = (shard: number): Bot =>
  startBot({
    isBare: true,
    env: {
      DATABASE_URL: talk.connectionString,
      DISCORD_TOKEN: standin.token,
      DISCORD_API: standin.api,
      SHARDS: String(shard),
      SHARD_COUNT: '2',
      LOG_LEVEL: 'warn',
    },
  });

async function allSent(): Promise<boolean> {
  const rows = await talk.db.selectFrom('deliveries').select('state').execute();
  return rows.length === SERVERS && rows.every(({ state }) => state === 'sent');
}

async function end(bots: readonly Bot[]): Promise<void> {
  await Promise.all(
    bots.map(async (bot) => {
      bot.process.kill('SIGTERM');
      expect((await bot.finish()).code).toBe(0);
    }),
  );
}

describe('two processes with a shard each, on one database', () => {
  it('send every server its post once, whichever of them takes it up', { timeout: 120_000 }, async () => {
    await makeDue(standin.world.applicationId);
    const bots = [startShard(0), startShard(1)];
    await vi.waitUntil(allSent, PATIENTLY);
    await end(bots);
    expect(guilds.map(postsIn)).toEqual(guilds.map(() => 1));
    expect(standin.gateway.identified.map(({ shard }) => shard).toSorted()).toEqual([
      [0, 2],
      [1, 2],
    ]);
    standin.expectConformant();
  });

  it('do so too when one of them is killed in the middle', { timeout: 120_000 }, async () => {
    await makeDue(standin.world.applicationId);
    const first = standin.arrived('message', 2);
    const [dying, other] = [startShard(0), startShard(1)];
    await first;
    await pause(20);
    await dying.kill();
    await giveUpClaims(talk.db, dying.process.pid);
    const next = startShard(0);
    await Promise.all([
      vi.waitUntil(allSent, PATIENTLY),
      vi.waitUntil(() => standin.gateway.counts.identified === 3, PATIENTLY),
    ]);
    await end([other, next]);
    expect(guilds.map(postsIn)).toEqual(guilds.map(() => 1));
    standin.expectConformant();
  });

  it('leave alone what another bot on that database is to send', { timeout: 120_000 }, async () => {
    await makeDue('123456789012345678');
    const bots = [startShard(0), startShard(1)];
    await Promise.all(
      bots.map((_, at) => vi.waitUntil(() => standin.gateway.identified.length > at, PATIENTLY)),
    );
    await vi.waitUntil(() => standin.world.commands.length > 0, PATIENTLY);
    await pause(1000);
    await end(bots);
    expect(guilds.map(postsIn)).toEqual(guilds.map(() => 0));
    expect(await talk.db.selectFrom('deliveries').select('about').execute()).toEqual([]);
  });
});
