import { afterAll, beforeEach, describe, expect, it } from 'vitest';
import {
  readReferenceBatches,
  readReferenceResults,
  referenceSetsAreHere,
} from '../statistics/reference-sets.js';
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

describe.skipIf(!referenceSetsAreHere)('/yield mine, against the predictions of lme4 in R', () => {
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
});
