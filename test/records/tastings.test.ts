import { randomInt } from 'node:crypto';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { TERMINAL } from '../../src/chat/call.js';
import { startScheduler } from '../../src/deliveries/scheduler.js';
import { openRecords, type Records } from '../../src/records/database.js';
import {
  answerTasting,
  forgetTaster,
  seatOf,
  serveTasting,
  sheetOf,
  takeSeat,
} from '../../src/records/tasting-seats.js';
import { closeTasting, findTasting, openTasting, type TastingPlan } from '../../src/records/tastings.js';
import { dealSeats } from '../../src/tastings/deal.js';
import { inOwnCommunity } from '../support/own-community.js';
import { type FreshDatabase, freshDatabase } from '../support/postgres.js';

const NOW = new Date('2026-11-25T18:00:00Z');
const DAY_MS = 86_400_000;
const PLAN: TastingPlan = {
  kind: 'triangle',
  products: [{ words: 'one wash' }, { words: 'two washes' }],
  quality: undefined,
  expected: undefined,
  planned: 20,
  matters: { share: 0.3 },
};

let database: FreshDatabase;
/** Two pools, as two processes have. */
let one: Records;
let other: Records;
let community = '';
let communities = 0;
beforeAll(async () => {
  database = await freshDatabase();
  one = inOwnCommunity(openRecords(database.connectionString, () => {}));
  other = inOwnCommunity(openRecords(database.connectionString, () => {}));
});
afterAll(async () => {
  await one.destroy();
  await other.destroy();
  await database.drop();
});
beforeEach(() => {
  community = `kitchen ${++communities}`;
});

const person = (name: string) => ({ id: name, name });
const at = (name: string, number = 1, now = NOW) => ({ community, member: person(name), number, now });
const everybody = Array.from({ length: PLAN.planned }, (_, k) => `Taster ${k + 1}`);

const openNow = (plan = PLAN, now = NOW) =>
  openTasting(
    one,
    { community, member: person('Tansy'), now, interaction: `open ${now.getTime()}` },
    plan,
    dealSeats({ kind: plan.kind, products: plan.products.length, planned: plan.planned }, randomInt),
  );

describe('twenty assessors at two processes in the same second', () => {
  it('who each take a seat twice have one each', async () => {
    await openNow();
    const seats = await Promise.all(
      everybody.flatMap((name) => [takeSeat(one, at(name)), takeSeat(other, at(name))]),
    );
    const numbers = seats.map((seated) => (seated.kind === 'seated' ? seated.seat.seat : 0));
    expect([...new Set(numbers)].sort((a, b) => a - b)).toEqual(everybody.map((_, k) => k + 1));
    for (let k = 0; k < numbers.length; k += 2) expect(numbers[k]).toBe(numbers[k + 1]);
    expect(await takeSeat(one, at('Late'))).toEqual({ kind: 'full' });
  });

  it('who each answer twice are counted once', async () => {
    await openNow();
    for (const name of everybody) await takeSeat(one, at(name));
    const answers = everybody.map(async (name, k) => {
      const codes = (await seatOf(one, at(name)))?.codes ?? [];
      const first = codes[k % 3] ?? '';
      const second = codes[(k + 1) % 3] ?? '';
      return Promise.all([answerTasting(one, at(name), [first]), answerTasting(other, at(name), [second])]);
    });
    const kinds = (await Promise.all(answers)).flat();
    expect(kinds).toHaveLength(40);
    expect(kinds.filter(({ kind }) => kind === 'answered')).toHaveLength(40);
    expect(kinds.filter((answer) => answer.kind === 'answered' && answer.isChange)).toHaveLength(20);
    // each of two closes the same, and nobody is counted twice
    const [closed, again] = await Promise.all([closeTasting(one, at('')), closeTasting(other, at(''))]);
    expect(closed?.closed).toEqual(again?.closed);
    expect(closed?.closed?.counts).toMatchObject({ kind: 'triangle', assessors: 20 });
    const rows = await one
      .selectFrom('tasting_answers')
      .selectAll()
      .where('community_id', '=', community)
      .execute();
    expect(rows).toHaveLength(20);
  });

  it('who answer while it is closed are either counted or refused', async () => {
    await openNow();
    const seats = await Promise.all(everybody.map((name) => takeSeat(one, at(name))));
    const given = seats.map((seated, k) =>
      answerTasting(k % 2 === 0 ? one : other, at(everybody[k] ?? ''), [
        seated.kind === 'seated' ? (seated.seat.codes[0] ?? '') : '',
      ]),
    );
    const [answers, closed] = await Promise.all([Promise.all(given), closeTasting(other, at(''))]);
    const taken = answers.filter(({ kind }) => kind === 'answered').length;
    expect(answers.every(({ kind }) => kind === 'answered' || kind === 'closed')).toBe(true);
    expect(closed?.closed?.counts).toMatchObject({ assessors: taken });
  });
});

describe('the one who serves', () => {
  it('is one alone, whoever asks at the same moment, and never has a seat', async () => {
    await openNow();
    const asked = await Promise.all(
      everybody.flatMap((name, k) => [
        serveTasting(k % 2 === 0 ? one : other, at(name)),
        takeSeat(k % 2 === 0 ? other : one, at(name)).then(({ kind }) => kind),
      ]),
    );
    const serves = everybody.filter((_, k) => asked[2 * k] === 'serves');
    expect(serves.length).toBeLessThanOrEqual(1);
    const { servedBy } = (await findTasting(one, community, 1)) ?? {};
    expect(serves).toEqual(servedBy === undefined ? [] : [servedBy]);
    if (servedBy !== undefined) expect(await seatOf(one, at(servedBy))).toBeUndefined();
  });
});

describe('codes', () => {
  it('cannot be worked out from ids: the same tasting of the same people has others in another place', async () => {
    const sheets: string[] = [];
    for (let k = 0; k < 3; k += 1) {
      community = `same ${k}`;
      await openNow();
      sheets.push(JSON.stringify((await sheetOf(one, community, 1)).map(({ cups }) => cups)));
    }
    expect(new Set(sheets).size).toBe(3);
  });

  it('never repeat inside a sheet of a hundred seats', async () => {
    await openNow({ ...PLAN, planned: 100 });
    const codes = (await sheetOf(one, community, 1)).flatMap(({ cups }) => cups.map(({ code }) => code));
    expect(codes).toHaveLength(300);
    expect(new Set(codes).size).toBe(300);
  });
});

describe('a tasting that was left open', () => {
  it('is closed a week after it was opened, with what was answered, and not before', async () => {
    await openNow();
    const seated = await takeSeat(one, at('Taster 1'));
    if (seated.kind !== 'seated') throw new Error(seated.kind);
    await answerTasting(one, at('Taster 1'), [seated.seat.codes[0] ?? '']);
    let now = new Date(NOW.getTime() + 7 * DAY_MS - 60_000);
    const scheduler = startScheduler({
      db: one,
      contents: {},
      outbox: {
        post: async () => ({ kind: 'closed', why: 'there is no channel' }),
        find: async () => undefined,
        names: async () => ({ community: undefined, channel: undefined }),
        tellManagers: async () => true,
      },
      application: TERMINAL,
      worker: 'one',
      clock: () => now,
      onFailure: (error) => {
        throw error;
      },
    });
    await scheduler.tick();
    expect((await findTasting(one, community, 1))?.closed).toBeUndefined();
    now = new Date(NOW.getTime() + 7 * DAY_MS + 60_000);
    await scheduler.tick();
    await scheduler.stop();
    expect((await findTasting(one, community, 1))?.closed).toMatchObject({
      at: now,
      counts: { assessors: 1 },
    });
    expect(await answerTasting(one, at('Taster 1', 1, now), [seated.seat.codes[1] ?? ''])).toEqual({
      kind: 'closed',
    });
  });
});

describe('somebody whose data are erased', () => {
  it('leaves a closed result as it was, as numbers without a name', async () => {
    await openNow();
    await serveTasting(one, at('Sorrel'));
    for (const name of ['Bracken', 'Clover']) {
      const seated = await takeSeat(one, at(name));
      if (seated.kind === 'seated') await answerTasting(one, at(name), [seated.seat.codes[0] ?? '']);
    }
    await closeTasting(one, at(''));
    const before = await findTasting(one, community, 1);
    for (const name of ['Tansy', 'Sorrel', 'Bracken']) await forgetTaster(one, community, name);
    const after = await findTasting(one, community, 1);
    expect(after?.closed).toEqual(before?.closed);
    expect(after).toMatchObject({ openedBy: undefined, servedBy: undefined });
    const left = await one
      .selectFrom('tasting_answers')
      .select('member_id')
      .where('community_id', '=', community)
      .execute();
    expect(left).toEqual([{ member_id: 'Clover' }]);
  });

  it('takes their answer out of an open tasting, and frees the seat', async () => {
    await openNow();
    const seated = await takeSeat(one, at('Bracken'));
    if (seated.kind === 'seated') await answerTasting(one, at('Bracken'), [seated.seat.codes[0] ?? '']);
    await one
      .deleteFrom('members')
      .where('community_id', '=', community)
      .where('member_id', '=', 'Bracken')
      .execute();
    expect(await takeSeat(one, at('Clover'))).toMatchObject({
      kind: 'seated',
      seat: { seat: 1, picked: undefined },
    });
    expect((await closeTasting(one, at('')))?.closed?.counts).toMatchObject({ assessors: 0 });
  });

  it('leaves rankings in an order that says nothing of who gave them', async () => {
    const plan: TastingPlan = {
      ...PLAN,
      kind: 'ranking',
      products: ['none', 'light', 'heavy'].map((words) => ({ words })),
      quality: 'smoky',
      planned: 6,
    };
    await openNow(plan);
    const sheet = await sheetOf(one, community, 1);
    for (let k = 0; k < 6; k += 1) {
      await takeSeat(one, at(`Taster ${k + 1}`));
      const codes = (sheet[k]?.cups ?? []).toSorted(
        (a, b) => (k % 2 === 0 ? 1 : -1) * (a.product - b.product),
      );
      await answerTasting(
        one,
        at(`Taster ${k + 1}`),
        codes.map(({ code }) => code),
      );
    }
    expect((await closeTasting(one, at('')))?.closed?.counts).toEqual({
      kind: 'ranking',
      rankings: [...Array(3).fill([1, 2, 3]), ...Array(3).fill([3, 2, 1])],
    });
  });
});
