import { createServer, type Server } from 'node:http';
import { Events } from 'discord.js';
import pino from 'pino';
import { afterEach, describe, expect, it } from 'vitest';
import { type WebSocket, WebSocketServer } from 'ws';
import { converse } from '../../src/chat/dispatch.js';
import { startDiscord } from '../../src/discord/adapter.js';
import { LoginRefused, logIn, newClient } from '../../src/discord/log-in.js';
import { setStage } from './stage.js';

const stage = setStage();
const TOKEN = 'not.a.token';

/**
 * An API without commands and a gateway that does one thing with whoever identifies. (Close codes: Opcodes and Status
 * Codes › Gateway Close Event Codes.)
 */
async function gatewayThat(identified: (socket: WebSocket) => void): Promise<string> {
  const server = createServer((request, response) => {
    const gateway = {
      url: `ws://127.0.0.1:${portOf(server)}`,
      shards: 1,
      session_start_limit: { total: 1000, remaining: 1000, reset_after: 1, max_concurrency: 1 },
    };
    const body = request.url?.endsWith('/gateway/bot') ? gateway : [];
    response.writeHead(200, { 'content-type': 'application/json' }).end(JSON.stringify(body));
  });
  new WebSocketServer({ server }).on('connection', (socket) => {
    socket.send(JSON.stringify({ op: 10, d: { heartbeat_interval: 41_250 }, s: null, t: null }));
    socket.on('message', (raw) => {
      if (JSON.parse(String(raw)).op === 2) identified(socket);
    });
  });
  servers.push(server);
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  return `http://127.0.0.1:${portOf(server)}/api`;
}

function portOf(server: Server): number {
  const address = server.address();
  if (address === null || typeof address === 'string') throw new Error('no port was given');
  return address.port;
}

const servers: Server[] = [];
afterEach(() => {
  for (const server of servers.splice(0)) {
    server.closeAllConnections();
    server.close();
  }
});

async function refusedBy(identified: (socket: WebSocket) => void): Promise<unknown> {
  return logIn(newClient(await gatewayThat(identified)), TOKEN).catch((error: unknown) => error);
}

describe('logging in', () => {
  it('is refused with a wrong token, and says which setting to look at without repeating it', async () => {
    const refused = await stage()
      .start({ token: 'wrong.wrong.wrong' })
      .catch((error: unknown) => error);
    expect(refused).toBeInstanceOf(LoginRefused);
    expect(String(refused)).toContain('DISCORD_TOKEN was not accepted');
    expect(`${String(refused)} ${stage().log.join('')}`).not.toContain('wrong.wrong');
  });

  it.each([
    [4004, 'DISCORD_TOKEN was not accepted'],
    [4014, 'Guilds intent'],
    [4013, 'Guilds intent'],
    [4011, 'raise SHARD_COUNT'],
    [4010, 'each must be below SHARD_COUNT'],
    [4012, '4012'],
  ])('that the gateway ends with %i is refused with what to do', async (code, text) => {
    const refused = await refusedBy((socket) => socket.close(code));
    expect(refused).toBeInstanceOf(LoginRefused);
    expect(String(refused)).toContain(text);
    expect(String(refused)).toContain('DISCORD_TOKEN');
    expect(String(refused)).not.toContain(TOKEN);
    expect(String(refused).split('\n')).toHaveLength(1);
  });

  it('where nothing listens is refused, and names the network', async () => {
    const refused = await logIn(newClient('http://127.0.0.1:9/api'), TOKEN).catch((error: unknown) => error);
    expect(refused).toBeInstanceOf(LoginRefused);
    expect(String(refused)).toContain('check the network');
  });

  it('asks for no privileged intent', () => {
    // Gateway › List of Intents: GUILDS is bit 0.
    expect(newClient(undefined).options.intents.bitfield).toBe(1);
  });
});

describe('a client', () => {
  it('keeps nobody in memory but itself, however many ask', async () => {
    const { standin, guild } = stage();
    standin.world.commands = [{ id: '1', name: 'water', type: 1, options: [] }];
    const client = await logIn(newClient(standin.api), standin.token);
    for (const name of ['Bram', 'Cleo', 'Dorit']) {
      const heard = new Promise((resolve) => client.once(Events.InteractionCreate, resolve));
      standin
        .member(guild, name)
        .command('/water')
        .catch(() => undefined);
      await heard;
    }
    expect([...client.users.cache.keys()]).toEqual([client.user.id]);
    expect([...(client.guilds.cache.get(guild.id)?.members.cache.keys() ?? [])]).toEqual([client.user.id]);
    await client.destroy();
  });
});

describe('a connection that Discord ends for good', () => {
  it('is told to whoever runs the bot, and not taken up again', async () => {
    const ready = {
      op: 0,
      t: 'READY',
      s: 1,
      d: {
        v: 10,
        user: { id: '1', username: 'bot', discriminator: '0', avatar: null, bot: true },
        guilds: [],
        session_id: 'one',
        resume_gateway_url: 'ws://127.0.0.1:9',
        application: { id: '1', flags: 0 },
      },
    };
    const api = await gatewayThat((socket) => {
      socket.send(JSON.stringify(ready));
      setTimeout(() => socket.close(4004), 500);
    });
    let tell: (reason: string) => void = () => {};
    const told = new Promise<string>((resolve) => {
      tell = resolve;
    });
    const adapter = await startDiscord({
      token: TOKEN,
      api,
      conversation: converse([], () => {}),
      log: pino({ level: 'silent' }),
      clock: () => new Date(),
      fatal: tell,
    });
    expect(await told).toContain('4004');
    await adapter.stop();
  });
});
