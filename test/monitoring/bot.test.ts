import { createServer } from 'node:net';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { startBot } from '../support/bot.js';
import { type StandIn, startStandIn } from '../support/chat-server/server.js';
import { type FreshDatabase, freshDatabase } from '../support/postgres.js';

let standin: StandIn;
let database: FreshDatabase;
beforeAll(async () => {
  standin = await startStandIn();
  database = await freshDatabase();
});
afterAll(async () => {
  await standin.close();
  await database.drop();
});

const startOnDiscord = (port: number) =>
  startBot({
    env: {
      DISCORD_TOKEN: standin.token,
      DISCORD_API: standin.api,
      DATABASE_URL: database.connectionString,
      HEALTH_PORT: String(port),
    },
  });

/** Listens on a port that nobody has; `free` gives it back. */
async function takePort(): Promise<{ readonly port: number; free(): Promise<void> }> {
  const server = createServer();
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const address = server.address();
  return {
    port: typeof address === 'object' && address !== null ? address.port : 0,
    free: async () => {
      await new Promise((resolve) => server.close(resolve));
    },
  };
}

/** A bot that may be asked how it is. */
async function startWatched() {
  const { port, free } = await takePort();
  await free();
  const bot = startOnDiscord(port);
  const get = (path: string) => fetch(`http://127.0.0.1:${port}${path}`);
  return {
    get,
    health: async () => (await get('/healthz').catch(() => undefined))?.json(),
    async end() {
      bot.process.kill('SIGTERM');
      return (await bot.finish()).code;
    },
  };
}

describe('the bot on Discord with HEALTH_PORT', { timeout: 90_000 }, () => {
  it('says that it is well, and what it answered', async () => {
    const guild = standin.addGuild('Ember Lane', [{ name: 'rendering' }]);
    const { get, health, end } = await startWatched();
    await expect.poll(health, { timeout: 60_000 }).toMatchObject({
      status: 'ok',
      gatewayReady: true,
      tokenAccepted: true,
      databaseAnswers: true,
    });

    const bea = standin.member(guild, 'Bea');
    await bea.command('/water', { fat: '2 lb 8 oz' });
    await bea.command('/water', { fat: '4' });
    const metrics = await (await get('/metrics')).text();
    expect(metrics).toContain('tallow_answer_seconds_count{asked="/water",outcome="reply"} 1');
    expect(metrics).toContain('tallow_answer_seconds_count{asked="/water",outcome="refusal"} 1');
    expect(metrics).toContain('tallow_deliveries_due{which="all"} 0');
    expect(metrics).toMatch(/^tallow_pool_connections\{state="in use"\} \d/m);
    expect(metrics).not.toMatch(/Bea|2 lb|Ember/);
    expect(await end()).toBe(0);
  });

  it('says in one line that its port is taken', async () => {
    const { port, free } = await takePort();
    const { code, said } = await startOnDiscord(port).finish();
    await free();
    expect(code).toBe(2);
    expect(said.split('\n')).toContain(
      'HEALTH_HOST and HEALTH_PORT name a place that cannot be listened on (EADDRINUSE).',
    );
  });
});
