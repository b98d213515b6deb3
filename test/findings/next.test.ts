import { afterAll, beforeEach, describe, expect, it } from 'vitest';
import type { Reply } from '../../src/chat/reply.js';
import { readReferenceBatches } from '../statistics/reference-sets.js';
import { type StoredBatch, storeBatches } from '../support/stored-batches.js';
import { numberIn, openTalk, type Talk } from '../support/talk.js';

let talk: Talk;
beforeEach(async () => {
  await talk?.close();
  talk = await openTalk();
});
afterAll(() => talk.close());

const proposed = (reply: Reply): readonly string[] => Object.keys(reply.figures.next ?? {});

/** Six invented cooks; each has boiled, only two of them have used the oven. */
const FEW: readonly StoredBatch[] = ['a', 'b', 'c', 'd', 'e', 'f'].flatMap((member, at) => [
  ...[0, 1, 2].map((turn) => ({
    member,
    method: 'open-pot',
    cut: turn === 0 ? 'cubed' : 'ground',
    fatG: 900 + 130 * turn + 17 * at,
    tallowG: 420 + 31 * ((at + 2 * turn) % 4),
    minutes: 150 + 20 * ((2 * at + turn) % 3),
  })),
  ...(at < 2
    ? [
        {
          member,
          method: 'oven',
          cut: 'ground',
          fatG: 1000 + 90 * at,
          tallowG: 505 + 12 * at,
          minutes: 170 + 25 * at,
        },
      ]
    : []),
]);

describe('/yield next', () => {
  it('proposes at most three batches, each of which narrows the comparison known worst', async () => {
    await storeBatches(talk.db, 'ember-lane', FEW);
    const reply = await talk.ask('/yield next by:method', { as: 'a' });
    expect(proposed(reply).length).toBeGreaterThan(0);
    expect(proposed(reply).length).toBeLessThanOrEqual(3);
    const now = numberIn(reply, 'standardErrorYield');
    for (const batch of Object.values(reply.figures.next ?? {})) {
      if (typeof batch !== 'object' || batch === null || !('standardErrorAfterYield' in batch))
        throw new Error('a proposal has no standard error');
      expect(Number(batch.standardErrorAfterYield)).toBeLessThan(now);
    }
    expect(reply.lines.length).toBeLessThanOrEqual(6);
    expect(reply.lines.join(' ')).toContain('compares the two within one cook');
  });

  it('is right: the standard error falls as foretold once the batch is logged', async () => {
    await storeBatches(talk.db, 'ember-lane', FEW);
    const before = await talk.ask('/yield next by:method', { as: 'c' });
    const [name = ''] = proposed(before);
    const [method = '', cut = '', grams = ''] = name.split(' ');
    const comparisonBefore = numberIn(before, 'standardErrorYield');
    const usual = FEW.filter((batch) => batch.method === method).map(({ minutes = 0 }) => minutes);
    const minutes = usual.reduce((sum, value) => sum + value, 0) / usual.length;
    await storeBatches(
      talk.db,
      'ember-lane',
      [{ member: 'c', method, cut, fatG: Number(grams), tallowG: 0.5 * Number(grams), minutes }],
      FEW.length + 1,
    );
    const after = await talk.ask('/yield next by:method', { as: 'c' });
    // The variances are estimated afresh with the new batch; the design's part of the fall is what was foretold.
    const scale = numberIn(after, 'spreadBatchYield') / numberIn(before, 'spreadBatchYield');
    const foretold = Number(
      Object.values(before.figures.next ?? {}).flatMap((one) => Object.values(one ?? {}))[1],
    );
    expect(numberIn(after, 'standardErrorYield') / scale / foretold).toBeGreaterThan(0.85);
    expect(numberIn(after, 'standardErrorYield') / scale / foretold).toBeLessThan(1.15);
    expect(numberIn(after, 'standardErrorYield') / scale).toBeLessThan(comparisonBefore);
  });

  it('proposes what the kit can cook and no more than it holds', async () => {
    await storeBatches(talk.db, 'ember-lane', FEW);
    await talk.ask('/kit add vessel:small kind:pot capacity:6qt', { as: 'Wren' });
    const reply = await talk.ask('/yield next', { as: 'Wren' });
    expect(proposed(reply)).not.toEqual([]);
    for (const name of proposed(reply)) {
      expect(name).toMatch(/^(open-pot|stovetop-dry) /);
      expect(Number(name.split(' ').at(-1))).toBeLessThan(2000);
    }
  });

  it('counts the batches until a stated difference would show, more for a smaller one', async () => {
    await storeBatches(talk.db, 'ember-lane', FEW);
    const large = numberIn(await talk.ask('/yield next difference:10'), 'batchesToShow');
    const small = numberIn(await talk.ask('/yield next difference:3'), 'batchesToShow');
    expect(small).toBeGreaterThan(large);
  });

  /** Three cooks, two methods that always take as long, the same weight each time. */
  const fixed: readonly StoredBatch[] = ['a', 'b', 'c'].flatMap((member, at) =>
    [0, 1, 2, 3, 4, 5, 6, 7].map((turn) => ({
      member,
      method: turn % 2 ? 'oven' : 'open-pot',
      cut: turn < 4 ? 'ground' : 'cubed',
      fatG: 1000,
      tallowG:
        450 + 47 * (turn % 2 ? 0 : 1) + 9 * ((3 * at + 5 * turn + (turn >> 1)) % 7) - 20 * (turn < 4 ? 0 : 1),
      minutes: turn % 2 ? 300 : 180,
    })),
  );

  it('compares methods that always take as long, as /yield compare does, and to the same width', async () => {
    await storeBatches(talk.db, 'ember-lane', fixed);
    const next = await talk.ask('/yield next by:method', { as: 'a' });
    expect(next.title).toMatch(/^Cook next: /);
    expect(numberIn(next, 'standardErrorYield')).toBeGreaterThan(0);
    const compared = await talk.ask('/yield compare by:method');
    const { low, high } = Object(Object.values(Object(compared.figures.comparisons))[0]);
    const halfPoints = ((high - low) / 2) * 100;
    expect(next.lines.join(' ')).toContain(`± ${halfPoints.toFixed(1)} points now`);
  });

  it('promises nothing of one cook alone', async () => {
    await storeBatches(
      talk.db,
      'ember-lane',
      fixed.map((batch) => ({ ...batch, member: 'a' })),
    );
    const reply = await talk.ask('/yield next by:method', { as: 'a' });
    expect(reply.lines.join(' ')).toContain('once each side has 3 batches of 2 members');
    expect(reply.lines.join(' ')).not.toContain('logged already');
  });

  it('says what to do where nothing is logged', async () => {
    const reply = await talk.ask('/yield next');
    expect(reply.title).toBe('Any batch will help');
    expect(reply.lines[0]).toContain('two methods');
  });

  it('answers on the sets that are hard to fit', async () => {
    for (const set of ['collinear-time', 'one-member', 'no-member-variance']) {
      await storeBatches(talk.db, set, readReferenceBatches(set));
      const reply = await talk.ask('/yield next', { community: set, as: 'm001' });
      expect(reply.lines.join(' ')).not.toMatch(/NaN|Infinity|undefined/);
    }
  });
});
