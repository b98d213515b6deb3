import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { rememberCommunity } from '../src/records/communities.js';
import { openRecords } from '../src/records/database.js';
import { startBot } from './support/bot.js';
import { type StandIn, startStandIn } from './support/chat-server/server.js';
import { type FreshDatabase, freshDatabase } from './support/postgres.js';

let folder: string;
let standin: StandIn;
let database: FreshDatabase;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'tallow-tally-main-'));
  standin = await startStandIn();
  database = await freshDatabase();
});
afterAll(async () => {
  await standin.close();
  await database.drop();
  await rm(folder, { recursive: true, force: true, maxRetries: 5 });
});

describe('the bot as a process', () => {
  it('talks on Discord with a token, uses the Postgres it is told, and ends well on SIGTERM', {
    timeout: 60_000,
  }, async () => {
    const guild = standin.addGuild('Ember Lane', [{ name: 'rendering' }]);
    const bot = startBot({
      env: {
        DISCORD_TOKEN: standin.token,
        DISCORD_API: standin.api,
        DATABASE_URL: database.connectionString,
      },
    });
    await expect.poll(() => standin.world.commands.length, { timeout: 30_000 }).toBeGreaterThan(0);
    const alice = standin.member(guild, 'Alice');
    const answer = await alice.command('/batch log', {
      fat: '4 lb',
      tallow: '2 lb',
      method: 'oven',
      cut: 'ground',
    });
    expect(answer.text).toContain('Batch 1: 50 %');
    // The answer that is under way when the signal comes is still given.
    const last = alice.command('/batch list');
    bot.process.kill('SIGTERM');
    expect((await last).text.length).toBeGreaterThan(0);
    const { code, said } = await bot.finish();
    expect(code).toBe(0);
    expect(said).not.toContain(standin.token);
    expect(said).not.toMatch(/postgres:\/\/[^ ]*:[^ ]*@/);
    standin.expectConformant();
  });

  it('writes weekly posts in a thread of its own, and ends at once when told to while many are due', {
    timeout: 60_000,
  }, async () => {
    const guild = standin.addGuild('Slow Lane', [{ name: 'weekly' }]);
    const channel = guild.channel('weekly').id;
    const db = openRecords(database.connectionString, () => {});
    const weeks = Array.from({ length: 2000 }, (_, at) => ({
      community_id: guild.id,
      kind: 'weekly' as const,
      about: `week ${at}`,
      nonce: `nonce-${at}`,
      channel,
      due_at: new Date(),
    }));
    await rememberCommunity(db, guild.id, new Date());
    await db.insertInto('deliveries').values(weeks).execute();
    const bot = startBot({
      env: {
        DISCORD_TOKEN: standin.token,
        DISCORD_API: standin.api,
        DATABASE_URL: database.connectionString,
      },
    });
    await expect.poll(() => standin.messages(channel).length, { timeout: 30_000 }).toBeGreaterThan(20);
    const bea = standin.member(guild, 'Bea');
    expect((await bea.command('/weekly preview')).text).toContain('quiet week');
    bot.process.kill('SIGTERM');
    const { code, said } = await bot.finish();
    expect(code).toBe(0);
    expect(said).not.toMatch(/"level":(50|60)/);
    const sent = standin.messages(channel).filter(({ nonce }) => nonce?.startsWith('nonce-'));
    expect(sent.length).toBeLessThan(weeks.length);
    const rows = await db.selectFrom('deliveries').select('message').where('state', '=', 'sent').execute();
    expect(rows.map(({ message }) => message).sort()).toEqual(sent.map(({ id }) => id).sort());
    await db.destroy();
    standin.expectConformant();
  });

  it('says in one line that its token was not taken', { timeout: 60_000 }, async () => {
    const bot = startBot({
      env: {
        DISCORD_TOKEN: 'not.the.token',
        DISCORD_API: standin.api,
        DATABASE_URL: database.connectionString,
      },
    });
    const { code, said } = await bot.finish();
    expect(code).toBe(2);
    expect(said.trim().split('\n').at(-1)).toMatch(/^DISCORD_TOKEN was not accepted/);
    expect(said).not.toContain('not.the.token');
  });

  it('answers an emergency in one line though nothing answers where its database should be', {
    timeout: 60_000,
  }, async () => {
    const env = { DATABASE_URL: 'postgres://nobody@127.0.0.1:1/none' };
    const urgent = startBot({ args: ['/fire', '/brun', 'my pot is on fire'], env });
    expect(await urgent.ended()).toMatchObject({ code: 0, said: '' });
    const other = startBot({ args: ['/fire', '/kit list'], env });
    expect((await other.ended()).code).toBe(2);
  });
});
