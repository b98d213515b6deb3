import { afterAll, beforeEach, describe, expect, it } from 'vitest';
import { describePooled } from '../../src/findings/pooled.js';
import { interceptSums } from '../../src/records/model-sums.js';
import { YIELD_SHIFT } from '../../src/statistics/model/batch-design.js';
import { memberSums } from '../../src/statistics/model/member-sums.js';
import { pooledYield } from '../../src/statistics/questions/pooled-yield.js';
import { typicalYield } from '../../src/statistics/questions/typical-cook.js';
import { readReferenceBatches, readReferenceResults, SET_NAMES } from '../statistics/reference-sets.js';
import { storeBatches } from '../support/stored-batches.js';
import { numberIn, openTalk, type Talk } from '../support/talk.js';

let talk: Talk;
beforeEach(async () => {
  await talk?.close();
  talk = await openTalk();
});
afterAll(() => talk.close());

interface Reference {
  readonly pooled_yield: {
    readonly effective_batches?: {
      readonly share_of_largest_member: number;
      readonly kish_members: number;
    };
    readonly random_intercept: {
      readonly estimate?: number;
      readonly kenward_roger?: { readonly lower: number; readonly upper: number };
    };
  };
}

describe('the typical cook, from the database, against lme4 and pbkrtest', () => {
  // The set with typing errors has yields that the records refuse to hold; the statistics are tested on it directly.
  for (const set of SET_NAMES.filter((name) => name !== 'outliers')) {
    it(`agrees on “${set}”`, async () => {
      await storeBatches(talk.db, 'ember-lane', readReferenceBatches(set));
      const { random_intercept: typical, effective_batches: effective } =
        readReferenceResults<Reference>(set).pooled_yield;
      const reply = await talk.ask('/yield pooled');
      if (typical.estimate === undefined || typical.kenward_roger === undefined) {
        expect(reply.figures.typicalYield).toBeNull();
        expect(reply.lines.join(' ')).toContain('one cook');
      } else {
        expect(numberIn(reply, 'typicalYield') / typical.estimate).toBeCloseTo(1, 6);
        expect(numberIn(reply, 'typicalYieldLow') / typical.kenward_roger.lower).toBeCloseTo(1, 6);
        expect(numberIn(reply, 'typicalYieldHigh') / typical.kenward_roger.upper).toBeCloseTo(1, 6);
      }
      if (effective) {
        expect(numberIn(reply, 'largestShare')).toBeCloseTo(effective.share_of_largest_member, 12);
        expect(numberIn(reply, 'effectiveMembers')).toBeCloseTo(effective.kish_members, 9);
      }
    });
  }
});

describe('/yield pooled, with little to go by', () => {
  const alike = (members: readonly string[]) =>
    members.map((member) => ({ member, fatG: 1000, tallowG: 500 }));

  it.each([
    ['no batches', [], 'No batches to pool yet'],
    ['one batch', alike(['a']), 'Pooled yield: 50.0 %'],
    ['one member', alike(['a', 'a', 'a']), 'Pooled yield: 50.0 %'],
    ['the same yield everywhere', alike(['a', 'a', 'b', 'c']), 'Pooled yield: 50.0 %'],
    ['a batch each', alike(['a', 'b', 'c']), 'Pooled yield: 50.0 %'],
  ])('answers for %s, without an interval', async (_what, batches, title) => {
    await storeBatches(talk.db, 'ember-lane', batches);
    const reply = await talk.ask('/yield pooled');
    expect(reply.title).toBe(title);
    expect(reply.lines.join(' ')).not.toMatch(/NaN|undefined|null|Infinity/);
    expect(reply.figures.pooledYieldLow ?? null).toBeNull();
    expect(reply.figures.typicalYieldLow ?? null).toBeNull();
  });

  it('does not let a busy cook outweigh the others in what a typical cook gets', async () => {
    const busy = Array.from({ length: 40 }, (_, i) => ({ member: 'a', fatG: 1000, tallowG: 600 + (i % 5) }));
    const others = ['b', 'c', 'd', 'e'].flatMap((member, i) =>
      [398, 402].map((tallowG) => ({ member, fatG: 1000, tallowG: tallowG + 5 * i })),
    );
    await storeBatches(talk.db, 'ember-lane', [...busy, ...others]);
    const reply = await talk.ask('/yield pooled');
    expect(numberIn(reply, 'pooledYield')).toBeGreaterThan(0.55);
    expect(numberIn(reply, 'typicalYield')).toBeCloseTo(0.4467, 2);
  });

  it('does not call an interval from nothing to everything an interval', async () => {
    await storeBatches(talk.db, 'ember-lane', [
      { member: 'a', fatG: 1000, tallowG: 300 },
      { member: 'a', fatG: 1000, tallowG: 310 },
      { member: 'b', fatG: 1000, tallowG: 700 },
      { member: 'b', fatG: 1000, tallowG: 690 },
    ]);
    const reply = await talk.ask('/yield pooled');
    expect(numberIn(reply, 'typicalYieldLow')).toBeLessThan(0);
    expect(reply.lines.join(' ')).toContain('Typical cook: not to be told from 2 cooks yet.');
    expect(reply.lines.join(' ')).not.toContain('0.0 to 100.0 %');
  });

  it('does not tell a typical cook who gets more tallow than fat', () => {
    const members = [3000, 40, 60, 50].flatMap((tallowG, at) =>
      [0, 1].map((turn) => ({ member: `cook ${at}`, fatG: 100, tallowG: tallowG + 7 * turn })),
    );
    const sums = [...memberSums(members)].map(([member, one]) => ({
      ...one,
      member,
      yieldSquares: members
        .filter((batch) => batch.member === member)
        .reduce((sum, { fatG, tallowG }) => sum + (tallowG / fatG - YIELD_SHIFT) ** 2, 0),
    }));
    const scope = {
      filter: {},
      whose: 'The batches in a file',
      rest: '--json',
      odd: [],
      counted: true,
      lines: [],
    };
    const { lines } = describePooled(
      pooledYield(sums),
      typicalYield(interceptSums(sums)),
      scope,
      'all batches',
    );
    expect(lines[0]).toContain('More tallow than fat cannot be');
    expect(lines[1]).toBe('Typical cook: not to be told while some give more tallow than fat.');
  });
});
