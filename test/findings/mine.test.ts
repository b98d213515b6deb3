import { afterAll, beforeEach, describe, expect, it } from 'vitest';
import { readReferenceBatches, readReferenceResults } from '../statistics/reference-sets.js';
import { storeBatches } from '../support/stored-batches.js';
import { numberIn, openTalk, type Talk } from '../support/talk.js';

let talk: Talk;
beforeEach(async () => {
  await talk?.close();
  talk = await openTalk();
});
afterAll(() => talk.close());

interface Results {
  readonly mixed_model: {
    readonly sigma_resid: number;
    readonly members: readonly {
      readonly member: string;
      readonly n: number;
      readonly blup: number;
      readonly shrinkage: number;
    }[];
  };
}

describe('/yield mine, against the predictions of lme4 in R', () => {
  it.each(['typical', 'heavy-logger', 'no-member-variance'])('agrees on “%s”', async (set) => {
    await storeBatches(talk.db, 'ember-lane', readReferenceBatches(set));
    const { members, sigma_resid: sigma } = readReferenceResults<Results>(set).mixed_model;
    for (const { member, n, blup, shrinkage } of [members[0], members.at(-1)].flatMap((one) => one ?? [])) {
      const reply = await talk.ask('/yield mine', { as: member });
      expect(numberIn(reply, 'batches')).toBe(n);
      expect(Math.abs(numberIn(reply, 'standing') - blup)).toBeLessThan(1e-6 * sigma);
      expect(numberIn(reply, 'ownShare')).toBeCloseTo(shrinkage, 5);
      expect(reply.audience).toBe('only you');
      expect(reply.lines.length).toBeLessThanOrEqual(6);
    }
  });
});

describe('/yield mine', () => {
  it('says when none of one’s batches count', async () => {
    expect((await talk.ask('/yield mine')).title).toContain('None of your batches');
  });

  it.each([
    ['one cook', ['Tansy', 'Tansy', 'Tansy', 'Tansy', 'Tansy'], 'All batches here are yours'],
    ['a batch each', ['Tansy', 'b', 'c', 'd', 'e'], 'Everybody has cooked once'],
    ['a single batch', ['Tansy'], 'Too few batches'],
  ])('answers for %s', async (_what, members, words) => {
    await storeBatches(
      talk.db,
      'ember-lane',
      members.map((member, at) => ({
        member,
        fatG: 1000 + 130 * at,
        tallowG: 480 + 47 * ((3 * at) % 5),
        minutes: 150 + 20 * ((at * at) % 5),
      })),
    );
    const reply = await talk.ask('/yield mine');
    expect(reply.lines.join(' ')).toContain(words);
    expect(reply.picture?.alt).toContain('Your newest');
    expect(reply.figures.standing).toBeNull();
  });

  const regular = (at: number) => ({
    member: 'bcde'[at % 4] ?? 'b',
    method: at % 2 === 0 ? 'oven' : 'open-pot',
    fatG: 1000 + 90 * (at % 7),
    minutes: 150 + 20 * (at % 5),
    tallowG: (1000 + 90 * (at % 7)) * (0.5 + 0.02 * (at % 4) + 0.006 * ((at * 7) % 5)),
  });

  it('says that one’s batches are left out as odd', async () => {
    await storeBatches(talk.db, 'ember-lane', [
      ...Array.from({ length: 40 }, (_, at) => regular(at)),
      { member: 'Tansy', method: 'oven', fatG: 1000, tallowG: 960, minutes: 180 },
      { member: 'Tansy', method: 'oven', fatG: 1000, tallowG: 980, minutes: 180 },
    ]);
    await talk.ask('/settings odd-batches count:no', { admin: true });
    const { title, lines } = await talk.ask('/yield mine');
    expect(title).toBe('None of your batches count here yet');
    expect(lines[0]).toBe('Your 2 batches look odd and are left out.');
    expect(lines.join(' ')).toContain('/yield odd says why');
    expect(lines.join(' ')).not.toContain('/batch log');
  });

  it('names what is allowed for, and time only where it is', async () => {
    const batches = Array.from({ length: 40 }, (_, at) => regular(at));
    await storeBatches(talk.db, 'timed', batches);
    const timed = (await talk.ask('/yield mine', { as: 'b', community: 'timed' })).lines.join(' ');
    expect(timed).toContain('Method, starting weight and time allowed for, ');
    await storeBatches(
      talk.db,
      'timeless',
      batches.map((batch) => ({ ...batch, minutes: undefined })),
    );
    const timeless = (await talk.ask('/yield mine', { as: 'b', community: 'timeless' })).lines.join(' ');
    expect(timeless).toContain('Method and starting weight allowed for, ');
  });

  it('says which batches are left out as they tell no time', async () => {
    const batches = Array.from({ length: 40 }, (_, at) => ({
      ...regular(at),
      ...(at % 8 === 0 ? { minutes: undefined } : {}),
    }));
    await storeBatches(talk.db, 'ember-lane', batches);
    expect((await talk.ask('/yield mine', { as: 'b' })).lines.join(' ')).toContain(
      '5 batches without a time are left out.',
    );
  });

  it('does not deny that a cook cooked the same way twice', async () => {
    await storeBatches(talk.db, 'ember-lane', [
      { member: 'Ann', method: 'open-pot', fatG: 1814, tallowG: 900, minutes: 150 },
      { member: 'Ann', method: 'open-pot', fatG: 2268, tallowG: 1100, minutes: 150 },
      { member: 'Ann', method: 'open-pot', fatG: 1500, tallowG: 760, minutes: 200 },
      { member: 'Ben', method: 'open-pot', fatG: 1700, tallowG: 790, minutes: 170 },
      { member: 'Cal', method: 'open-pot', fatG: 1900, tallowG: 1000, minutes: 190 },
    ]);
    const said = (await talk.ask('/yield mine', { as: 'Ann' })).lines.join(' ');
    expect(said).toContain('Too few batches here yet to tell cooks from batches.');
    expect(said).not.toContain('the same way');
  });

  it('tells of no others and of no line in its picture where there are none', async () => {
    const batches = [1000, 1200, 1500].map((fatG) => ({ member: 'Tansy', fatG, tallowG: 0.48 * fatG }));
    await storeBatches(talk.db, 'alone', batches);
    const alone = (await talk.ask('/yield mine', { community: 'alone' })).picture;
    expect(alone?.alt).toBe('Your newest 3 batches over time, 48.0 % of all your fat.');
    const company = Array.from({ length: 40 }, (_, at) => regular(at));
    await storeBatches(talk.db, 'in-company', company);
    const inCompany = (await talk.ask('/yield mine', { as: 'b', community: 'in-company' })).picture;
    expect(inCompany?.alt).toContain(', among 30 of others. The line is what a typical cook gets, ');
  });
});
