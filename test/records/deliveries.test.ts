import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { rememberCommunity } from '../../src/records/communities.js';
import { openRecords, type Records } from '../../src/records/database.js';
import { deliveriesDue, markSent, planDelivery } from '../../src/records/deliveries.js';
import { type FreshDatabase, freshDatabase } from '../support/postgres.js';

const NOW = new Date('2026-11-25T18:00:00Z');
const minutesAgo = (minutes: number) => new Date(NOW.getTime() - minutes * 60_000);

let database: FreshDatabase;
let db: Records;
beforeAll(async () => {
  database = await freshDatabase();
  db = openRecords(database.connectionString, () => {});
});
afterAll(async () => {
  await db.destroy();
  await database.drop();
});

async function plan(community: string, about: string, dueAt: Date, state: 'due' | 'folded' = 'due') {
  const key = { community, kind: 'weekly', about } as const;
  await rememberCommunity(db, community, NOW);
  await planDelivery(db, { ...key, application: 'bot', channel: 'rendering', dueAt, nonce: about, state });
  return key;
}

describe('what is due to a bot', () => {
  it('is nothing where nothing is planned', async () => {
    expect(await deliveriesDue(db, 'bot', NOW)).toEqual({ due: 0, late: 0, oldestDueAt: undefined });
  });

  it('is what has come due in any community and is not sent; after twenty minutes it is late', async () => {
    await plan('ember-lane', 'ahead', minutesAgo(-1));
    await plan('ember-lane', 'just now', minutesAgo(0));
    await plan('elsewhere', 'spread', minutesAgo(19));
    await plan('elsewhere', 'late', minutesAgo(21));
    await plan('elsewhere', 'folded', minutesAgo(3000), 'folded');
    const sent = await plan('elsewhere', 'sent', minutesAgo(60));
    await markSent(db, sent, { at: NOW, message: '1', caution: undefined });
    expect(await deliveriesDue(db, 'bot', NOW)).toEqual({ due: 3, late: 1, oldestDueAt: minutesAgo(21) });
    expect((await deliveriesDue(db, 'another bot', NOW)).due).toBe(0);
  });
});
