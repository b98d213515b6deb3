import { afterAll, beforeEach, describe, expect, it } from 'vitest';
import { EXPECTED_YIELD } from '../../src/cooking/blends/tallow.js';
import { readReferenceBatches, readReferenceResults } from '../statistics/reference-sets.js';
import { storeBatches } from '../support/stored-batches.js';
import { numberIn, openTalk, type Talk } from '../support/talk.js';

let talk: Talk;
beforeEach(async () => {
  await talk?.close();
  talk = await openTalk();
});
afterAll(() => talk.close());

interface Prediction {
  readonly member?: string;
  readonly cut: string;
  readonly fit: number;
}
interface Results {
  readonly mixed_model: {
    readonly predict_new_member: readonly Prediction[];
    readonly predict_known_member: readonly Prediction[];
  };
}

const ASKED = [
  '/yield forecast fat:1500g method:open-pot cut:ground hours:3',
  '/yield forecast fat:3000g method:oven cut:cubed hours:5',
  '/yield forecast fat:2200g method:slow-cooker cut:minced hours:7',
] as const;

describe('/yield forecast, against predictions of lme4 in R', () => {
  it.each(['typical', 'heavy-logger'])('agrees on “%s”', async (set) => {
    await storeBatches(talk.db, 'ember-lane', readReferenceBatches(set));
    const { predict_new_member: newcomers, predict_known_member: known } =
      readReferenceResults<Results>(set).mixed_model;
    for (const [at, line] of ASKED.entries()) {
      expect(numberIn(await talk.ask(line, { as: 'newcomer' }), 'expectedYield')).toBeCloseTo(
        newcomers[at]?.fit ?? Number.NaN,
        8,
      );
    }
    for (const [at, { member = '', fit }] of known.entries()) {
      const reply = await talk.ask(ASKED[at >> 1] ?? '', { as: member });
      expect(numberIn(reply, 'expectedYield')).toBeCloseTo(fit, 8);
      expect(numberIn(reply, 'ownBatches')).toBeGreaterThan(0);
      expect(reply.lines.join(' ')).toContain('is kept');
    }
  });
});

describe('/yield forecast', () => {
  const line = '/yield forecast fat:1kg method:oven cut:ground';

  it('is common practice where nothing is logged, and says so', async () => {
    const reply = await talk.ask(line);
    expect(numberIn(reply, 'expectedYieldLow')).toBeCloseTo(EXPECTED_YIELD.ground.low, 9);
    expect(numberIn(reply, 'expectedYieldHigh')).toBeCloseTo(EXPECTED_YIELD.ground.high, 9);
    expect(numberIn(reply, 'trust')).toBe(0);
    expect(reply.lines.join(' ')).toContain('common practice');
  });

  it('is a stated blend where little is logged', async () => {
    await storeBatches(
      talk.db,
      'ember-lane',
      ['a', 'b', 'c', 'd'].flatMap((member, at) =>
        [0, 1, 2].map((turn) => ({
          member,
          method: 'oven',
          fatG: 1000 + 100 * turn + 37 * at,
          tallowG: 700 + 20 * ((at + 2 * turn) % 5),
          minutes: 150 + 15 * ((at * turn) % 4),
        })),
      ),
    );
    const reply = await talk.ask(line);
    expect(numberIn(reply, 'trust')).toBeGreaterThan(0);
    expect(numberIn(reply, 'trust')).toBeLessThan(1);
    expect(numberIn(reply, 'expectedYield')).toBeGreaterThan(0.48);
    expect(reply.lines.join(' ')).toContain('A blend');
  });

  it('says when the batches cannot tell what this method gives', async () => {
    await talk.ask('/batch log fat:1kg tallow:400g method:smoker cut:cubed minutes:180');
    expect((await talk.ask(line)).lines.join(' ')).toContain('cannot tell yet');
  });

  it('stays between nothing and what raw fat can hold', async () => {
    await storeBatches(
      talk.db,
      'ember-lane',
      Array.from({ length: 60 }, (_, i) => ({
        member: `m${i % 8}`,
        method: 'oven',
        fatG: 500 + 61 * i,
        tallowG: (500 + 61 * i) * (i % 2 === 0 ? 0.94 : 0.6),
        minutes: 100 + 7 * (i % 11),
      })),
    );
    const reply = await talk.ask('/yield forecast fat:500kg method:oven cut:ground hours:160');
    expect(numberIn(reply, 'expectedYieldHigh')).toBeLessThanOrEqual(0.95);
    expect(numberIn(reply, 'expectedYieldLow')).toBeGreaterThanOrEqual(0);
  });

  /** Eight cooks, six batches each of 1 to 2 kg and 2 to 3 hours. */
  const community = ['a', 'b', 'c', 'd', 'e', 'f', 'g', 'h'].flatMap((member, at) =>
    [0, 1, 2, 3, 4, 5].map((turn) => {
      const fatG = 1000 + 200 * ((turn + at) % 6);
      return {
        member,
        method: turn % 2 ? 'oven' : 'open-pot',
        fatG,
        tallowG: fatG * (0.45 + 0.01 * ((at * 3 + turn * turn) % 7)),
        minutes: 120 + 20 * ((at + turn * 2) % 4),
      };
    }),
  );

  it('says what it reckons with beyond the weights and times that were logged', async () => {
    await storeBatches(talk.db, 'ember-lane', community);
    const edge = await talk.ask('/yield forecast fat:2kg method:oven cut:ground hours:3');
    const beyond = await talk.ask('/yield forecast fat:200kg method:oven cut:ground hours:48');
    expect(numberIn(beyond, 'expectedYield')).toBeCloseTo(numberIn(edge, 'expectedYield'), 9);
    expect(beyond.lines.join(' ')).toContain(
      'the heaviest so far, 4 lb 7 oz (2 kg) of fat and the longest, 3 h',
    );
    expect(edge.lines.join(' ')).not.toContain('Beyond');
    const short = await talk.ask('/yield forecast fat:100g method:oven cut:ground hours:0.5');
    expect(short.lines.join(' ')).toContain('the lightest so far');
    expect(short.lines.join(' ')).toContain('the shortest, 2 h');
  });

  it('says that the time makes no difference where the batches cannot tell it from the method', async () => {
    const fixed = community.map((batch) => ({ ...batch, minutes: batch.method === 'oven' ? 300 : 180 }));
    await storeBatches(talk.db, 'ember-lane', fixed);
    const hour = await talk.ask('/yield forecast fat:1500g method:oven cut:ground hours:1');
    expect(hour.lines.join(' ')).toContain('makes no difference');
    expect(numberIn(hour, 'expectedYield')).toBe(
      numberIn(await talk.ask('/yield forecast fat:1500g method:oven cut:ground hours:9'), 'expectedYield'),
    );
  });

  it('tells the only cook that all of it is theirs', async () => {
    await storeBatches(
      talk.db,
      'ember-lane',
      community.map((batch) => ({ ...batch, member: 'a' })),
    );
    const reply = await talk.ask(line, { as: 'a' });
    expect(reply.lines.join(' ')).toContain('All 48 batches are yours.');
    expect(reply.lines.join(' ')).not.toContain('everyone');
  });
});
