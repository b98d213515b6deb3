import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ASK_KINDS, type Ask, mixedAsks } from '../support/burst/asks.js';
import { type BusyBot, startBusyBot } from '../support/burst/busy-bot.js';
import { type FreshDatabase, freshDatabase } from '../support/postgres.js';

const SERVERS = [0, 1, 2, 3, 4];
const FLOODED = 5;
const MEMBERS_EACH = 4;

let database: FreshDatabase;
let busy: BusyBot;
beforeAll(async () => {
  database = await freshDatabase();
  busy = await startBusyBot(database.connectionString, {
    guilds: 6,
    membersEach: MEMBERS_EACH,
    batchesEach: 40,
    cooksEach: 6,
  });
});
afterAll(async () => {
  await busy?.close();
  await database.drop();
});

// The long run of the same: npm run bench -- burst
describe('many people at once', { timeout: 120_000 }, () => {
  it('are all answered in time', async () => {
    for (const kind of ASK_KINDS)
      await busy.crowd.ask(SERVERS.map((guild) => ({ atMs: 20 * guild, kind, guild, member: 0 })));
    const told = await busy.crowd.ask(
      mixedAsks({ asks: 100, withinMs: 4000, guilds: SERVERS, membersEach: MEMBERS_EACH }),
    );
    expect(told.filter(({ how }) => how !== 'answered')).toEqual([]);
    expect(Math.max(...told.map(({ acknowledgedMs }) => acknowledgedMs))).toBeLessThan(3000);
    expect(Math.max(...told.map(({ answeredMs }) => answeredMs))).toBeLessThan(15_000);
  });

  it('are told to go slower when one of them asks more than sixty times a minute, and nobody else is', async () => {
    const flood = Array.from(
      { length: 80 },
      (_, at): Ask => ({
        atMs: at * 10,
        kind: '/safety',
        guild: FLOODED,
        member: 0,
      }),
    );
    const other: Ask = { atMs: 1000, kind: '/safety', guild: FLOODED, member: 1 };
    const told = await busy.crowd.ask([...flood, other]);
    const refused = told.filter(({ how }) => how === 'refused');
    expect(refused).toHaveLength(20);
    expect(new Set(refused.map(({ said }) => said))).toEqual(new Set(['A little slower, please']));
    expect(told.at(-1)).toMatchObject({ how: 'answered' });
  });
});
