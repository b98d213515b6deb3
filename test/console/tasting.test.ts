import { afterAll, beforeAll, expect, it } from 'vitest';
import { openRecords } from '../../src/records/database.js';
import { sheetOf } from '../../src/records/tasting-seats.js';
import { type Answer, startBot } from '../support/bot.js';
import { type FreshDatabase, freshDatabase } from '../support/postgres.js';

let database: FreshDatabase;
beforeAll(async () => {
  database = await freshDatabase();
});
afterAll(() => database.drop());

/** Somebody types into a terminal of their own, each line once the one before is answered. */
async function typing<T>(
  as: string,
  type: (say: (line: string) => Promise<Answer>) => Promise<T>,
): Promise<T> {
  const bot = startBot({
    isBare: true,
    args: ['--as', as, '--community', 'ember-lane'],
    env: { DATABASE_URL: database.connectionString },
  });
  const typed = await type((line) => bot.say(line));
  await bot.finish();
  return typed;
}

it('a script holds a whole triangle test with 12 assessors in the terminal', {
  timeout: 240_000,
}, async () => {
  const opened = await typing('Tansy', (say) =>
    say('/tasting open kind:triangle compare:"one wash, two washes" tasters:12'),
  );
  expect(opened.reply?.figures).toMatchObject({ tasting: 1, assessors: 12 });
  const refused = await typing('Sorrel', async (say) => {
    await say('/tasting serve number:1');
    const sheet = await say('/tasting sheet number:1');
    expect(sheet.reply?.figures).toMatchObject({ seats: 12 });
    return say('/tasting taste number:1');
  });
  expect(refused.refusal?.title).toBe('You serve');

  const db = openRecords(database.connectionString, () => {});
  const rows = await sheetOf(db, 'ember-lane', 1);
  await db.destroy();
  const pick = async (as: string, isRight: boolean) =>
    typing(as, async (say) => {
      const seat = await say('/tasting taste number:1');
      const { cups = [] } = rows[(seat.reply?.figures.seat ?? 0) - 1] ?? {};
      const isOdd = ({ product }: { product: number }) =>
        cups.filter((cup) => cup.product === product).length === 1;
      const code = cups.find((cup) => isOdd(cup) === isRight)?.code ?? '';
      const id = seat.reply?.actions.find((action) => action.endsWith(`|${code}`)) ?? '';
      return say(`press:"${id}"`);
    });
  for (let at = 0; at < 12; at += 3) {
    const three = [at, at + 1, at + 2].map((k) => pick(`Taster ${k + 1}`, k < 9));
    for (const answer of await Promise.all(three))
      expect(answer.reply?.figures).toMatchObject({ answers: 1 });
  }
  const closed = await typing('Tansy', (say) => say('/tasting close number:1'));
  expect(closed.reply?.title).toBe(
    '9 of 12 picked the odd one. By guessing alone 4 would. There is a difference.',
  );
  expect(Object.keys(closed.reply?.figures ?? {})).toEqual(
    expect.arrayContaining(
      'assessors correct p leastCorrect discriminators discriminatorsLow discriminatorsHigh dPrime dPrimeLow dPrimeHigh power'.split(
        ' ',
      ),
    ),
  );
  // 8 of 12 at 5 %: ISO 4120, table A.1
  expect(closed.reply?.figures).toMatchObject({ assessors: 12, correct: 9, leastCorrect: 8 });
});
