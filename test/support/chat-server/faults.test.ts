import { Client, Events, REST, Routes } from 'discord.js';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { seenOf } from './seen.js';
import { type StandIn, startStandIn } from './server.js';

// What is expected is from Discord's documentation, by the page named.

const GUILDS = 1 << 0;

let standin: StandIn;
const clients: Client[] = [];
beforeEach(async () => {
  standin = await startStandIn();
});
afterEach(async () => {
  for (const client of clients.splice(0)) await client.destroy();
  await standin.close();
});

async function loggedIn(shards?: readonly number[], shardCount = 1): Promise<Client<true>> {
  const client = new Client({
    intents: GUILDS,
    rest: { api: standin.api },
    ...(shards ? { shards: [...shards], shardCount } : { shards: 'auto' as const }),
  });
  clients.push(client);
  const ready = new Promise<Client<true>>((resolve) => {
    client.once(Events.ClientReady, resolve);
  });
  const turnedAway = new Promise<never>((_, reject) => {
    client.once(Events.ShardDisconnect, ({ code }) => reject(new Error(`closed with ${code}`)));
  });
  return Promise.race([client.login(standin.token).then(() => ready), turnedAway]);
}

/** A request past the client: the status, the headers and what came back. */
async function send(method: string, path: string, body?: unknown) {
  const response = await fetch(`${standin.api}/v10${path}`, {
    method,
    headers: { authorization: `Bot ${standin.token}`, 'content-type': 'application/json' },
    ...(body === undefined ? {} : { body: JSON.stringify(body) }),
  });
  const text = await response.text();
  return { status: response.status, headers: response.headers, json: text === '' ? {} : JSON.parse(text) };
}

/** An interaction that nobody answers but the test. */
async function asked() {
  const client = await loggedIn();
  await client.application.commands.set([{ name: 'plain', description: 'Says something' }]);
  const heard = new Promise<{ id: string; token: string }>((resolve) => {
    client.once(Events.InteractionCreate, resolve);
  });
  const guild = standin.addGuild('Ember Lane', [{ name: 'rendering' }]);
  void standin
    .member(guild, 'Alice')
    .command('/plain')
    .catch(() => undefined);
  const { id, token } = await heard;
  const answer = { content: 'hello', allowed_mentions: { parse: [] } };
  return {
    say: () => send('POST', `/interactions/${id}/${token}/callback`, { type: 4, data: answer }),
    defer: () => send('POST', `/interactions/${id}/${token}/callback`, { type: 5 }),
    edit: () => send('PATCH', `/webhooks/${standin.world.applicationId}/${token}/messages/@original`, answer),
    remove: () => send('DELETE', `/webhooks/${standin.world.applicationId}/${token}/messages/@original`),
  };
}

describe('a request that fails', () => {
  // Opcodes and Status Codes › JSON: 40060 has been acknowledged, 10015 unknown webhook.
  it('may have been done all the same, and then the next one says so', async () => {
    const { defer, edit } = await asked();
    expect((await edit()).json).toMatchObject({ code: 10_015 });
    standin.next('callback', { status: 500, isDone: true });
    expect((await defer()).status).toBe(500);
    expect((await defer()).json).toMatchObject({ code: 40_060 });
    expect((await edit()).status).toBe(200);
  });

  it('may be a waiting notice, and then no other answer fails', async () => {
    const { defer, say } = await asked();
    standin.next('waiting notice', { status: 502 });
    expect((await say()).status).toBe(204);
    expect((await defer()).status).toBe(502);
    expect((await defer()).json).toMatchObject({ code: 40_060 });
  });

  it('may not have been done', async () => {
    const { defer, edit, remove } = await asked();
    standin.next('callback', { status: 502 });
    expect((await defer()).status).toBe(502);
    expect((await defer()).status).toBe(204);
    standin.next('deletion of an answer', 'drop-after');
    await expect(remove()).rejects.toThrow();
    expect((await edit()).json).toMatchObject({ code: 10_008 });
  });

  // Rate Limits › Header Format.
  it('for a limit says whose it is and how long it lasts', async () => {
    standin.next('commands', { status: 429, retryAfter: 3, scope: 'global' });
    const path = Routes.applicationCommands(standin.world.applicationId);
    const { status, headers, json } = await send('GET', path);
    expect(status).toBe(429);
    expect(headers.get('retry-after')).toBe('3');
    expect(headers.get('x-ratelimit-scope')).toBe('global');
    expect(headers.get('x-ratelimit-global')).toBe('true');
    expect(json).toMatchObject({ retry_after: 3, global: true });
  });
});

describe('a channel', () => {
  it('can refuse every message that is sent there, and no other channel', async () => {
    const guild = standin.addGuild('Ember Lane', [{ name: 'slow' }, { name: 'open' }]);
    guild.channel('slow').refusal = { status: 403, code: 20_016 };
    const post = (name: string) => {
      const message = { content: 'hello', allowed_mentions: { parse: [] } };
      return send('POST', `/channels/${guild.channel(name).id}/messages`, message);
    };
    const second = standin.arrived('message', 2);
    expect(await post('slow')).toMatchObject({ status: 403, json: { code: 20_016 } });
    expect(await post('slow')).toMatchObject({ status: 403, json: { code: 20_016 } });
    await second;
    expect((await post('open')).status).toBe(200);
    expect(standin.requests('message')).toBe(3);
  });
});

describe('an interaction', () => {
  it('shows nothing, then a waiting notice, then what took its place', async () => {
    const { defer, edit } = await asked();
    const seen = () => standin.interactions().map((one) => seenOf(one).kind);
    expect(seen()).toEqual(['nothing']);
    await defer();
    expect(seen()).toEqual(['thinking']);
    await edit();
    expect(seen()).toEqual(['messages']);
  });
});

describe('a token', () => {
  it('can be refused so many times, or from now on', async () => {
    const statuses = async (times: number) =>
      (await Promise.all(Array.from({ length: times }, () => send('GET', '/users/@me')))).map(
        ({ status }) => status,
      );
    standin.refuseToken(1);
    expect((await statuses(2)).toSorted()).toEqual([200, 401]);
    standin.refuseToken('for good');
    expect(await statuses(2)).toEqual([401, 401]);
    await expect(loggedIn()).rejects.toThrow();
  });
});

describe('a gateway of several shards', () => {
  beforeEach(async () => {
    await standin.close();
    standin = await startStandIn({ shards: 2 });
  });

  it('tells each shard of its own servers', async () => {
    const guilds = ['A', 'B', 'C'].map((name) => standin.addGuild(name, [{ name: 'rendering' }]));
    const [first, second] = [await loggedIn([0], 2), await loggedIn([1], 2)];
    const known = [first, second].map(({ guilds: { cache } }) => [...cache.keys()]);
    expect(known.flat().toSorted()).toEqual(guilds.map(({ id }) => id).toSorted());
    // Gateway › Sharding Formula.
    const shardOf = (id: string) => Number((BigInt(id) >> 22n) % 2n);
    expect(known[0]?.every((id) => shardOf(id) === 0)).toBe(true);
    expect(known[1]?.every((id) => shardOf(id) === 1)).toBe(true);
  });

  // Opcodes and Status Codes › Gateway: 4011 sharding required.
  it('turns a bot away that has too few', async () => {
    await expect(loggedIn([0], 1)).rejects.toThrow(/4011|Sharding is required/);
  });
});

describe('a gateway', () => {
  // Opcodes and Status Codes › Gateway: after 4000 a client may resume.
  it('closes connections with a code, and hears of the client again as the code says', async () => {
    const client = await loggedIn();
    const isResumed = new Promise((resolve) => client.once(Events.ShardResume, resolve));
    standin.gateway.closeWith(4000);
    await isResumed;
    expect(standin.gateway.counts).toEqual({ identified: 1, resumed: 1 });
  });

  it('may want more shards of whoever comes later', async () => {
    standin.gateway.wantShards(2);
    await expect(loggedIn([0], 1)).rejects.toThrow(/4011|Sharding is required/);
    expect((await loggedIn()).ws.shards.size).toBe(2);
  });
});

describe('a server', () => {
  it('is told of as long as the bot is on it', async () => {
    const rest = new REST({ api: standin.api }).setToken(standin.token);
    const guild = standin.addGuild('Ember Lane', [{ name: 'hidden', denied: 1n << 10n }]);
    expect(await rest.get(Routes.guild(guild.id))).toMatchObject({ name: 'Ember Lane' });
    expect(await rest.get(Routes.guildChannels(guild.id))).toMatchObject([{ name: 'hidden' }]);
    standin.removeGuild(guild);
    await expect(rest.get(Routes.guild(guild.id))).rejects.toMatchObject({ code: 10_004 });
    await expect(rest.get(Routes.channel(guild.channel('hidden').id))).rejects.toMatchObject({
      code: 50_001,
    });
  });

  it('lets in to a command whom its settings name', async () => {
    const client = await loggedIn();
    const command = { name: 'settings', description: 'Sets', defaultMemberPermissions: '32' } as const;
    const [registered] = [...(await client.application.commands.set([command])).values()];
    const guild = standin.addGuild('Ember Lane', [{ name: 'rendering' }]);
    const heard = vi.fn();
    client.on(Events.InteractionCreate, heard);
    const alice = standin.member(guild, 'Alice', { roles: ['77'] });
    await expect(alice.command('/settings')).rejects.toThrow('does not let Alice use');
    standin.world.commandPermissions.set(`${guild.id} ${registered?.id}`, [
      { id: '77', type: 1, permission: true },
    ]);
    void alice.command('/settings').catch(() => undefined);
    await vi.waitUntil(() => heard.mock.calls.length === 1);
  });
});
