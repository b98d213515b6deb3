import { afterAll, beforeEach, describe, expect, it } from 'vitest';
import type { Outcome } from '../../src/chat/command.js';
import { anyChannel, numberIn, openTalk, type Talk } from '../support/talk.js';

let talk: Talk;
beforeEach(async () => {
  await talk?.close();
  talk = await openTalk();
});
afterAll(() => talk.close());

const log = (fat: string, tallow: string, rest = '') =>
  `/batch log fat:"${fat}" tallow:"${tallow}" method:open-pot cut:ground ${rest}`;

const fieldsOf = (outcome: Outcome) =>
  outcome.kind === 'form' ? Object.fromEntries(outcome.fields.map(({ name, value }) => [name, value])) : {};

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

describe('/batch correct', () => {
  it('changes what is named, keeps the rest, and remembers what was there before', async () => {
    await talk.ask(log('4 lb 8 oz', '2 lb 4 oz', 'minutes:180 note:"first try"'));
    const reply = await talk.ask('/batch correct number:1 tallow:"2 lb"');
    expect(numberIn(reply, 'yield')).toBeCloseTo(2 / 4.5, 12);
    expect(numberIn(reply, 'changes')).toBe(1);
    const shown = await talk.ask('/batch show number:1');
    expect(numberIn(shown, 'minutes')).toBe(180);
    const words = shown.lines.join('\n');
    expect(words).toContain('first try');
    expect(words).toContain('tallow: 2 lb 4 oz (1.021 kg) → 2 lb (907 g)');
  });

  it('opens a form, filled in, when nothing is named, and takes what is handed in', async () => {
    await talk.ask(log('2 kg', '900 g', 'note:"brisket | trim"'));
    const form = await talk.hear('/batch correct number:1');
    expect(form).toMatchObject({ kind: 'form', id: 'v1|batch.correct|1|0' });
    const fields = form.kind === 'form' ? form.fields : [];
    expect(fields.find(({ name }) => name === 'fat')?.value).toBe('2000 g');
    const reply = await talk.ask('press:v1|batch.correct|1 fat:"2 kg" tallow:"1 kg" note:"weighed again"');
    expect(numberIn(reply, 'yield')).toBeCloseTo(0.5, 12);
  });

  it('leaves what the form does not hand in, or hands in as it was filled in, as it stands', async () => {
    await talk.ask(log('4 lb 8 oz', '2 lb 4 oz', 'minutes:150 taste:"clean, beefy" note:trim'));
    await talk.ask('press:v1|batch.correct|1 fat:"4 lb 8 oz" tallow:"1 kg"');
    const shown = await talk.ask('/batch show number:1');
    expect(numberIn(shown, 'fatG')).toBeCloseTo(2041.1657, 3);
    expect(numberIn(shown, 'tallowG')).toBe(1000);
    expect(numberIn(shown, 'minutes')).toBe(150);
    expect(shown.lines.join('\n')).toContain('Taste: clean, beefy\nNote: trim');
    const changes = shown.lines.filter((line) => line.startsWith('·'));
    expect(changes).toEqual(['· tallow: 2 lb 4 oz (1.021 kg) → 2 lb 3.3 oz (1 kg)']);
  });

  it('clears what the form hands in empty', async () => {
    await talk.ask(log('2 kg', '900 g', 'minutes:150 taste:clean note:trim'));
    await talk.ask('press:v1|batch.correct|1 fat:"2000 g" tallow:"900 g" minutes:"" taste:"" note:""');
    const shown = (await talk.ask('/batch show number:1')).lines.join('\n');
    expect(shown).not.toMatch(/^(Time|Taste|Note):/m);
    expect(shown).toContain('· time: 2 h 30 min → none');
  });

  it.each([
    ['note:"" minutes:"" water:"" taste:""', /^(Time|Taste|Note|Water):/m],
    ['clear:note', /^Note:/m],
    ['clear:water', /^Water:/m],
    ['clear:taste', /^Taste:/m],
    ['clear:minutes', /^Time:/m],
  ])('clears with %s', async (how, gone) => {
    await talk.ask(log('2 kg', '900 g', 'water:"2 L" minutes:150 taste:clean note:trim'));
    expect((await talk.ask('/batch show number:1')).lines.join('\n')).toMatch(gone);
    await talk.ask(`/batch correct number:1 ${how}`);
    expect((await talk.ask('/batch show number:1')).lines.join('\n')).not.toMatch(gone);
  });

  it('does not clear what every batch has, nor what is given a value at once', async () => {
    await talk.ask(log('2 kg', '900 g'));
    expect((await talk.refuse('/batch correct number:1 fat:"" note:new')).text).toContain(
      'Fat cannot be empty',
    );
    expect((await talk.refuse('press:v1|batch.correct|1 tallow:""')).text).toContain(
      'Tallow cannot be empty',
    );
    expect((await talk.refuse('/batch correct number:1 clear:note note:new')).text).toContain(
      'one or the other',
    );
  });

  it('does not record a correction that changes nothing, and says so', async () => {
    await talk.ask(log('2 kg', '900 g', 'note:trim'));
    const unchanged = await talk.ask('/batch correct number:1 fat:"2 kg" note:trim');
    expect(unchanged.title).toBe('Batch 1 stays as it is');
    const sameDay = await talk.ask('/batch correct number:1 date:today', { now: '2026-11-25T20:00:00Z' });
    expect(sameDay.title).toBe('Batch 1 stays as it is');
    const handedIn = await talk.ask('press:v1|batch.correct|1 fat:"2000 g" tallow:"900 g" note:trim');
    expect(handedIn.title).toBe('Batch 1 stays as it is');
    const shown = await talk.ask('/batch show number:1');
    expect(numberIn(shown, 'changes')).toBe(0);
    expect(shown.lines.join(' ')).not.toContain('Corrected');
    expect((await talk.ask('/batch correct number:1 note:new')).title).toBe('Batch 1 is corrected');
    expect(numberIn(await talk.ask('/batch show number:1'), 'changes')).toBe(1);
  });

  it('answers a correction that comes twice alike', async () => {
    await talk.ask(log('2 kg', '900 g'));
    const [first, second] = [
      await talk.ask('/batch correct number:1 tallow:800g', { interaction: 'same' }),
      await talk.ask('/batch correct number:1 tallow:800g', { interaction: 'same' }),
    ];
    expect(second).toEqual(first);
    expect(numberIn(second, 'changes')).toBe(1);
  });

  it('names the day unless that is today, in the community’s zone', async () => {
    await talk.ask('/settings weekly channel:#rendering day:sunday hour:18 zone:auckland', { admin: true });
    await talk.ask(log('2 kg', '900 g'));
    const moved = await talk.ask('/batch correct number:1 date:2026-11-20');
    expect(moved.lines).toContain('Weighed on Friday, 20 November 2026.');
    const back = await talk.ask('/batch correct number:1 date:today');
    expect(back.lines.join(' ')).not.toContain('Weighed on');
    // Thursday has begun in Auckland, and its noon is still Wednesday in UTC.
    expect((await talk.ask('/batch show number:1')).lines).toContain('· day: 2026-11-26 → 2026-11-20');
  });

  it('does not take back with a form what somebody corrected while it was open', async () => {
    await talk.ask(log('4 lb', '2 lb', 'minutes:180 note:old'), { as: 'Bram' });
    const form = await talk.hear('/batch correct number:1', { as: 'Bram' });
    await talk.ask('/batch correct number:1 note:meanwhile tallow:"1.5 lb"', { as: 'Odile', admin: true });
    const shown =
      form.kind === 'form' ? form.fields.map(({ name, value }) => `${name}:"${value ?? ''}"`) : [];
    const handedIn = shown.map((field) => (field.startsWith('taste:') ? 'taste:clean' : field)).join(' ');
    const id = form.kind === 'form' ? form.id : '';
    const reply = await talk.ask(`press:${id} ${handedIn}`, { as: 'Bram' });
    expect(reply.lines).toContain('taste: not said → clean');
    const after = (await talk.ask('/batch show number:1')).lines.join('\n');
    expect(after).toContain('Note: meanwhile');
    expect(after).toContain('Tallow: 1 lb 8 oz');
    expect(after).toContain('Taste: clean');
  });

  it('does not take back with a kept question what was corrected after it was asked', async () => {
    await talk.ask(log('4 lb', '2 lb'));
    const question = await talk.ask('/batch correct number:1 tallow:"3.4 lb"');
    await talk.ask('/batch correct number:1 note:between minutes:180');
    await talk.ask(`press:${question.actions[0]?.id}`);
    const after = (await talk.ask('/batch show number:1')).lines.join('\n');
    expect(after).toContain('Tallow: 3 lb 6.4 oz');
    expect(after).toContain('Note: between');
    expect(after).toContain('Time: 3 h');
  });

  it('asks anew where the weights were corrected after the question', async () => {
    await talk.ask(log('4 lb', '2 lb'));
    const question = await talk.ask('/batch correct number:1 tallow:"3.4 lb"');
    await talk.ask('/batch correct number:1 fat:"3 lb"');
    const refused = await talk.refuse(`press:${question.actions[0]?.id}`);
    expect(refused.title).toBe('Batch 1 was changed meanwhile');
    expect(refused.text).toMatch(/Nothing was saved\.$/);
    const form = await talk.hear(`press:${refused.actions[0]?.id}`);
    expect(fieldsOf(form)).toMatchObject({ fat: '3 lb', tallow: '2 lb' });
  });

  it.each([
    ['taste:lovely', 'is not one of clean', 'taste', 'lovely'],
    ['tallow:"1.95 kg"', 'no raw fat holds more', 'tallow', '1.95 kg'],
    ['tallow:"1.6 kg"', 'Nothing is saved yet', 'tallow', '1.6 kg'],
  ])(
    'opens the form again with all that was typed where %s cannot be saved',
    async (typed, why, name, value) => {
      await talk.ask(log('2 kg', '900 g', 'minutes:150'));
      const answer = await talk.hear(`press:v1|batch.correct|1|0 ${typed} note:"a long account"`, {
        platform: { ...anyChannel, losesForms: true },
      });
      if (answer.kind === 'form') throw new Error('a form answers a form');
      const words = answer.kind === 'refusal' ? answer.text : answer.lines.join(' ');
      if (answer.kind === 'reply') expect(answer.audience).toBe('only you');
      expect(words).toContain(why);
      expect(words).toContain('Nothing');
      const again = answer.actions.find(({ label }) => label === 'Open the form again');
      await talk.ask('/batch correct number:1 minutes:180');
      expect((await talk.refuse(`press:${again?.id}`, { as: 'Odile', admin: true })).title).toBe(
        'Not your form',
      );
      const form = await talk.hear(`press:${again?.id}`);
      expect(form).toMatchObject({ kind: 'form', id: 'v1|batch.correct|1|0' });
      expect(fieldsOf(form)).toMatchObject({ [name]: value, note: 'a long account', minutes: '150 min' });
      const saved = await talk.ask('press:v1|batch.correct|1|0 minutes:"150 min" note:"a long account"');
      expect(saved.lines).toContain('note: none → “a long account”');
      expect(numberIn(await talk.ask('/batch show number:1'), 'minutes')).toBe(180);
    },
  );

  it.each([
    ['4 lb 8 oz', '2.3 lb', '4 lb 8 oz', '2 lb 4.8 oz'],
    ['12 oz', '6.25 oz', '12 oz', '6.25 oz'],
    ['2 kg', '900.5 g', '2000 g', '900.5 g'],
    ['2 kg', '1 lb 12 oz', '2000 g', '1 lb 12 oz'],
  ])('fills the form in with %s and %s as they were given', async (fat, tallow, shownFat, shownTallow) => {
    await talk.ask(log(fat, tallow));
    const form = await talk.hear('/batch correct number:1');
    expect(fieldsOf(form)).toMatchObject({ fat: shownFat, tallow: shownTallow });
  });

  it('says in the form what a bare number is and that a note is one line', async () => {
    await talk.ask(log('2 kg', '900 g'));
    const form = await talk.hear('/batch correct number:1');
    const labels = form.kind === 'form' ? form.fields.map(({ label }) => label) : [];
    expect(labels).toContain('Rendering time; a bare number is minutes');
    expect(labels).toContain('Anything worth remembering, on one line');
  });

  it('says that there is nothing to take out where there is nothing', async () => {
    await talk.ask(log('2 kg', '900 g', 'note:trim'));
    const nothing = 'It says nothing under “Water”, so there is nothing to take out.';
    const unchanged = await talk.ask('/batch correct number:1 clear:water');
    expect(unchanged.title).toBe('Batch 1 stays as it is');
    expect(unchanged.lines).toContain(nothing);
    expect((await talk.ask('/batch correct number:1 clear:water minutes:90')).lines).toContain(nothing);
    const cleared = await talk.ask('/batch correct number:1 clear:note');
    expect(cleared.lines.join(' ')).not.toContain('nothing');
  });

  it('tells two values apart that are spelt alike', async () => {
    await talk.ask(log('4 lb 5.3 oz', '2 lb', 'minutes:95'));
    const time = await talk.ask('/batch correct number:1 minutes:95.4');
    expect(time.lines).toContain('time: 95 min → 95.4 min');
    const fat = await talk.ask('/batch correct number:1 fat:"1965 g"');
    expect(fat.lines).toContain('raw fat: 1964.6 g → 1965 g');
  });

  it('says what it corrected, and tells the latest correction first', async () => {
    await talk.ask(log('4 lb', '2 lb', 'minutes:180'));
    const reply = await talk.ask('/batch correct number:1 minutes:4');
    expect(reply.lines).toContain('time: 3 h → 4 min');
    await talk.ask('/batch correct number:1 note:short');
    const history = (await talk.ask('/batch show number:1')).lines.filter((line) => line.startsWith('·'));
    expect(history).toEqual(['· note: none → “short”', '· time: 3 h → 4 min']);
  });

  it('shortens a long name, not what stands behind it', async () => {
    const as = '🥩'.repeat(32);
    await talk.ask('/batch log fat:1kg tallow:500g method:pressure cut:ground', { as });
    const reply = await talk.ask('/batch correct number:1 note:x', { as });
    expect(reply.lines[0]).toMatch(/^Batch 1: 🥩+…, Pressure cooker, wet, ground, 50 %$/u);
  });

  it('does not ask again about weights that were kept before', async () => {
    const question = await talk.ask(log('1 kg', '800 g'));
    await talk.ask(`press:${question.actions[0]?.id}`);
    expect((await talk.ask('/batch correct number:1 note:suet')).title).toBe('Batch 1 is corrected');
  });

  it('is for the one who logged it, or somebody who may manage the community', async () => {
    await talk.ask(log('2 kg', '900 g'), { as: 'Bram' });
    expect((await talk.refuse('/batch correct number:1 tallow:1kg', { as: 'Odile' })).text).toContain('Bram');
    expect(
      (await talk.refuse('press:v1|batch.correct|1 fat:2kg tallow:1kg', { as: 'Odile' })).text,
    ).toContain('Bram');
    await talk.ask('/batch correct number:1 tallow:1kg', { as: 'Odile', admin: true });
    await talk.ask('/batch correct number:1 tallow:"950 g"', { as: 'Bram' });
  });

  it('refuses a number that is not there, and numbers of other communities', async () => {
    await talk.ask(log('2 kg', '900 g'));
    expect((await talk.refuse('/batch correct number:2 tallow:1kg')).text).toContain('no batch 2');
    expect((await talk.refuse('/batch show number:1', { community: 'elsewhere' })).text).toContain(
      'no batch 1',
    );
  });

  it('holds a correction to the same limits as a batch', async () => {
    await talk.ask(log('2 kg', '900 g'));
    await talk.refuse('/batch correct number:1 tallow:"1.95 kg"');
    const question = await talk.ask('/batch correct number:1 tallow:"1.6 kg"');
    expect(question.title).toContain('is that right');
    await talk.ask(`press:${question.actions[0]?.id}`);
    expect(numberIn(await talk.ask('/batch show number:1'), 'yield')).toBeCloseTo(0.8, 12);
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
