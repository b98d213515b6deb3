import { Events } from 'discord.js';
import pino from 'pino';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { converse } from '../../src/chat/dispatch.js';
import { reply } from '../../src/chat/reply.js';
import { type DiscordAdapter, startDiscord } from '../../src/discord/adapter.js';
import { LoginRefused, logIn, newClient, type Shards } from '../../src/discord/log-in.js';
import { type StandIn, startStandIn } from '../support/chat-server/server.js';
import { smallCommands } from './small-commands.js';

const closers: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of closers.splice(0).reverse()) await close();
});

async function standInWith(shards: number, maxConcurrency?: number): Promise<StandIn> {
  const standin = await startStandIn({ shards, ...(maxConcurrency ? { maxConcurrency } : {}) });
  closers.push(() => standin.close());
  return standin;
}

async function startOn(standin: StandIn, shards?: Shards): Promise<DiscordAdapter> {
  const adapter = await startDiscord({
    token: standin.token,
    api: standin.api,
    ...(shards ? { shards } : {}),
    conversation: converse(smallCommands, () => {}),
    log: pino({ level: 'silent' }),
    clock: () => new Date(),
    fatal: () => {},
  });
  closers.push(() => adapter.stop());
  await vi.waitUntil(() => standin.world.commands.length > 0);
  return adapter;
}

const shardsIn = ({ gateway }: StandIn) => gateway.identified.map(({ shard }) => shard);

describe('a bot on so many servers that Discord wants several shards', () => {
  it('has as many as Discord says, in one process, and answers on all of them', async () => {
    const standin = await standInWith(3);
    const guilds = ['A', 'B', 'C', 'D', 'E', 'F'].map((name) =>
      standin.addGuild(name, [{ name: 'rendering' }]),
    );
    await startOn(standin);
    expect(shardsIn(standin).toSorted()).toEqual([
      [0, 3],
      [1, 3],
      [2, 3],
    ]);
    for (const guild of [...guilds, undefined]) {
      const answer = await standin.member(guild, 'Alice').command('/echo', { text: 'hello' });
      expect(answer.text).toContain(guild?.id ?? 'direct');
    }
    standin.expectConformant();
  });

  // Gateway › Session Start Limit Object, `max_concurrency`: so many may identify every 5 seconds.
  it('does not start them faster than Discord allows', async () => {
    const standin = await standInWith(2, 1);
    const client = newClient(standin.api);
    closers.push(() => client.destroy());
    await logIn(client, standin.token);
    const [first, second] = standin.gateway.identified;
    expect((second?.at ?? 0) - (first?.at ?? 0)).toBeGreaterThanOrEqual(4900);
  });

  it('says what to set when it was told to have fewer', async () => {
    const standin = await standInWith(2);
    const refused = await logIn(newClient(standin.api, { ids: [0], count: 1 }), standin.token).catch(
      (error: unknown) => error,
    );
    expect(refused).toBeInstanceOf(LoginRefused);
    expect(String(refused)).toContain('leave SHARDS and SHARD_COUNT out, or raise SHARD_COUNT');
  });
});

describe('a process that has some of the shards', () => {
  it('hears of its own servers alone', async () => {
    const standin = await standInWith(2);
    const guilds = ['A', 'B', 'C', 'D'].map((name) => standin.addGuild(name, [{ name: 'rendering' }]));
    const client = newClient(standin.api, { ids: [1], count: 2 });
    closers.push(() => client.destroy());
    await logIn(client, standin.token);
    expect(shardsIn(standin)).toEqual([[1, 2]]);
    expect(client.guilds.cache.size).toBe(2);
    const heard: string[] = [];
    client.on(Events.InteractionCreate, ({ guildId }) => void heard.push(guildId ?? ''));
    standin.world.commands = [{ id: '1', name: 'water', type: 1, options: [] }];
    for (const guild of guilds)
      void standin
        .member(guild, 'Alice')
        .command('/water')
        .catch(() => undefined);
    await vi.waitUntil(() => heard.length === 2);
    expect(heard.toSorted()).toEqual([...client.guilds.cache.keys()].toSorted());
  });

  it('posts, finds and tells on servers of the others too', async () => {
    const standin = await standInWith(2);
    const guilds = ['A', 'B', 'C', 'D'].map((name) => standin.addGuild(name, [{ name: 'rendering' }]));
    const { outbox } = await startOn(standin, { ids: [0], count: 2 });
    const week = reply({ title: 'The week' });
    for (const guild of guilds) {
      const channel = guild.channel('rendering').id;
      const post = { community: guild.id, channel, nonce: guild.id, reply: week };
      expect(await outbox.post(post)).toMatchObject({ kind: 'posted' });
      expect(await outbox.find(channel, guild.id, new Date())).toBe(standin.messages(channel)[0]?.id);
      expect(await outbox.tellManagers(guild.id, week)).toBe(true);
    }
    standin.expectConformant();
  });
});
