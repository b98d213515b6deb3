import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { eraseCommunity } from '../../src/records/communities.js';
import { keptWhileUnchanged } from '../../src/records/kept.js';
import { pooledSums } from '../../src/records/pooled-sums.js';
import { openTalk, type Talk } from '../support/talk.js';

let talk: Talk;
let works = 0;
let communities = 0;
let community = '';
const batchesKept = keptWhileUnchanged(async (db, asked) => {
  works += 1;
  return (await pooledSums(db, asked, {})).reduce((sum, { batches }) => sum + batches, 0);
});
const ask = () => batchesKept(talk.db, community);
const say = (line: string) => talk.ask(line, { community, admin: true });

beforeAll(async () => {
  talk = await openTalk();
});
afterAll(() => talk.close());
beforeEach(async () => {
  community = `community ${++communities}`;
  await say('/batch log fat:2kg tallow:"900 g" method:oven cut:ground');
  works = 0;
});

describe('what is kept of a community', () => {
  it('is worked out once while nothing changes, however many ask at once', async () => {
    expect(await Promise.all([ask(), ask(), ask()])).toEqual([1, 1, 1]);
    await say('/batch list');
    await say('/water fat:2kg');
    expect([await ask(), works]).toEqual([1, 1]);
  });

  it('is worked out again after a batch is logged, corrected or removed, or other batches count', async () => {
    await ask();
    await say('/batch log fat:2kg tallow:"800 g" method:oven cut:ground');
    expect([await ask(), works]).toEqual([2, 2]);
    await say('/batch correct number:1 tallow:"850 g"');
    expect([await ask(), works]).toEqual([2, 3]);
    await say('/batch remove number:1');
    expect([await ask(), works]).toEqual([1, 4]);
    await say('/settings odd-batches count:no');
    expect([await ask(), works]).toEqual([1, 5]);
    await talk.db
      .updateTable('members')
      .set({ pooled: false })
      .where('community_id', '=', community)
      .execute();
    expect([await ask(), works]).toEqual([0, 6]);
  });

  it('is not touched by another community', async () => {
    await ask();
    await talk.ask('/batch log fat:2kg tallow:"800 g" method:oven cut:ground', { community: 'elsewhere' });
    expect([await ask(), works]).toEqual([1, 1]);
  });

  it('is forgotten with a community, even when one of the same name begins anew', async () => {
    await ask();
    await eraseCommunity(talk.db, community);
    await say('/batch log fat:2kg tallow:"900 g" method:oven cut:ground');
    await say('/batch log fat:2kg tallow:"910 g" method:oven cut:ground');
    expect([await ask(), works]).toEqual([2, 2]);
  });

  it('is kept for each thing it is about, until anything of the community changes', async () => {
    const asked: string[] = [];
    const about = keptWhileUnchanged(async (_db, _community, member: string, method: string) => {
      asked.push(`${member} ${method}`);
      return `${member}’s ${method}`;
    });
    const askAbout = (member: string, method: string) => about(talk.db, community, member, method);
    expect(await askAbout('Ann', 'oven')).toBe('Ann’s oven');
    expect(await askAbout('Bea', 'oven')).toBe('Bea’s oven');
    expect(await askAbout('Ann', 'oven')).toBe('Ann’s oven');
    expect(asked).toEqual(['Ann oven', 'Bea oven']);
    await say('/batch log fat:2kg tallow:"800 g" method:oven cut:ground');
    await askAbout('Bea', 'oven');
    expect(asked).toEqual(['Ann oven', 'Bea oven', 'Bea oven']);
  });

  it('is never older than a change that whoever asks knows of, even while others are asking', async () => {
    for (let count = 2; count <= 6; count++) {
      const before = ask();
      await say(`/batch log fat:2kg tallow:"${700 + 20 * count} g" method:oven cut:ground`);
      expect(await ask()).toBe(count);
      await before;
    }
  });

  it('is not kept when it failed', async () => {
    let fails = true;
    const sometimes = keptWhileUnchanged(async () => {
      if (fails) throw new Error('the line is down');
      return 'an answer';
    });
    await expect(sometimes(talk.db, community)).rejects.toThrow('the line is down');
    fails = false;
    expect(await sometimes(talk.db, community)).toBe('an answer');
  });
});
