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

  it('refuses a form where somebody corrected the batch while it was open, and opens it again with what was typed', async () => {
    const bram = { as: 'Bram', platform: { ...anyChannel, losesForms: true } };
    await talk.ask(log('4 lb', '2 lb', 'minutes:180 note:old'), bram);
    const form = await talk.hear('/batch correct number:1', bram);
    await talk.ask('/batch correct number:1 note:meanwhile tallow:"1.5 lb"', { as: 'Odile', admin: true });
    const handedIn = Object.entries({ ...fieldsOf(form), taste: 'clean' })
      .map(([name, value]) => `${name}:"${value ?? ''}"`)
      .join(' ');
    const refused = await talk.refuse(`press:v1|batch.correct|1|0 ${handedIn}`, bram);
    expect(refused.title).toBe('Batch 1 was changed meanwhile');
    expect(refused.text).toMatch(/Nothing was saved\.$/);
    expect(refused.actions.map(({ label }) => label)).toEqual(['Open the form again']);
    const again = await talk.hear(`press:${refused.actions[0]?.id}`, bram);
    expect(again).toMatchObject({ kind: 'form', id: 'v1|batch.correct|1|1' });
    expect(fieldsOf(again)).toEqual({
      fat: '4 lb',
      tallow: '1 lb 8 oz',
      minutes: '180 min',
      taste: 'clean',
      note: 'meanwhile',
    });
  });

  it('lets one of two corrections that come at the same instant stand', async () => {
    await talk.ask(log('4 lb', '2 lb'));
    const outcomes = await Promise.all([
      talk.hear('/batch correct number:1 note:one'),
      talk.hear('/batch correct number:1 minutes:90'),
    ]);
    const kinds = outcomes.map(({ kind }) => kind).sort();
    const changes = numberIn(await talk.ask('/batch show number:1'), 'changes');
    // Either is read before the other is stored, or after.
    expect(kinds.filter((kind) => kind === 'reply')).toHaveLength(changes);
    expect(changes).toBeGreaterThan(0);
  });

  it.each(['fat:"3 lb"', 'note:between'])(
    'keeps no doubtful weights where %s was corrected after the question',
    async (other) => {
      await talk.ask(log('4 lb', '2 lb'));
      const question = await talk.ask('/batch correct number:1 tallow:"3.4 lb"');
      await talk.ask(`/batch correct number:1 ${other}`);
      const refused = await talk.refuse(`press:${question.actions[0]?.id}`);
      expect(refused.title).toBe('Batch 1 was changed meanwhile');
      expect(refused.text).toMatch(/Nothing was saved\.$/);
      const form = await talk.hear(`press:${refused.actions[0]?.id}`);
      expect(fieldsOf(form)).toMatchObject({ tallow: '2 lb' });
    },
  );

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
      expect(form).toMatchObject({ kind: 'form', id: 'v1|batch.correct|1|1' });
      expect(fieldsOf(form)).toMatchObject({ [name]: value, note: 'a long account', minutes: '180 min' });
      const saved = await talk.ask('press:v1|batch.correct|1|1 minutes:"180 min" note:"a long account"');
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
