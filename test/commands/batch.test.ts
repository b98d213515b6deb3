import { afterAll, beforeEach, describe, expect, it } from 'vitest';
import { numberIn, openTalk, type Talk } from '../support/talk.js';

let talk: Talk;
beforeEach(async () => {
  await talk?.close();
  talk = await openTalk();
});
afterAll(() => talk.close());

const log = (fat: string, tallow: string, rest = '') =>
  `/batch log fat:"${fat}" tallow:"${tallow}" method:open-pot cut:ground ${rest}`;

describe('/batch log', () => {
  it('answers with the yield, tallow over raw fat', async () => {
    const reply = await talk.ask(log('4 lb 8 oz', '2 lb 4 oz'));
    expect(numberIn(reply, 'batch')).toBe(1);
    expect(numberIn(reply, 'yield')).toBeCloseTo(0.5, 12);
    expect(reply.title).toBe('Batch 1: 50 %');
  });

  it('numbers batches 1, 2, 3 within each community', async () => {
    await talk.ask(log('4 lb', '2 lb'));
    expect(numberIn(await talk.ask(log('4 lb', '1.9 lb')), 'batch')).toBe(2);
    expect(numberIn(await talk.ask(log('4 lb', '2 lb'), { community: 'elsewhere' }), 'batch')).toBe(1);
  });

  it('gives each its own number, without a gap, when many cooks log at once', async () => {
    const cooks = Array.from({ length: 8 }, (_, at) => ({ as: `Cook ${at}` }));
    const logged = await Promise.all(cooks.map((cook) => talk.ask(log('4 lb', '2 lb'), cook)));
    expect(logged.map((reply) => numberIn(reply, 'batch')).sort()).toEqual([1, 2, 3, 4, 5, 6, 7, 8]);
  });

  it('says how it stands against others of the same method and cut, and against nothing else', async () => {
    await talk.ask(log('1 kg', '400 g'), { as: 'Bram' });
    await talk.ask(log('1 kg', '500 g'), { as: 'Odile' });
    await talk.ask('/batch log fat:1kg tallow:200g method:open-pot cut:cubed', { as: 'Odile' });
    const reply = await talk.ask(log('2 kg', '1 kg'));
    expect(numberIn(reply, 'othersYield')).toBeCloseTo(0.45, 12);
    expect(numberIn(reply, 'othersBatches')).toBe(2);
    expect(reply.lines.join(' ')).toContain('5 points more than the 45 % of 2 other batches from 2 members');
  });

  it('refuses more tallow than any fat holds', async () => {
    const refusal = await talk.refuse(log('1 kg', '960 g'));
    expect(refusal.text).toContain('94 %');
    expect(refusal.text).toContain('Nothing was saved');
    expect(numberIn(await talk.ask('/batch list'), 'batches')).toBe(0);
  });

  it('asks before keeping more than trimmings usually hold, and keeps it once however often it is confirmed', async () => {
    const question = await talk.ask(log('1 kg', '800 g'));
    expect(numberIn(await talk.ask('/batch list'), 'batches')).toBe(0);
    const id = question.actions[0]?.id ?? '';
    expect((await talk.refuse(`press:${id}`, { as: 'Somebody else' })).title).toBe('Not your batch');
    const kept = await talk.ask(`press:${id}`);
    const again = await talk.ask(`press:${id}`);
    expect(numberIn(kept, 'yield')).toBeCloseTo(0.8, 12);
    expect(numberIn(again, 'batch')).toBe(numberIn(kept, 'batch'));
    expect(numberIn(await talk.ask('/batch list'), 'batches')).toBe(1);
  });

  it('asks before keeping next to nothing, which is a slip more often than a render', async () => {
    const question = await talk.ask(log('1 kg', '50 g'));
    expect(question.title).toBe('5 %: is that right?');
    expect(question.lines.join(' ')).toContain('wrong unit');
    expect(numberIn(await talk.ask('/batch list'), 'batches')).toBe(0);
    await talk.ask(`press:${question.actions[0]?.id}`);
    expect(numberIn(await talk.ask('/batch list'), 'batches')).toBe(1);
  });

  it('tells only the one who presses again', async () => {
    const question = await talk.ask(log('1 kg', '800 g'));
    const press = `press:${question.actions[0]?.id}`;
    expect((await talk.ask(press)).audience).toBe('everyone');
    await talk.ask('/batch correct number:1 note:since');
    const again = await talk.ask(press);
    expect(again.audience).toBe('only you');
    expect(again.title).toBe('Batch 1 is kept already');
  });

  it('keeps to see where a note was broken into lines, as long as there is room', async () => {
    await talk.ask(log('1 kg', '400 g', 'note:"line one \n\n line two\n"'));
    expect((await talk.ask('/batch show number:1')).lines).toContain('Note: line one / line two');
    await talk.ask(log('1 kg', '410 g', `note:"${'x'.repeat(149)}\n${'y'.repeat(150)}"`));
    const full = (await talk.ask('/batch show number:2')).lines;
    expect(full).toContain(`Note: ${'x'.repeat(149)} ${'y'.repeat(150)}`);
  });

  it('refuses a day that is still to come', async () => {
    expect((await talk.refuse(log('1 kg', '400 g', 'date:2027-01-01'))).text).toContain('still to come');
  });

  it('asks which day a date means that can be read two ways, and saves nothing', async () => {
    const refusal = await talk.refuse(log('1 kg', '400 g', 'date:"04/11/2026"'));
    expect(refusal.text).toContain('Write 2026-11-04 or 2026-04-11.');
    expect(numberIn(await talk.ask('/batch list'), 'batches')).toBe(0);
  });

  it('names the day it was weighed unless that is today', async () => {
    const earlier = await talk.ask(log('1 kg', '400 g', 'date:"24/11/2026"'));
    expect(earlier.lines).toContain('Weighed on Tuesday, 24 November 2026.');
    expect((await talk.ask(log('1 kg', '400 g'))).lines.join(' ')).not.toContain('Weighed on');
  });

  it('says by how much it differs so that the numbers shown add up', async () => {
    await talk.ask(log('1000 g', '464 g'));
    const reply = await talk.ask(log('1000 g', '486 g'));
    expect(reply.title).toBe('Batch 2: 49 %');
    expect(reply.lines.join(' ')).toContain('3 points more than the 46 %');
    const near = await talk.ask('/batch log fat:1kg tallow:464g method:oven cut:ground');
    expect(near.title).toBe('Batch 3: 46 %');
    const same = await talk.ask('/batch log fat:1kg tallow:456g method:oven cut:ground');
    expect(same.lines.join(' ')).toContain('about the same as the 46 %');
  });

  it('refuses a taste it does not know', async () => {
    expect((await talk.refuse(log('1 kg', '400 g', 'taste:"clean, lovely"'))).text).toContain('lovely');
  });

  it('logs a repeated interaction once', async () => {
    const first = await talk.ask(log('1 kg', '400 g'), { interaction: 'same' });
    const second = await talk.ask(log('1 kg', '400 g'), { interaction: 'same' });
    expect(numberIn(second, 'batch')).toBe(numberIn(first, 'batch'));
    const [third, fourth] = await Promise.all([
      talk.ask(log('1 kg', '410 g'), { interaction: 'at once' }),
      talk.ask(log('1 kg', '410 g'), { interaction: 'at once' }),
    ]);
    expect(numberIn(third, 'batch')).toBe(numberIn(fourth, 'batch'));
    expect(numberIn(await talk.ask('/batch list'), 'batches')).toBe(2);
    expect(numberIn(await talk.ask(log('1 kg', '420 g')), 'batch')).toBe(3);
  });
});

describe('/batch remove', () => {
  it('takes it out of lists and figures and never gives its number away', async () => {
    await talk.ask(log('2 kg', '900 g'));
    await talk.ask('/batch remove number:1');
    expect(numberIn(await talk.ask('/batch list'), 'batches')).toBe(0);
    expect(numberIn(await talk.ask('/yield pooled'), 'batches')).toBe(0);
    expect((await talk.refuse('/batch show number:1')).text).toContain('no batch 1');
    expect(numberIn(await talk.ask(log('2 kg', '900 g')), 'batch')).toBe(2);
  });

  it('is not for others', async () => {
    await talk.ask(log('2 kg', '900 g'), { as: 'Bram' });
    await talk.refuse('/batch remove number:1', { as: 'Odile' });
    await talk.ask('/batch remove number:1', { as: 'Odile', admin: true });
  });
});

describe('/batch list', () => {
  it('shows the newest first, by day, and counts those it leaves out', async () => {
    for (let day = 1; day <= 25; day++) {
      await talk.ask(log('2 kg', '900 g', `date:2026-10-${String(day).padStart(2, '0')}`));
    }
    const reply = await talk.ask('/batch list');
    expect(reply.title).toBe('The newest 20 of 25 batches');
    expect(reply.figures.numbers).toEqual(Array.from({ length: 20 }, (_, at) => 25 - at));
  });

  it('names a cook as they are called now, in batches from before too', async () => {
    await talk.ask(log('2 kg', '900 g'), { as: 'A1', called: 'Ann' });
    await talk.ask(log('3 kg', '1 kg'), { as: 'A1', called: 'Annette' });
    const { table } = await talk.ask('/batch list');
    expect(table?.rows.flat().filter((cell) => cell.startsWith('Ann'))).toEqual(['Annette', 'Annette']);
    expect((await talk.ask('/batch show number:1')).lines.join()).not.toMatch(/Ann\b/);
  });

  it.each([
    ['W'.repeat(32), `${'W'.repeat(13)}…`],
    ['👩‍🍳'.repeat(8), `${'👩‍🍳'.repeat(6)}…`],
    ['Bartholomew II', 'Bartholomew II'],
  ])('shows %s within a narrow column', async (as, shown) => {
    await talk.ask(log('2 kg', '900 g'), { as });
    expect((await talk.ask('/batch list')).table?.rows[0]?.[1]).toBe(shown);
  });

  it('can be narrowed to one’s own, a method, a cut', async () => {
    await talk.ask(log('2 kg', '900 g'), { as: 'Bram' });
    await talk.ask('/batch log fat:2kg tallow:400g method:oven cut:cubed');
    expect((await talk.ask('/batch list whose:mine')).figures.numbers).toEqual([2]);
    expect((await talk.ask('/batch list method:oven')).figures.numbers).toEqual([2]);
    expect((await talk.ask('/batch list cut:ground')).figures.numbers).toEqual([1]);
  });

  it('says what there is none of, and speaks of the first batch only where there is none at all', async () => {
    const none = await talk.ask('/batch list method:smoker');
    expect(none.title).toBe('No batches yet');
    await talk.ask(log('2 kg', '900 g'), { as: 'Bram' });
    const noSmoker = await talk.ask('/batch list method:smoker');
    expect(noSmoker.title).toBe('No smoker batches yet');
    expect(noSmoker.lines.join(' ')).not.toContain('first');
    expect((await talk.ask('/batch list whose:mine')).title).toBe('No batches of yours yet');
    expect((await talk.ask('/batch list whose:mine method:oven cut:cubed')).title).toBe(
      'No oven, cubed batches of yours yet',
    );
  });
});
