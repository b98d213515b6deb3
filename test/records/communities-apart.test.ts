import { afterAll, beforeAll, expect, it } from 'vitest';
import { openRecords, type Records } from '../../src/records/database.js';
import { claimUntoldNearMisses, reportNearMiss, untellNearMisses } from '../../src/records/near-misses.js';
import { findOddBatches } from '../../src/records/odd-batches.js';
import { inOwnCommunity } from '../support/own-community.js';
import { type FreshDatabase, freshDatabase } from '../support/postgres.js';
import { storeBatches } from '../support/stored-batches.js';

const NOW = new Date('2026-11-25T18:00:00Z');

let database: FreshDatabase;
let db: Records;
beforeAll(async () => {
  database = await freshDatabase();
  db = inOwnCommunity(openRecords(database.connectionString, () => {}));
});
afterAll(async () => {
  await db.destroy();
  await database.drop();
});

it('batches of the same number in two communities keep their own days', async () => {
  const days = [
    ['ember-lane', '2026-11-20T12:00:00Z'],
    ['elsewhere', '2026-10-02T12:00:00Z'],
  ] as const;
  const yields = [450, 470, 440, 460, 455, 465, 445, 120];
  for (const [community, at] of days)
    await storeBatches(
      db,
      community,
      yields.map((tallowG) => ({ member: 'Tansy', fatG: 1000, tallowG, at })),
    );
  for (const [community, at] of days)
    expect(await findOddBatches(db, community)).toMatchObject({
      kind: 'judged',
      odd: [{ number: 8, finishedAt: new Date(at) }],
    });
});

it('a near miss that managers could not be told of is taken back in their community alone', async () => {
  for (const community of ['ember-lane', 'elsewhere'])
    await reportNearMiss(db, {
      community,
      member: { id: 'tansy', name: 'Tansy' },
      interaction: 'one',
      topic: undefined,
      report: 'It foamed over',
      application: 'bot',
      now: NOW,
    });
  expect(await claimUntoldNearMisses(db, 'bot', NOW)).toHaveLength(2);
  await untellNearMisses(db, 'ember-lane', NOW);
  expect(await claimUntoldNearMisses(db, 'bot', NOW)).toEqual([{ community: 'ember-lane', reports: 1 }]);
});
