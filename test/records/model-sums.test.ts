import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openRecords, type Records } from '../../src/records/database.js';
import { communitySums, interceptSums, MODEL_DESIGN, memberSumsOf } from '../../src/records/model-sums.js';
import { pooledSums } from '../../src/records/pooled-sums.js';
import { batchDesign, observationOf, YIELD_SHIFT } from '../../src/statistics/model/batch-design.js';
import { fitMixedModel } from '../../src/statistics/model/mixed-model.js';
import { type ModelSums, memberTotals, modelSums } from '../../src/statistics/model/sufficient-statistics.js';
import { chooseTerms } from '../../src/statistics/model/term-choice.js';
import { CUTS, METHODS } from '../../src/words/methods.js';
import { readReferenceBatches, SET_NAMES } from '../statistics/reference-sets.js';
import { inOwnCommunity } from '../support/own-community.js';
import { freshDatabase } from '../support/postgres.js';
import { STORED_METHODS, type StoredBatch, storeBatches } from '../support/stored-batches.js';

let db: Records;
let drop: () => Promise<void>;
beforeAll(async () => {
  const database = await freshDatabase();
  db = inOwnCommunity(openRecords(database.connectionString, () => {}));
  drop = database.drop;
});
afterAll(async () => {
  await db.destroy();
  await drop();
});

const asObserved = (batches: readonly StoredBatch[]) =>
  batches.map(({ member, method = 'open-pot', cut = 'ground', fatG, tallowG, minutes = 240 }) =>
    observationOf({ member, method: STORED_METHODS[method] ?? method, cut, fatG, tallowG, minutes }),
  );

/** The largest difference of two lists of numbers, against the largest number in them. */
function apart(actual: readonly number[], expected: readonly number[]): number {
  expect(actual.length).toBe(expected.length);
  const scale = Math.max(1, ...expected.map(Math.abs));
  return Math.max(0, ...expected.map((value, i) => Math.abs(value - (actual[i] ?? Number.NaN)))) / scale;
}

function expectSameSums(actual: ModelSums, expected: ModelSums): void {
  expect(actual.design).toEqual(expected.design);
  expect(actual.total.batches).toBe(expected.total.batches);
  expect(apart(actual.total.xx, expected.total.xx)).toBeLessThan(1e-13);
  expect(apart(actual.total.xy, expected.total.xy)).toBeLessThan(1e-13);
  expect(apart([actual.total.yy], [expected.total.yy])).toBeLessThan(1e-13);
  expect(actual.groups.map(({ batches, members }) => [batches, members])).toEqual(
    expected.groups.map(({ batches, members }) => [batches, members]),
  );
  for (const [k, group] of expected.groups.entries()) {
    const own = actual.groups[k];
    expect(apart(own?.ss ?? [], group.ss)).toBeLessThan(1e-13);
    expect(apart(own?.st ?? [], group.st)).toBeLessThan(1e-13);
    expect(apart([own?.tt ?? Number.NaN], [group.tt])).toBeLessThan(1e-13);
  }
}

const FEW: readonly StoredBatch[] = [
  { member: 'a', method: 'open-pot', cut: 'ground', fatG: 2000, tallowG: 1000, minutes: 200 },
  { member: 'a', method: 'pressure', cut: 'ground', fatG: 3000, tallowG: 1700, minutes: 90 },
  { member: 'b', method: 'open-pot', cut: 'cubed', fatG: 1500, tallowG: 300, minutes: 180 },
  { member: 'b', method: 'open-pot', cut: 'ground', fatG: 1000, tallowG: 480 },
  { member: 'c', method: 'oven', cut: 'minced', fatG: 900, tallowG: 410, minutes: 300 },
];

describe('the sums of a community', () => {
  it('are those of its batches in memory, on every reference set', async () => {
    for (const set of SET_NAMES) {
      // Yields that the records refuse to hold are typing errors of that set
      const batches = readReferenceBatches(set).filter(({ fatG, tallowG }) => tallowG > 0 && tallowG <= fatG);
      await storeBatches(db, set, batches);
      const { sums, members } = await communitySums(db, set);
      expectSameSums(sums, modelSums(MODEL_DESIGN, asObserved(batches)));
      expect(members).toBe(new Set(batches.map(({ member }) => member)).size);
      const pooled = await pooledSums(db, set, {});
      const typical = modelSums(
        { factors: [], covariates: [], responseShift: YIELD_SHIFT },
        batches.map(({ member, fatG, tallowG }) => ({
          member,
          levels: [],
          covariates: [],
          response: tallowG / fatG,
        })),
      );
      expectSameSums(interceptSums(pooled), typical);
    }
  });

  it('are those of its batches in memory, whatever they are', async () => {
    const batch: fc.Arbitrary<StoredBatch> = fc.record({
      member: fc.constantFrom('a', 'b', 'c', 'd'),
      method: fc.constantFrom(...METHODS.map(({ value }) => value)),
      cut: fc.constantFrom(...CUTS.map(({ value }) => value)),
      fatG: fc.integer({ min: 1, max: 500_000 }),
      tallowG: fc.constant(1),
      minutes: fc.integer({ min: 1, max: 10_080 }),
    });
    let community = 0;
    await fc.assert(
      fc.asyncProperty(fc.array(batch, { maxLength: 30 }), async (batches) => {
        community += 1;
        await storeBatches(db, `any-${community}`, batches);
        const { sums } = await communitySums(db, `any-${community}`);
        expectSameSums(sums, modelSums(MODEL_DESIGN, asObserved(batches)));
      }),
      { numRuns: 25 },
    );
  });

  it('leave out batches without a time and say how many', async () => {
    await storeBatches(db, 'one-untimed', FEW);
    const { sums, timeAllowedFor, withoutTime } = await communitySums(db, 'one-untimed');
    expect([timeAllowedFor, withoutTime]).toEqual([true, 1]);
    expectSameSums(sums, modelSums(MODEL_DESIGN, asObserved(FEW.filter(({ minutes }) => minutes))));
  });

  it('count every batch and leave time out of it when most say none', async () => {
    const untimed = FEW.map((batch, i) => (i < 2 ? batch : { ...batch, minutes: undefined }));
    await storeBatches(db, 'mostly-untimed', untimed);
    const { sums, timeAllowedFor, withoutTime } = await communitySums(db, 'mostly-untimed');
    expect([timeAllowedFor, withoutTime]).toEqual([false, 3]);
    const terms = { factors: ['method', 'cut'], covariates: ['log_fat_kg'] };
    expectSameSums(sums, chooseTerms(modelSums(MODEL_DESIGN, asObserved(untimed)), terms));
  });

  it('say how many members used each method and each cut', async () => {
    await storeBatches(db, 'users', FEW);
    const { membersByLevel } = await communitySums(db, 'users');
    expect([...membersByLevel.method]).toEqual([
      ['open-pot', 2],
      ['pressure', 1],
      ['oven', 1],
    ]);
    expect([...membersByLevel.cut]).toEqual([
      ['ground', 1],
      ['minced', 1],
      ['cubed', 1],
    ]);
  });

  it('of one member are those of their batches in memory', async () => {
    await storeBatches(db, 'one-of-them', FEW);
    const community = await communitySums(db, 'one-of-them');
    const expected = memberTotals(MODEL_DESIGN, asObserved(FEW.filter(({ member }) => member === 'a'))).get(
      'a',
    );
    const own = await memberSumsOf(db, 'one-of-them', 'a', community);
    expect(apart(own?.columns ?? [], expected?.columns ?? [])).toBeLessThan(1e-13);
    expect(own?.response).toBeCloseTo(expected?.response ?? Number.NaN, 12);
    expect(await memberSumsOf(db, 'one-of-them', 'nobody', community)).toBeUndefined();
  });

  it('change at once with a batch logged, corrected or removed', async () => {
    await storeBatches(db, 'changing', FEW.slice(0, 3));
    const mean = async () => {
      const { total } = (await communitySums(db, 'changing')).sums;
      return (total.xy[0] ?? Number.NaN) / total.batches + YIELD_SHIFT;
    };
    expect(await mean()).toBeCloseTo((1 / 2 + 17 / 30 + 1 / 5) / 3, 12);
    await storeBatches(db, 'changing', FEW.slice(4), 4);
    expect(await mean()).toBeCloseTo((1 / 2 + 17 / 30 + 1 / 5 + 41 / 90) / 4, 12);
    const change = db.updateTable('batches').where('community_id', '=', 'changing');
    await change.where('number', '=', 1).set({ tallow_g: 800 }).execute();
    await change.where('number', '=', 3).set({ removed_at: new Date() }).execute();
    expect(await mean()).toBeCloseTo((2 / 5 + 17 / 30 + 41 / 90) / 3, 12);
  });

  it('of a community without batches are no batches', async () => {
    const { sums, members } = await communitySums(db, 'nowhere');
    expect(sums.total.batches).toBe(0);
    expect(members).toBe(0);
    expect(fitMixedModel(sums)).toEqual({ kind: 'none', because: 'no-batches' });
  });

  it('is in the design that the statistics of batches have', () => {
    expect(MODEL_DESIGN).toEqual(
      batchDesign(
        METHODS.map(({ value }) => value),
        CUTS.map(({ value }) => value),
      ),
    );
  });
});
