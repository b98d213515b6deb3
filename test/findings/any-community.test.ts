import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Figure } from '../../src/chat/reply.js';
import { type StoredBatch, storeBatches } from '../support/stored-batches.js';
import { openTalk, type Talk } from '../support/talk.js';

let talk: Talk;
beforeAll(async () => {
  talk = await openTalk();
});
afterAll(() => talk.close());

const batch = (more: Partial<StoredBatch> = {}): StoredBatch => ({
  member: 'cook 0',
  method: 'oven',
  cut: 'ground',
  fatG: 2000,
  tallowG: 900,
  minutes: 240,
  ...more,
});
const many = (count: number, more: (at: number) => Partial<StoredBatch>): readonly StoredBatch[] =>
  Array.from({ length: count }, (_, at) => batch(more(at)));
const METHODS = ['oven', 'pressure', 'open-pot', 'slow-cooker', 'smoker', 'stovetop-dry'];
const methodOf = (at: number): string => METHODS[at] ?? 'oven';

/** Invented; each is one way of telling the statistics too little. */
const COMMUNITIES: Readonly<Record<string, readonly StoredBatch[]>> = {
  'nothing at all': [],
  'one batch': [batch()],
  'one batch without a time': [batch({ minutes: undefined })],
  'two batches alike': [batch(), batch()],
  'one cook': many(12, (at) => ({ tallowG: 800 + 10 * at, fatG: 2000 + 50 * (at % 5) })),
  'one batch each': many(9, (at) => ({ member: `cook ${at}`, tallowG: 800 + 17 * at })),
  'every yield the same': many(20, (at) => ({ member: `cook ${at % 4}`, method: methodOf(at % 3) })),
  'each cook the same every time': many(20, (at) => ({
    member: `cook ${at % 4}`,
    tallowG: 800 + 20 * (at % 4),
  })),
  'each cook a method of their own': many(20, (at) => ({
    member: `cook ${at % 4}`,
    method: methodOf(at % 4),
    tallowG: 800 + ((at * 37) % 50),
  })),
  'as many methods as batches': many(6, (at) => ({ method: methodOf(at), tallowG: 700 + 30 * at })),
  'time that goes with method': many(16, (at) => ({
    member: `cook ${at % 4}`,
    method: methodOf(at % 2),
    minutes: 120 + 120 * (at % 2),
    tallowG: 800 + ((at * 29) % 60),
  })),
  'few times': many(16, (at) => ({
    member: `cook ${at % 3}`,
    minutes: at % 5 === 0 ? 200 : undefined,
    tallowG: 800 + ((at * 31) % 70),
  })),
  'the least and the most that can be weighed': many(14, (at) => ({
    member: `cook ${at % 3}`,
    fatG: at % 2 === 0 ? 0.001 : 500_000,
    tallowG: at % 2 === 0 ? 0.0005 : 200_000 + 5000 * at,
    minutes: at % 3 === 0 ? 0.01 : 10_080,
  })),
  'one typing error ten times too large': many(16, (at) => ({
    member: `cook ${at % 4}`,
    fatG: at === 3 ? 20_000 : 2000,
    tallowG: 800 + ((at * 31) % 70),
  })),
};

const LINES = [
  '/yield pooled',
  '/yield compare by:method',
  '/yield compare by:cut',
  '/yield compare by:weight',
  '/yield compare by:time',
  '/yield forecast fat:2kg method:oven cut:ground',
  '/yield forecast fat:20kg method:smoker cut:cubed hours:12',
  '/yield next',
  '/yield next by:cut difference:1',
  '/yield mine',
  '/yield odd',
  '/water fat:2kg method:oven',
  '/plan tallow:"1 kg"',
  '/weekly preview',
];

function numbersIn(figure: Figure | undefined): readonly number[] {
  if (typeof figure === 'number') return [figure];
  return typeof figure === 'object' && figure !== null ? Object.values(figure).flatMap(numbersIn) : [];
}

describe.each(Object.entries(COMMUNITIES))('a community with %s', (community, batches) => {
  beforeAll(() => storeBatches(talk.db, community, batches));

  it.each(LINES)('is answered %s, with numbers that are numbers', async (line) => {
    for (const as of ['cook 0', 'newcomer']) {
      const answer = await talk.ask(line, { community, as, admin: true });
      const said = [answer.title, ...answer.lines, ...answer.sources, answer.picture?.alt ?? ''].join('\n');
      expect(said).not.toMatch(/NaN|undefined|null|Infinity|∞|\[object/);
      for (const number of numbersIn(answer.figures)) expect(Number.isFinite(number)).toBe(true);
      for (const { id } of answer.actions.filter(({ label }) => label === 'Show the working')) {
        const working = (await talk.ask(`press:${id}`, { community, as })).lines.join('\n');
        expect(working).not.toMatch(/NaN|undefined|null|Infinity|∞/);
      }
    }
  });

  it('is never promised less than nothing or more than the fat can hold', async () => {
    const { figures } = await talk.ask('/yield forecast fat:2kg method:oven cut:ground', { community });
    const { expectedYieldLow: low, expectedYield: expected, expectedYieldHigh: high } = figures;
    expect([0, low, expected, high, 0.95].map(Number)).toEqual(
      [0, low, expected, high, 0.95].map(Number).sort((a, b) => a - b),
    );
  });
});
