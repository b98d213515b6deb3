import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { Outcome } from '../../src/chat/command.js';
import { replyText } from '../../src/chat/plain-text.js';
import type { Reply } from '../../src/chat/reply.js';
import { sheetOf } from '../../src/records/tasting-seats.js';
import { numberIn, openTalk, type Talk } from '../support/talk.js';

let talk: Talk;
let community = '';
let communities = 0;
beforeAll(async () => {
  talk = await openTalk();
});
afterAll(() => talk.close());
beforeEach(() => {
  community = `kitchen ${++communities}`;
});

const ask = (line: string, as = 'Tansy') => talk.ask(line, { as, community });
const refuse = (line: string, as = 'Tansy') => talk.refuse(line, { as, community });
const press = (reply: Outcome, label: string, as: string) => {
  const action = 'actions' in reply ? reply.actions.find((one) => one.label === label) : undefined;
  return talk.hear(`press:"${action?.id ?? `no button ${label}`}"`, { as, community });
};
const codesOf = (seat: Reply) => seat.actions.map(({ label }) => label);

/** The odd one of each seat and another one, as only the records know them. */
async function cupsOf(number: number) {
  const rows = await sheetOf(talk.db, community, number);
  return rows.map(({ cups }) => {
    const odd = cups.find((cup) => cups.filter(({ product }) => product === cup.product).length === 1);
    return { cups, odd: odd?.code ?? '', other: cups.find((cup) => cup !== odd)?.code ?? '' };
  });
}

const TRIANGLE = '/tasting open kind:triangle compare:"one wash, two washes"';

/** So many take seats in a triangle and so many of them pick the odd one. */
async function triangle(assessors: number, correct: number): Promise<number> {
  const number = numberIn(await ask(`${TRIANGLE} tasters:${assessors}`), 'tasting');
  const cups = await cupsOf(number);
  for (let at = 0; at < assessors; at += 1) {
    const as = `Taster ${at + 1}`;
    const seat = await ask(`/tasting taste number:${number}`, as);
    const { odd, other } = cups[numberIn(seat, 'seat') - 1] ?? expect.fail('no such seat');
    await press(seat, at < correct ? odd : other, as);
  }
  return number;
}

const wordsIn = (text: string) => text.split(/\s+/).filter((word) => /[\p{L}\p{N}]/u.test(word)).length;

/** Title, lines and caution; the source that stands behind a caution is no sentence to read. */
const wordsOf = ({ title, lines, caution }: Reply) =>
  wordsIn([title, ...lines, caution?.text ?? ''].join(' '));

describe('opening a tasting', () => {
  it('says what so many tasters can show, and how many would be enough', async () => {
    const few = await ask(`${TRIANGLE} tasters:12 difference:"30 %"`);
    // exact binomial: 8 of 12 needed; P(X ≥ 8) at 1/3 + 2/3 · 0.3, summed apart from the project
    expect(few.figures).toMatchObject({ assessors: 12, power: expect.closeTo(0.2646, 4) });
    expect(few.lines[0]).toBe(
      `If 30 % can tell, 12 tasters show it 26 times in 100: too few. ${numberIn(few, 'assessorsForPower')} show it 80 times.`,
    );
    const many = await ask(`${TRIANGLE} tasters:60 difference:"d′ 1.5"`);
    expect(many.lines[0]).toMatch(/^If the difference is d′ 1.5, 60 tasters show it \d+ times in 100\.$/);
    const two = await ask(`${TRIANGLE} tasters:2`);
    expect(two.lines[0]).toContain('2 tasters can show nothing, whatever they answer.');
    expect(two.figures.power).toBe(0);
  });

  it('takes batches by number, and only those that are there', async () => {
    expect((await refuse('/tasting open kind:triangle compare:"#1, #2" tasters:12')).title).toBe(
      'No such batch',
    );
    await ask('/batch log fat:2kg tallow:900g method:oven cut:ground');
    await ask('/batch log fat:3kg tallow:1200g method:oven cut:ground');
    const opened = await ask('/tasting open kind:triangle compare:"#1, batch 2" tasters:12');
    expect(opened.title).toBe('Tasting 1: Is there a difference between batch 1 and batch 2?');
  });

  it('says what does not fit together', async () => {
    for (const [line, words] of [
      ['kind:triangle compare:"a, b, c" tasters:6', 'kind:ranking'],
      ['kind:ranking compare:"a, b" tasters:6 quality:smoky', 'kind:pair'],
      ['kind:pair compare:"a, b" tasters:6', 'quality:beefy'],
      ['kind:triangle compare:"a, b" tasters:6 quality:beefy', 'kind:pair'],
      ['kind:ranking compare:"a, b, c" tasters:6 quality:smoky expected:first', 'Only a pair'],
      ['kind:triangle compare:"a, A" tasters:6', 'named twice'],
      ['kind:triangle compare:a tasters:6', 'name 2 to 6'],
      ['kind:triangle compare:"a, b" tasters:6 difference:lots', '“30 %”'],
      ['kind:triangle compare:"a, b" tasters:101', '2 to 100'],
    ] as const) {
      const { text } = await refuse(`/tasting open ${line}`);
      expect(text).toContain(words);
      expect(text).toContain('Nothing was saved.');
    }
    expect((await ask('/tasting list')).title).toBe('No tastings yet');
  });

  it('opens once however often one request arrives', async () => {
    const twice = { community, interaction: 'the same' };
    expect(numberIn(await talk.ask(`${TRIANGLE} tasters:6`, twice), 'tasting')).toBe(1);
    expect(numberIn(await talk.ask(`${TRIANGLE} tasters:6`, twice), 'tasting')).toBe(1);
    expect(numberIn(await ask('/tasting list'), 'tastings')).toBe(1);
  });
});

describe('the one who serves', () => {
  it('alone sees the sheet, and cannot taste', async () => {
    await ask(`${TRIANGLE} tasters:15`);
    const told = await ask('/tasting serve number:1', 'Sorrel');
    expect(told.audience).toBe('only you');
    expect(told.lines[0]).toBe('A is one wash and B is two washes. Only you may know.');
    const first = await ask('/tasting sheet number:1', 'Sorrel');
    expect(first).toMatchObject({ audience: 'only you', figures: { from: 1, to: 12, seats: 15 } });
    const next = await press(first, 'Next seats', 'Sorrel');
    expect(next).toMatchObject({ kind: 'reply', figures: { from: 13, to: 15 } });
    const whole = await press(first, 'All, to print', 'Sorrel');
    expect(whole.kind === 'reply' && whole.table?.rows).toHaveLength(15);
    for (const as of ['Tansy', 'Bracken']) {
      for (const line of [
        'press:v1|tasting.sheet|1|all',

        '/tasting sheet number:1',
        '/tasting serve number:1',
        'press:v1|tasting.sheet|1|13',
      ])
        expect((await refuse(line, as)).title).toBe('Somebody else serves');
    }
    expect((await talk.refuse('/tasting sheet number:1', { as: 'Boss', community, admin: true })).title).toBe(
      'Somebody else serves',
    );
    expect((await refuse('/tasting taste number:1', 'Sorrel')).title).toBe('You serve');
  });

  it('cannot be somebody who has a seat', async () => {
    await ask(`${TRIANGLE} tasters:6`);
    await ask('/tasting taste number:1', 'Bracken');
    expect((await refuse('/tasting serve number:1', 'Bracken')).title).toBe('You taste');
  });

  it('hears who sits where, and how to serve fat', async () => {
    await ask(`${TRIANGLE} tasters:6`);
    const told = await ask('/tasting serve number:1', 'Sorrel');
    expect(told.caution?.id).toBe('taste-warm-not-hot');
    expect(replyText(told)).toMatch(/120 °F \(50 °C\).*|warm water, plain bread/s);
    await ask('/tasting taste number:1', 'Bracken');
    const { table } = await ask('/tasting sheet number:1', 'Sorrel');
    expect(table?.rows[0]?.at(-1)).toBe('Bracken');
    expect(table?.rows[1]?.at(-1)).toBe('');
  });
});

describe('a taster', () => {
  it('has a seat with codes in order, and nothing of what is in the cups', async () => {
    await ask(`${TRIANGLE} tasters:6`);
    const seat = await ask('/tasting taste number:1', 'Bracken');
    const [first] = await cupsOf(1);
    expect(codesOf(seat)).toEqual(first?.cups.map(({ code }) => code));
    expect(seat).toMatchObject({ audience: 'only you', figures: { seat: 1, cups: 3 } });
    expect(seat.caution?.id).toBe('taste-who-should-not');
    expect(numberIn(await ask('/tasting taste number:1', 'Bracken'), 'seat')).toBe(1);
    expect(numberIn(await ask('/tasting taste number:1', 'Clover'), 'seat')).toBe(2);
  });

  it('answers once, and may change it until the close', async () => {
    await ask(`${TRIANGLE} tasters:2`);
    const seat = await ask('/tasting taste number:1', 'Bracken');
    const [{ odd, other } = expect.fail('no seat')] = await cupsOf(1);
    expect(await press(seat, odd, 'Bracken')).toMatchObject({ title: `Your answer: ${odd}` });
    await press(seat, other, 'Bracken');
    expect((await ask('/tasting taste number:1', 'Bracken')).lines[0]).toBe(`Your answer so far: ${other}.`);
    const result = await ask('/tasting close number:1 anyway:yes');
    expect(result.figures).toMatchObject({ assessors: 1, correct: 0 });
  });

  it('cannot answer late, without a seat, for another, or with codes that were never on the table', async () => {
    await ask(`${TRIANGLE} tasters:2`);
    const bracken = await ask('/tasting taste number:1', 'Bracken');
    const clover = await ask('/tasting taste number:1', 'Clover');
    const [code = ''] = codesOf(bracken);
    expect(await press(bracken, code, 'Thistle')).toMatchObject({ title: 'You have no seat there' });
    expect(await press(bracken, code, 'Clover')).toMatchObject({ title: 'Those are not your cups' });
    expect((await refuse('press:"v1|tasting.answer|1|999.998"', 'Clover')).title).toBe(
      'Those are not your cups',
    );
    expect((await refuse('press:"v1|tasting.answer|9|999"', 'Clover')).title).toBe('No such tasting');
    expect((await refuse('/tasting taste number:1', 'Thistle')).title).toBe('All seats are taken');
    expect(
      await talk.hear(`press:"${bracken.actions[0]?.id}"`, { as: 'Bracken', community: 'elsewhere' }),
    ).toMatchObject({ title: 'No such tasting' });
    await press(clover, codesOf(clover)[0] ?? '', 'Clover');
    await ask('/tasting close number:1 anyway:yes');
    expect(await press(bracken, code, 'Bracken')).toMatchObject({ title: 'Tasting 1 is closed' });
    expect((await refuse('/tasting taste number:1', 'Thistle')).title).toBe('Tasting 1 is closed');
    expect((await ask('/tasting result number:1')).figures).toMatchObject({ assessors: 1 });
  });

  it('ranks by pressing codes one after another, and nothing counts before the last', async () => {
    await ask('/tasting open kind:ranking compare:"none, light, heavy, burnt" tasters:2 quality:smoky');
    const seat = await ask('/tasting taste number:1', 'Bracken');
    const [a = '', b = '', c = '', d = ''] = codesOf(seat);
    const second = await press(seat, c, 'Bracken');
    expect(second).toMatchObject({ title: `${c}, and then?` });
    const third = await press(second, a, 'Bracken');
    const notYet = await ask('/tasting taste number:1', 'Bracken');
    expect(notYet.lines[0]).not.toContain('so far');
    const fourth = await press(third, d, 'Bracken');
    expect(fourth).toMatchObject({ title: `Your answer: ${c}, ${a}, ${d}, ${b}` });
    expect((await refuse(`press:"v1|tasting.answer|1|${a}.${a}"`, 'Bracken')).title).toBe(
      'Those are not your cups',
    );
  });
});

describe('before the close', () => {
  it('nobody sees a count', async () => {
    await triangle(6, 6);
    for (const as of ['Tansy', 'Taster 1', 'Thistle']) {
      expect((await refuse('/tasting result number:1', as)).title).toBe('Tasting 1 is still open');
      expect((await refuse('press:v1|tasting.details|1', as)).title).toBe('Tasting 1 is still open');
      const list = await ask('/tasting list', as);
      expect(list.table?.rows).toEqual([['1', 'one wash and two washes', 'open']]);
      expect(list.figures).toEqual({ tastings: 1, open: 1, pooled: [] });
    }
  });

  it('is asked whether to close where seats have not answered, and only by those who may', async () => {
    await ask(`${TRIANGLE} tasters:6`);
    await ask('/tasting serve number:1', 'Sorrel');
    expect((await refuse('/tasting close number:1', 'Thistle')).title).toBe('Not yours to close');
    const asked = await ask('/tasting close number:1', 'Sorrel');
    expect(asked).toMatchObject({ audience: 'only you', title: '6 of 6 seats have not answered' });
    const closed = await press(asked, 'Close it now', 'Sorrel');
    expect(closed).toMatchObject({ title: 'Closed without an answer, so nothing is known.' });
  });
});

describe('what comes out', () => {
  it('of 14 of 24 is a difference, in words and figures', async () => {
    const number = await triangle(24, 14);
    const result = await ask(`/tasting close number:${number}`);
    expect(result.title).toBe(
      '14 of 24 picked the odd one. By guessing alone 8 would. There is a difference.',
    );
    expect(result.audience).toBe('everyone');
    // ISO 4120 table A.1: 13 of 24 at 5 %; p and the interval by summing the binomial apart from the project;
    // d′ between the published 1.7229 at 0.55 and 1.9756 at 0.60
    expect(result.figures).toMatchObject({
      assessors: 24,
      correct: 14,
      leastCorrect: 13,
      p: expect.closeTo(0.01034, 5),
      discriminators: expect.closeTo(0.375, 6),
      discriminatorsLow: expect.closeTo(0.0496, 3),
      discriminatorsHigh: expect.closeTo(0.6682, 3),
      dPrime: expect.closeTo(1.891, 2),
    });
    for (const name of ['dPrimeLow', 'dPrimeHigh', 'power'])
      expect(numberIn(result, name)).toBeGreaterThan(0);
    const figures = await press(result, 'Figures', 'Thistle');
    expect(figures).toMatchObject({ kind: 'reply', audience: 'only you', figures: result.figures });
    if (figures.kind !== 'reply') return;
    expect(figures.picture?.alt).toBe(
      'Tasting 1: how many can tell: Can tell, 14 of 24 right. Estimate 38 %, 95 % interval 5 to 67 %.',
    );
    expect(figures.table?.rows).toContainEqual(['Right needed at 5 %', '13']);
  });

  it('of 9 of 24 is no sign, and not that they are the same', async () => {
    const number = await triangle(24, 9);
    const result = await ask(`/tasting close number:${number}`);
    expect(result.title).toBe(
      '9 of 24 picked the odd one: no sign of a difference, but with 24 tasters a small one could hide.',
    );
    expect(replyText(result)).toMatch(/At most \d+ % can tell, at 95 %\./);
    expect(`${result.title} ${replyText(result)}`).not.toMatch(/prove[sn]|the same|no difference/);
  });

  it('of a pair names who leads, and of an expected one who found it', async () => {
    const open = '/tasting open kind:pair compare:"smoked, plain" quality:beefy tasters:10';
    for (const [line, title] of [
      [
        open,
        '10 of 10 found plain more beefy, 0 smoked. By chance alone it would be about 5 each. There is a difference.',
      ],
      [
        `${open} expected:second`,
        '10 of 10 found plain more beefy. By guessing alone 5 would. There is a difference.',
      ],
    ] as const) {
      const number = numberIn(await ask(line), 'tasting');
      const cups = await cupsOf(number);
      for (let at = 0; at < 10; at += 1) {
        const seat = await ask(`/tasting taste number:${number}`, `Taster ${at}`);
        const plain = cups[numberIn(seat, 'seat') - 1]?.cups.find(({ product }) => product === 1);
        await press(seat, plain?.code ?? '', `Taster ${at}`);
      }
      const result = await ask(`/tasting close number:${number}`);
      expect(result.title).toBe(title);
      expect(result.figures).toMatchObject({ assessors: 10, correct: 10 });
      expect(JSON.stringify(result.figures)).not.toMatch(/Infinity/);
    }
  });

  it('of a ranking puts them in order and says which differ', async () => {
    await ask('/tasting open kind:ranking compare:"none, light, heavy" tasters:8 quality:smoky');
    const cups = await cupsOf(1);
    for (let at = 0; at < 8; at += 1) {
      const seat = await ask('/tasting taste number:1', `Taster ${at}`);
      const own = cups[numberIn(seat, 'seat') - 1]?.cups ?? [];
      const codes = [2, 1, 0].map((product) => own.find((cup) => cup.product === product)?.code ?? '');
      await ask(`press:"v1|tasting.answer|1|${codes.join('.')}"`, `Taster ${at}`);
    }
    const result = await ask('/tasting close number:1');
    expect(result.title).toBe(
      '8 tasters ranked 3. There is a difference. Most smoky first: heavy, light and none.',
    );
    expect(result.lines).toContain('Clear: heavy before none. The rest may be luck.');
    // all agree: T = 24, 16, 8, so F = 16; p = 6 · 6^-8 as all six orders are alike (computed)
    expect(result.figures).toMatchObject({
      rankSums: [24, 16, 8],
      statistic: 16,
      p: expect.closeTo(6 / 6 ** 8, 8),
    });
  });
});

describe('tastings of the same question', () => {
  it('are read together, and it is said whether the kitchens differ', async () => {
    await ask(`/tasting close number:${await triangle(12, 7)} anyway:yes`);
    await ask(`/tasting close number:${await triangle(12, 7)} anyway:yes`);
    const list = await ask('/tasting list');
    // 13 would do for one tasting of 24; the second look takes half of the 5 %: P(X ≥ 13) is 0.028, P(X ≥ 14) 0.010
    expect(list.figures.pooled).toMatchObject([
      { tastings: [2, 1], assessors: 24, correct: 14, leastCorrect: 14 },
    ]);
    expect(list.lines[0]).toBe(
      '2 blind tastings together: Is there a difference between one wash and two washes? 14 of 24 picked the odd one. By guessing alone 8 would. There is a difference. The kitchens agree as far as can be told.',
    );
    await ask(`/tasting close number:${await triangle(24, 24)} anyway:yes`);
    expect((await ask('/tasting list')).lines[0]).toContain('The kitchens differ');
  });

  it('may name their products in another order', async () => {
    for (const [compare, wanted] of [
      ['smoked, plain', 0],
      ['Plain, Smoked', 1],
    ] as const) {
      const number = numberIn(
        await ask(`/tasting open kind:pair compare:"${compare}" quality:beefy tasters:6`),
        'tasting',
      );
      const cups = await cupsOf(number);
      for (let at = 0; at < 6; at += 1) {
        const seat = await ask(`/tasting taste number:${number}`, `Taster ${at}`);
        const smoked = cups[numberIn(seat, 'seat') - 1]?.cups.find(({ product }) => product === wanted);
        await press(seat, smoked?.code ?? '', `Taster ${at}`);
      }
      await ask(`/tasting close number:${number}`);
    }
    const [pooled] = [(await ask('/tasting list')).figures.pooled].flat();
    expect(pooled).toMatchObject({ assessors: 12, first: 0, second: 12, correct: 12 });
  });
});

describe('the weekly post', () => {
  const preview = (now: string) => talk.ask('/weekly preview', { as: 'Tansy', community, now });

  it('tells what the week’s tastings found, those of the same question together', async () => {
    await ask(`/tasting close number:${await triangle(12, 9)}`);
    const alone = await preview('2026-11-25T19:00:00Z');
    expect(alone.lines).toContain(
      'Blind tasting 1: Is there a difference between one wash and two washes? 9 of 12 picked the odd one. By guessing alone 4 would. There is a difference.',
    );
    expect(alone.lines[0]).toBe('This week: no batch to pool.');
    await ask(`/tasting close number:${await triangle(12, 6)}`);
    const together = await preview('2026-11-25T19:00:00Z');
    expect(together.lines).toContain(
      '2 blind tastings together: Is there a difference between one wash and two washes? 15 of 24 picked the odd one. By guessing alone 8 would. There is a difference. The kitchens agree as far as can be told.',
    );
    const later = await preview('2026-12-09T19:00:00Z');
    expect(later.lines.join(' ')).not.toContain('asting');
  });

  it('says nothing of a tasting that is open', async () => {
    await triangle(6, 6);
    const { lines } = await preview('2026-11-25T19:00:00Z');
    expect(lines.join(' ')).not.toContain('asting');
  });
});

describe('every reply', () => {
  it('is short enough for a phone', async () => {
    const opened = await ask(`${TRIANGLE} tasters:12`);
    const told = await ask('/tasting serve number:1', 'Sorrel');
    const seat = await ask('/tasting taste number:1', 'Bracken');
    const answered = await press(seat, codesOf(seat)[0] ?? '', 'Bracken');
    const closed = await ask('/tasting close number:1 anyway:yes');
    for (const reply of [opened, told, seat, answered, closed]) {
      if (reply.kind !== 'reply') throw new Error(JSON.stringify(reply));
      expect(wordsOf(reply), reply.title).toBeLessThanOrEqual(60);
    }
  });
});
