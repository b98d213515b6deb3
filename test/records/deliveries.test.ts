import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { noteManagersUnreached, rememberCommunity } from '../../src/records/communities.js';
import { openRecords, type Records } from '../../src/records/database.js';
import {
  claimUntoldClosed,
  type DeliveryKey,
  deliveriesDue,
  markClosed,
  markSent,
  planDelivery,
  reopenDelivery,
  untellClosed,
} from '../../src/records/deliveries.js';
import { inOwnCommunity } from '../support/own-community.js';
import { type FreshDatabase, freshDatabase } from '../support/postgres.js';

const NOW = new Date('2026-11-25T18:00:00Z');
const minutesAgo = (minutes: number) => new Date(NOW.getTime() - minutes * 60_000);

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

async function plan(community: string, about: string, dueAt: Date, state: 'due' | 'folded' = 'due') {
  const key = { community, kind: 'weekly', about } as const;
  await rememberCommunity(db, community, NOW);
  await planDelivery(db, { ...key, application: 'bot', channel: 'rendering', dueAt, state });
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

describe('a post that managers ask for', () => {
  const asked = { at: NOW, channel: 'another channel', application: 'bot' };
  const stored = ({ community, about }: DeliveryKey) =>
    db
      .selectFrom('deliveries')
      .select(['state', 'channel', 'asked_at'])
      .where('community_id', '=', community)
      .where('about', '=', about)
      .executeTakeFirstOrThrow();

  it('goes out after all where its channel was closed', async () => {
    const key = await plan('asking', 'closed', minutesAgo(30));
    await markClosed(db, key, 'the channel is gone');
    expect(await reopenDelivery(db, key, asked)).toBe(true);
    expect(await stored(key)).toEqual({ state: 'due', channel: 'another channel', asked_at: NOW });
    // Somebody else pressed at the same moment.
    expect(await reopenDelivery(db, key, asked)).toBe(false);
  });

  it('is left as it is where it went out, is under way or came too late', async () => {
    const sent = await plan('asking', 'sent', minutesAgo(30));
    await markSent(db, sent, { at: NOW, message: '1', caution: undefined });
    const due = await plan('asking', 'due', minutesAgo(1));
    const folded = await plan('asking', 'folded', minutesAgo(3000), 'folded');
    for (const key of [sent, due, folded]) {
      const before = await stored(key);
      expect(await reopenDelivery(db, key, asked), key.about).toBe(false);
      expect(await stored(key)).toEqual(before);
    }
  });

  it('stays with the bot that kept it', async () => {
    const key = await plan('asking', 'kept', minutesAgo(30));
    await markClosed(db, key, 'the channel is gone');
    expect(await reopenDelivery(db, key, { ...asked, application: 'another bot' })).toBe(false);
  });
});

describe('that a channel is closed', () => {
  const close = async (community: string, about: string) => {
    const key = await plan(community, about, NOW);
    await markClosed(db, key, 'the channel is gone');
    return key;
  };
  /** Whose managers are to be told, of which posts. */
  const untold = async (application = 'bot') =>
    (await claimUntoldClosed(db, application, NOW)).map(({ community, about }) => `${community} ${about}`);
  // Of what was closed before.
  beforeAll(() => untold());

  it('is told to the managers once, by the bot whose post it was, in one community and the other', async () => {
    await close('one', 'w1');
    await close('other', 'w1');
    expect(await untold('another bot')).toEqual([]);
    expect((await untold()).sort()).toEqual(['one w1', 'other w1']);
    await close('one', 'w2');
    expect(await untold()).toEqual([]);
  });

  it('is told again once something has gone out there, but not because it has elsewhere', async () => {
    await close('gone out', 'w1');
    await untold();
    const elsewhere = await plan('somewhere else', 'w2', NOW);
    await markSent(db, elsewhere, { at: NOW, message: '1', caution: undefined });
    await close('gone out', 'w3');
    expect(await untold()).toEqual([]);
    await markSent(db, await plan('gone out', 'w2', NOW), { at: NOW, message: '1', caution: undefined });
    expect(await untold()).toEqual(['gone out w3']);
  });

  it('is told of the next post where nobody could be reached of the last', async () => {
    await close('unreached', 'w1');
    await untold();
    await noteManagersUnreached(db, 'unreached', NOW);
    expect(await untold()).toEqual([]);
    await close('unreached', 'w2');
    expect(await untold()).toEqual(['unreached w2']);
  });

  it('is told after all where telling failed', async () => {
    await close('failed', 'w1');
    await untellClosed(db, await claimUntoldClosed(db, 'bot', NOW));
    expect(await untold()).toEqual(['failed w1']);
  });

  it('is told again of a post that was let go out and met it again', async () => {
    const key = await close('again', 'w1');
    await untold();
    expect(await reopenDelivery(db, key, { at: NOW, channel: 'rendering', application: 'bot' })).toBe(true);
    await markClosed(db, key, 'the channel is gone');
    expect(await untold()).toEqual(['again w1']);
  });
});
