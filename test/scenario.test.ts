import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { accountOf, type Came } from './support/scenario/account.js';
import { type Row, scenario } from './support/scenario/scenario.js';
import { TROUBLES } from './support/scenario/troubles.js';
import { openTroubledPostgres, type TroubledPostgres } from './support/troubled-postgres.js';

const came = (answer: string | readonly string[], more: Partial<Came> = {}): Came => ({
  during: 'a fault',
  what: 'batch log',
  mark: 'mark 1',
  answers: typeof answer === 'string' ? [answer] : answer,
  excuse: undefined,
  ...more,
});

const wrongsOf = (asked: readonly Came[], copies: number): readonly string[] =>
  accountOf(asked, new Map([['mark 1', copies]])).wrongs;

const SAVED = 'Batch 7: 48 %\n900 g of tallow';
const NOT_SAVED = 'Busy just now\nNothing was saved. Try again in a minute.';
const UNSURE = 'It is not sure that this was saved\nThe connection to the records broke at that moment.';
const NOT_SHOWN =
  'The answer could not be shown\nBatch 7 is saved. There is no need to send it again. If it happens again, tell.';

describe('the account of what people were told', () => {
  it('has nothing against what is so', () => {
    expect(wrongsOf([came(SAVED)], 1)).toEqual([]);
    expect(wrongsOf([came(NOT_SHOWN)], 1)).toEqual([]);
    expect(wrongsOf([came(NOT_SAVED)], 0)).toEqual([]);
    for (const copies of [0, 1]) {
      expect(wrongsOf([came(UNSURE)], copies)).toEqual([]);
      expect(wrongsOf([came([], { excuse: 'cutOff' })], copies)).toEqual([]);
    }
  });

  it('finds what is stored twice', () => {
    for (const answer of [SAVED, UNSURE, NOT_SAVED])
      expect(wrongsOf([came(answer)], 2)).toEqual([expect.stringContaining('stored 2 times')]);
  });

  it('finds what was called saved and is lost', () => {
    for (const answer of [SAVED, NOT_SHOWN])
      expect(wrongsOf([came(answer)], 0)).toEqual([expect.stringContaining('not stored')]);
  });

  it('finds what was called not saved and is stored', () => {
    expect(wrongsOf([came(NOT_SAVED)], 1)).toEqual([expect.stringContaining('stored all the same')]);
    expect(wrongsOf([came('Looks like batch 6. Log it again?'), came(SAVED)], 1)).toEqual([]);
  });

  it('finds who got no answer, or two', () => {
    expect(wrongsOf([came([])], 0)).toEqual([expect.stringContaining('never answered')]);
    expect(wrongsOf([came([SAVED, SAVED])], 1)).toEqual([expect.stringContaining('answered 2 times')]);
  });
});

/** As many as fit into half a minute; the long run of all of them: npm run bench -- scenario 5 */
const FEW = TROUBLES.filter(({ name }) =>
  [
    'database: connections ended, eight times',
    'database: stopped and started',
    'database: a table locked',
    'database: read-only',
    'database: all connections taken',
    'gateway: closed with 4000',
    'answers: dropped before, during, after',
    'waiting notices: taken, but 500',
    'process: killed with kill -9',
  ].includes(name),
);

describe('two processes on one database, while faults happen to it and to Discord', () => {
  let postgres: TroubledPostgres;
  beforeAll(async () => {
    postgres = await openTroubledPostgres();
  });
  afterAll(() => postgres.close());

  it('tell everybody what is so, once, and post once', { timeout: 600_000 }, async () => {
    const { rows, wrongs } = await scenario(postgres, 1, FEW);
    expect(wrongs).toEqual([]);
    const happened = rows.filter(({ times }) => times > 0).map(({ trouble }) => trouble);
    expect(happened).toEqual(expect.arrayContaining(FEW.map(({ name }) => name)));
    const total = (of: (row: Row) => number | undefined) =>
      rows.reduce((sum, row) => sum + (of(row) ?? 0), 0);
    expect(total(({ answered }) => answered)).toBeGreaterThan(50);
    // Or the account would tell nothing of them.
    expect(total(({ late }) => late)).toBeLessThan(total(({ asked }) => asked) / 10);
  });
});
