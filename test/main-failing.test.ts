import { connect, createServer, type Server } from 'node:net';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { type Bot, startBot } from './support/bot.js';
import { type StandIn, startStandIn } from './support/chat-server/server.js';
import { type FreshDatabase, freshDatabase } from './support/postgres.js';

let database: FreshDatabase;
beforeAll(async () => {
  database = await freshDatabase();
});
afterAll(() => database.drop());

const log = { fat: '4 lb', tallow: '2 lb', method: 'oven', cut: 'ground' };
const YIELDS = { timeout: 30_000 };

interface How {
  readonly isBare?: boolean;
  /** Where its database is. */
  readonly at?: string;
}

function startOn(standin: StandIn, { at = database.connectionString, ...how }: How = {}): Bot {
  return startBot({
    ...how,
    env: {
      DISCORD_TOKEN: standin.token,
      DISCORD_API: standin.api,
      DATABASE_URL: at,
    },
  });
}

/** The port on loopback that a server then has. */
async function listeningOn(server: Server, port: number): Promise<number> {
  await new Promise<void>((resolve) => server.listen(port, '127.0.0.1', resolve));
  const address = server.address();
  return typeof address === 'object' && address !== null ? address.port : port;
}

/** A press of a button whose message Discord left out: nothing that it sends today, and nothing that the client can read. */
const unreadable = (standin: StandIn) => ({
  id: standin.world.newId(),
  token: 'token',
  type: 3,
  application_id: standin.world.applicationId,
  data: { component_type: 2, custom_id: 'v1|safety.report' },
  version: 1,
});

/** Waits until the bot has started so often. */
const isHere = (bot: Bot, times = 1) =>
  vi.waitUntil(() => bot.said().split('Discord knows the commands').length > times, YIELDS);

/** Lines that a person or a program would have to make sense of: all but JSON. */
const linesOf = (said: string) => said.trim().split('\n');
const levelsOf = (said: string) => linesOf(said).map((line) => Number(JSON.parse(line).level));

describe('a packet that the client library cannot read', () => {
  it('ends the bot in order: what is under way is answered, and one line says why', {
    timeout: 90_000,
  }, async () => {
    const standin = await startStandIn();
    const guild = standin.addGuild('Ember Lane', [{ name: 'rendering' }]);
    const bot = startOn(standin, { isBare: true });
    await isHere(bot);
    const alice = standin.member(guild, 'Alice');
    const underWay = alice.command('/batch log', log);
    standin.gateway.dispatch('INTERACTION_CREATE', unreadable(standin));
    expect((await underWay).text).toContain('Batch 1');
    const { code, said } = await bot.finish();
    expect(code).toBe(1);
    expect(levelsOf(said).filter((level) => level === 60)).toHaveLength(1);
    expect(said).toContain('something failed that nothing was ready for');
    expect(said).not.toContain('token-');
    await standin.close();
  });

  it('is over in a moment where npm start looks after the bot', { timeout: 90_000 }, async () => {
    const standin = await startStandIn();
    const guild = standin.addGuild('Ember Lane', [{ name: 'rendering' }]);
    const bot = startOn(standin);
    await isHere(bot);
    standin.gateway.dispatch('INTERACTION_CREATE', unreadable(standin));
    await isHere(bot, 2);
    const alice = standin.member(guild, 'Alice');
    expect((await alice.command('/batch list')).text).toContain('atch');
    bot.process.kill('SIGTERM');
    const { code, said } = await bot.finish();
    expect(code).toBe(0);
    expect(said).toContain('The bot ended with status 1; starting it again in 1 s.');
    await standin.close();
  });
});

describe('npm start on Discord', () => {
  it('does not leave the bot behind when it is killed itself', { timeout: 90_000 }, async () => {
    const standin = await startStandIn();
    const guild = standin.addGuild('Ember Lane', [{ name: 'rendering' }]);
    const bot = startOn(standin);
    await isHere(bot);
    const alice = standin.member(guild, 'Alice');
    const underWay = alice.command('/batch list');
    bot.process.kill('SIGKILL');
    // Its end is that of whoever writes to the same place, the bot itself included.
    await bot.finish();
    expect((await underWay).text).toContain('atch');
    await expect(alice.command('/batch list')).rejects.toThrow('did not answer');
    await standin.close();
  });

  it('ends with one line when the token is not accepted any more', { timeout: 90_000 }, async () => {
    const standin = await startStandIn();
    standin.addGuild('Ember Lane', [{ name: 'rendering' }]);
    const bot = startOn(standin);
    await isHere(bot);
    standin.refuseToken('for good');
    // Whatever needs the token next finds out.
    const guild = standin.addGuild('Next Lane', [{ name: 'rendering' }]);
    const pitmaster = standin.member(guild, 'Bram');
    expect((await pitmaster.command('/weekly post')).text).toContain('Something went wrong');
    const { code, said } = await bot.finish();
    expect(code).toBe(2);
    const fatal = linesOf(said).filter((line) => line.includes('"level":60'));
    expect(fatal.map((line) => JSON.parse(line).msg)).toEqual([
      'Discord does not accept DISCORD_TOKEN any more; copy it again from the developer portal',
    ]);
    // No stack but inside a line of the log.
    expect(linesOf(said).filter((line) => !line.startsWith('{'))).toEqual([
      'The bot ended with status 1; starting it again in 1 s.',
      'DISCORD_TOKEN was not accepted by Discord; copy it again from the developer portal.',
    ]);
    await standin.close();
  });

  it('waits for a Discord that cannot be reached yet', { timeout: 90_000 }, async () => {
    const bot = startBot({
      env: {
        DISCORD_TOKEN: 'a.good.token',
        DISCORD_API: 'http://127.0.0.1:9/api',
        DATABASE_URL: database.connectionString,
      },
    });
    await vi.waitUntil(() => bot.said().split('could not be reached').length > 2, YIELDS);
    expect(bot.said()).toContain('starting it again in 1 s.');
    bot.process.kill('SIGTERM');
    await bot.finish();
  });

  it('waits for a database that is away when it starts', { timeout: 90_000 }, async () => {
    const standin = await startStandIn();
    const guild = standin.addGuild('Ember Lane', [{ name: 'rendering' }]);
    const postgres = new URL(database.connectionString);
    const gate = createServer((socket) => {
      const onward = connect(Number(postgres.port), postgres.hostname);
      for (const end of [socket, onward]) end.on('error', () => {});
      socket.pipe(onward).pipe(socket);
    });
    const port = await listeningOn(gate, 0);
    await new Promise((resolve) => gate.close(resolve));
    const bot = startOn(standin, { at: Object.assign(new URL(postgres), { port: String(port) }).href });
    const isAway = 'No Postgres answers where DATABASE_URL says.';
    await vi.waitUntil(() => bot.said().split(isAway).length > 2, YIELDS);
    expect(bot.said()).toContain('The bot ended with status 1; starting it again in 1 s.');
    await listeningOn(gate, port);
    await isHere(bot);
    const alice = standin.member(guild, 'Alice');
    expect((await alice.command('/batch list')).text).toContain('atch');
    bot.process.kill('SIGTERM');
    expect((await bot.finish()).code).toBe(0);
    gate.close();
    await standin.close();
  });

  it('does not start again where the database was named wrongly', { timeout: 90_000 }, async () => {
    const at = Object.assign(new URL(database.connectionString), { pathname: '/no-such-database' }).href;
    const standin = await startStandIn();
    const { code, said } = await startOn(standin, { at }).finish();
    expect(code).toBe(2);
    expect(linesOf(said).at(-1)).toMatch(/has no database of that name/);
    expect(said).not.toContain('starting it again');
    await standin.close();
  });
});
