import { sql } from 'kysely';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openRecords, type Records } from '../src/records/database.js';
import { type KillRounds, killRounds } from './support/kill-rounds/rounds.js';
import { readStored } from './support/kill-rounds/stored.js';
import { type Attempt, isStored, tallyOf, type Wrong } from './support/kill-rounds/tally.js';
import { type FreshDatabase, freshDatabase } from './support/postgres.js';

const ROUNDS = 4;
/** Another at every run; what it finds is looked for again by `npm run bench -- kill-rounds 200 SEED`. */
const SEED = Date.now() % 1_000_000;
const NOTHING_WRONG: Wrong = {
  lost: 0,
  twiceByOneRequest: 0,
  doubled: 0,
  storedThoughDenied: 0,
  unrecognised: 0,
  half: 0,
  numberGaps: 0,
  unclearAnswers: 0,
};

let database: FreshDatabase;
let db: Records;
let run: KillRounds;
beforeAll(async () => {
  database = await freshDatabase();
  db = openRecords(database.connectionString, () => {});
  run = await killRounds(db, database.connectionString, { rounds: ROUNDS, seed: SEED });
}, 120_000);
afterAll(async () => {
  await db.destroy();
  await database.drop();
});

describe(`a bot that is killed again and again while members save (seed ${SEED})`, () => {
  it('keeps whatever it said is saved, once, and says nothing else of it', () => {
    expect(run.tallies).toHaveLength(ROUNDS + 1);
    for (const { wrong } of run.tallies) expect(wrong).toEqual(NOTHING_WRONG);
    expect(run.violations).toEqual([]);
  });

  it('has stored everything once members have sent again what they heard nothing of', () => {
    const { sent = 0, repeated = 0, stored } = run.tallies.at(-1) ?? {};
    expect(stored).toBe(sent - repeated);
    expect(stored).toBeGreaterThan(0);
  });
});

describe('what checks it', () => {
  /** What would be found wrong if the database were changed so; it is not. */
  async function wrongAfter(spoil: (tx: Records) => Promise<unknown>): Promise<Wrong> {
    const tx = await db.startTransaction().execute();
    try {
      await spoil(tx);
      return tallyOf(run.attempts, await readStored(tx, run.community)).wrong;
    } finally {
      await tx.rollback().execute();
    }
  }

  /** Puts a batch there once more, with a number of its own. */
  async function copyBatch(tx: Records, request: string | undefined): Promise<void> {
    const batch = await tx.selectFrom('batches').selectAll().limit(1).executeTakeFirstOrThrow();
    const { last_batch } = await tx
      .updateTable('communities')
      .set((e) => ({ last_batch: e('last_batch', '+', 1) }))
      .returning('last_batch')
      .executeTakeFirstOrThrow();
    const copy = { ...batch, note: null, number: last_batch };
    await tx
      .insertInto('batches')
      .values({ ...copy, logged_by_interaction: request ?? batch.logged_by_interaction })
      .execute();
  }

  it('finds a batch that was said to be saved and is not there', async () => {
    const wrong = await wrongAfter(async (tx) => {
      await tx.deleteFrom('batch_changes').execute();
      await tx.updateTable('batches').set({ note: null }).execute();
      await tx.deleteFrom('batches').where('number', '=', 1).execute();
    });
    const corrected = run.attempts.filter(({ kind }) => kind === '/batch correct' || kind === 'its form');
    const lost = 1 + new Set(corrected.map(({ deed }) => deed)).size;
    expect(wrong).toEqual({ ...NOTHING_WRONG, lost, numberGaps: 1 });
  });

  it('finds a batch that is there twice, and one that a single request stored twice', async () => {
    const wrong = await wrongAfter((tx) => copyBatch(tx, 'another request'));
    expect(wrong).toEqual({ ...NOTHING_WRONG, doubled: 1 });
    const byOne = await wrongAfter(async (tx) => {
      await sql`alter table batches drop constraint batches_logged_once`.execute(tx);
      await copyBatch(tx, undefined);
    });
    expect(byOne).toEqual({ ...NOTHING_WRONG, doubled: 1, twiceByOneRequest: 1 });
  });

  it('finds what was stored by halves', async () => {
    const wrong = await wrongAfter((tx) =>
      tx.updateTable('batches').set({ note: 'of no correction' }).where('number', '=', 1).execute(),
    );
    expect(wrong).toEqual({ ...NOTHING_WRONG, half: 1 });
  });

  it('finds an answer that denies what was stored, and one that takes it for new', async () => {
    const stored = await readStored(db, run.community);
    const first = run.attempts.find((one) => isStored(one) && one.kind !== '/kit add');
    if (first === undefined) return expect.fail('nothing was stored');
    const denied: Attempt = { ...first, said: 'not saved' };
    expect(tallyOf([denied], stored).wrong).toEqual({ ...NOTHING_WRONG, storedThoughDenied: 1 });
    const again: Attempt = { ...first, said: 'saved', isRepeat: true, storedBefore: true };
    expect(tallyOf([first, again], stored).wrong).toEqual({ ...NOTHING_WRONG, unrecognised: 1 });
  });
});
