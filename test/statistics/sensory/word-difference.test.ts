import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  CLAIM_E_VALUE,
  type TastedBatch,
  type WordDifference,
  wordDifference,
} from '../../../src/statistics/sensory/word-difference.js';
import { normal, uniform } from '../seeded.js';

type Method = TastedBatch['method'];
const other = (method: Method): Method => (method === 'first' ? 'second' : 'first');

/** Closed pairs only: one warm-up batch by the other method, then pairs one after another by one cook. */
function closedPairs(...words: readonly (readonly [boolean, boolean])[]): readonly TastedBatch[] {
  return [
    { cook: 'a', method: 'second', hasWord: false },
    ...words.flatMap(([first, second]): readonly TastedBatch[] => [
      { cook: 'a', method: 'first', hasWord: first },
      { cook: 'a', method: 'second', hasWord: second },
    ]),
  ];
}

const repeated = <Item>(count: number, item: Item): readonly Item[] =>
  Array.from({ length: count }, () => item);

const eValueOf = (first: number, second: number): number =>
  Math.exp(
    wordDifference(
      closedPairs(...repeated(first, [true, false] as const), ...repeated(second, [false, true] as const)),
    ).logEValue,
  );

describe('e-value of a difference in a taste word', () => {
  it('is the likelihood of the pairs averaged over every share, over that of one half', () => {
    for (const [first, second] of [
      [0, 0],
      [6, 0],
      [9, 2],
      [14, 11],
      [3, 20],
    ] as const) {
      // Simpson's rule over s from 0 to 1
      const steps = 2000;
      let integral = 0;
      for (let k = 0; k <= steps; k += 1) {
        const s = k / steps;
        const weight = k === 0 || k === steps ? 1 : k % 2 === 1 ? 4 : 2;
        integral += (weight * (2 * s) ** first * (2 - 2 * s) ** second) / (3 * steps);
      }
      expect(eValueOf(first, second) / integral).toBeCloseTo(1, 9);
    }
  });

  it('has mean 1 over every way that pairs may fall', () => {
    for (const n of [1, 5, 12]) {
      let mean = 0;
      let ways = 1;
      for (let first = 0; first <= n; first += 1) {
        mean += (ways / 2 ** n) * eValueOf(first, n - first);
        ways *= (n - first) / (first + 1);
      }
      expect(mean).toBeCloseTo(1, 12);
    }
  });

  it('pairs a batch with the next one by the other method of the same cook, once that cook knows both', () => {
    const batch = (cook: string, method: Method, hasWord: boolean): TastedBatch => ({
      cook,
      method,
      hasWord,
    });
    const found = wordDifference([
      batch('a', 'first', true), // knows one method only
      batch('b', 'second', true), // so does b
      batch('a', 'second', false), // opens
      batch('b', 'second', false),
      batch('a', 'second', true), // left out, one is open
      batch('a', 'first', true), // closes: first alone has it
      batch('a', 'first', false), // opens
      batch('a', 'second', false), // closes: neither
    ]);
    expect(found).toMatchObject({ pairs: 2, onlyFirst: 1, onlySecond: 0, favours: 'first' });
  });

  it('counts an open pair as it could at worst end', () => {
    const closed = repeated(6, [true, false] as const);
    const open = (cook: string, method: Method, hasWord: boolean): readonly TastedBatch[] => [
      { cook, method: other(method), hasWord: false },
      { cook, method, hasWord },
    ];
    const eValue = (...more: readonly (readonly TastedBatch[])[]) =>
      Math.exp(wordDifference([...closedPairs(...closed), ...more.flat()]).logEValue);
    expect(eValue(open('b', 'first', true))).toBeCloseTo(eValueOf(6, 0), 9);
    expect(eValue(open('b', 'second', false))).toBeCloseTo(eValueOf(6, 0), 9);
    expect(eValue(open('b', 'first', false))).toBeCloseTo(eValueOf(6, 1), 9);
    expect(eValue(open('b', 'second', true), open('c', 'first', false))).toBeCloseTo(eValueOf(6, 2), 9);
  });

  it('finds the worst end of all', () => {
    const count = fc.integer({ min: 0, max: 7 });
    fc.assert(
      fc.property(count, count, count, count, (first, second, mayFirst, maySecond) => {
        const open = [...repeated(mayFirst, true), ...repeated(maySecond, false)].flatMap(
          (hasWord, i): readonly TastedBatch[] => [
            { cook: `c${i}`, method: 'second', hasWord: false },
            { cook: `c${i}`, method: 'first', hasWord },
          ],
        );
        const closed = closedPairs(
          ...repeated(first, [true, false] as const),
          ...repeated(second, [false, true] as const),
        );
        const ends = Array.from({ length: mayFirst + 1 }, (_, i) =>
          Array.from({ length: maySecond + 1 }, (__, k) => eValueOf(first + i, second + k)),
        ).flat();
        expect(Math.exp(wordDifference([...closed, ...open]).logEValue)).toBeCloseTo(Math.min(...ends), 9);
      }),
    );
  });
});

/**
 * The most that the mean of `eValueAt` can be made by cooks who see everything, choose who cooks what next, and stop when
 * they like, where every batch has the word with the same probability.
 */
function greatestMean(
  eValueAt: (found: WordDifference) => number,
  left: number,
  probability: number,
  batches: readonly TastedBatch[] = ONE_METHOD_EACH,
): number {
  const best = eValueAt(wordDifference(batches));
  if (left === 0) return best;
  const choices = ['a', 'b'].flatMap((cook) =>
    (['first', 'second'] as const).map((method) => {
      const mean = (hasWord: boolean) =>
        greatestMean(eValueAt, left - 1, probability, [...batches, { cook, method, hasWord }]);
      return probability * mean(true) + (1 - probability) * mean(false);
    }),
  );
  return Math.max(best, ...choices);
}

const ONE_METHOD_EACH: readonly TastedBatch[] = [
  { cook: 'a', method: 'first', hasWord: false },
  { cook: 'b', method: 'second', hasWord: false },
];

/** A cook's choice of the next method, given what they cooked and tasted before. */
type Habit = (own: readonly TastedBatch[], random: () => number) => Method;

const HABITS: Readonly<Record<string, Habit>> = {
  'use either as often': (_, random) => (random() < 0.5 ? 'first' : 'second'),
  'have a favourite': (own, random) =>
    random() < 0.8
      ? (own[0]?.method ?? (random() < 0.5 ? 'first' : 'second'))
      : random() < 0.5
        ? 'first'
        : 'second',
  'stay with what had the word': (own) => {
    const last = own.at(-1);
    if (last === undefined) return 'first';
    return last.hasWord ? last.method : other(last.method);
  },
  'try the other method only if the first batch had the word': (own, random) =>
    own[0]?.hasWord && random() < 0.5 ? 'second' : 'first',
};

interface Community {
  readonly cooks: number;
  readonly batchesAWeek: number;
  readonly habit: Habit;
  /** Log odds that a batch by either method has the word, for the average cook. */
  readonly logOdds: Readonly<Record<Method, number>>;
}

/** Whether something is claimed at one of 52 weekly looks. */
function everClaims({ cooks, batchesAWeek, habit, logOdds }: Community, random: () => number): boolean {
  const deviate = normal(random);
  const leanings = Array.from({ length: cooks }, () => deviate());
  const batches: TastedBatch[] = [];
  const own = leanings.map((): TastedBatch[] => []);
  for (let week = 0; week < 52; week += 1) {
    for (let batch = 0; batch < batchesAWeek; batch += 1) {
      const cook = Math.floor(cooks * random() ** 2);
      const mine = own[cook] ?? [];
      const method = habit(mine, random);
      const chance = 1 / (1 + Math.exp(-logOdds[method] - (leanings[cook] ?? 0)));
      const tasted = { cook: String(cook), method, hasWord: random() < chance };
      mine.push(tasted);
      batches.push(tasted);
    }
    if (Math.exp(wordDifference(batches).logEValue) >= CLAIM_E_VALUE) return true;
  }
  return false;
}

describe('claims about a taste word', () => {
  it('cannot be made more likely by choosing what to cook next, or when to stop', () => {
    for (const probability of [0.2, 0.5, 0.9])
      expect(greatestMean(({ logEValue }) => Math.exp(logEValue), 6, probability)).toBeLessThanOrEqual(
        1 + 1e-12,
      );
  });

  it('could be, if open pairs were not counted at their worst', () => {
    const closedOnly = ({ onlyFirst, onlySecond }: WordDifference) => eValueOf(onlyFirst, onlySecond);
    expect(greatestMean(closedOnly, 6, 0.5)).toBeGreaterThan(1.01);
  });

  for (const [name, habit] of Object.entries(HABITS))
    it(`are false in at most 5 % of communities in a year of weekly looks where cooks ${name}`, () => {
      const random = uniform(52);
      for (const [cooks, batchesAWeek, communities] of [
        [5, 3, 300],
        [15, 10, 200],
        [60, 30, 60],
      ] as const) {
        const community = { cooks, batchesAWeek, habit, logOdds: { first: -0.4, second: -0.4 } };
        const looked = Array.from({ length: communities }, () => everClaims(community, random));
        expect(looked.filter(Boolean).length / communities).toBeLessThanOrEqual(0.05);
      }
    });

  it('are made where there is something to claim', () => {
    const random = uniform(53);
    const habit = HABITS['use either as often'] ?? (() => 'first');
    const community = { cooks: 15, batchesAWeek: 10, habit, logOdds: { first: 0.9, second: -0.9 } };
    const claims = Array.from({ length: 100 }, () => everClaims(community, random)).filter(Boolean).length;
    expect(claims / 100).toBeGreaterThan(0.9);
  });

  it('have an e-value that is not lost to large numbers', () => {
    expect(
      Number.isFinite(wordDifference(closedPairs(...repeated(5000, [true, false] as const))).logEValue),
    ).toBe(true);
  });
});
