import { setTimeout as pause } from 'node:timers/promises';
import { afterAll, beforeEach, describe, expect, it, vi } from 'vitest';
import { nextAppointment } from '../../src/clockwork/appointments.js';
import { saveWeekly } from '../../src/records/communities.js';
import { type Bot, startBot } from '../support/bot.js';
import { type StandIn, startStandIn } from '../support/chat-server/server.js';
import type { Guild } from '../support/chat-server/world.js';
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
async function makeDue(application: string): Promise<void> {
  const now = new Date();
  const time = { day: ((now.getUTCDay() + 6) % 7) + 1, hour: now.getUTCHours(), zone: 'UTC' };
  const due = nextAppointment(time, new Date(now.getTime() - 7 * 86_400_000)).at;
  for (const guild of guilds) {
    const weekly = { ...time, channel: channelOf(guild), skipsQuiet: false, units: undefined };
    await saveWeekly(talk.db, guild.id, weekly, application, due, now);
  }
}

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

/** As when the time is over for which the dead process had claimed them. */
const giveUpClaimsOf = ({ process: { pid } }: Bot) =>
  talk.db
    .updateTable('deliveries')
    .set({ claimed_by: null, claimed_until: null })
    .where('claimed_by', 'like', `${pid}-%`)
    .where('state', '=', 'due')
    .execute();

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
    await giveUpClaimsOf(dying);
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
