import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Reply } from '../../src/chat/reply.js';
import { cannotTakeHeat, mayHoldPressure } from '../../src/kitchen/vessel-names.js';
import { numberIn, openTalk, type Talk } from '../support/talk.js';

let talk: Talk;
beforeAll(async () => {
  talk = await openTalk();
});
afterAll(() => talk.close());

const said = (reply: Reply) => reply.lines.join('\n');
const METHODS = ['open-pot', 'pressure', 'slow-cooker', 'stovetop-dry', 'oven', 'smoker'];

// USDA FSIS, Slow Cookers and Food Safety; Food Code 3-501.13: thaw first, in the cold.
describe('frozen fat', () => {
  it.each(METHODS)('is thawed first for method:%s, whatever the temperature was said in', async (method) => {
    for (const temperature of ['0 F', '-18 C', '0 C']) {
      const options = `fat:"2 lb" method:${method} fat-temperature:"${temperature}"`;
      const plan = await talk.ask(`/plan ${options}`);
      expect(said(plan)).toMatch(/: Thaw\. In the refrigerator/);
      const water = await talk.ask(`/water ${options}`);
      expect(said(water)).toContain('Thaw it first');
      for (const reply of [plan, water])
        expect(said(reply)).not.toContain('fat-temperature makes no difference');
    }
    expect(said(await talk.ask(`/plan fat:"2 lb" method:${method} fat-temperature:"38 F"`))).not.toContain(
      ': Thaw.',
    );
  });
});

// USDA FSIS, Danger Zone: two hours out of the cold in all, one above 90 °F.
describe('warm fat', () => {
  it.each(['/water', '/plan'])('is asked about by %s: how long it has been', async (command) => {
    for (const temperature of ['60 F', '95 F', '20 C']) {
      const reply = await talk.ask(`${command} fat:"2 lb" fat-temperature:"${temperature}"`);
      expect(said(reply)).toMatch(/How long has the fat been warm\?.* two hours .* one hour above 90 °F/);
    }
    expect(said(await talk.ask(`${command} fat:"2 lb" fat-temperature:"38 F"`))).not.toContain('been warm');
    const metric = await talk.ask(`${command} fat:1kg fat-temperature:"20 C" unit:metric`);
    expect(said(metric)).toContain('32 °C (90 °F)');
  });
});

// Boiling points by IAPWS-IF97 and ISO 2533: 99.97 °C at the sea (200 °F there, a round figure), 94.6 °C at 5,280 ft, 85.7 °C at 14,000 ft; our margin 10 °F.
describe('fat hotter than water boils there', () => {
  it.each([
    ['', 93, 95],
    ['altitude:"5280 ft"', 88, 90],
    ['altitude:"14000 ft"', 79, 81],
  ])('is given no water: %s', async (where, cool, hot) => {
    for (const method of METHODS) {
      const options = `fat:"2 lb" method:${method} ${where}`;
      const refusal = await talk.refuse(`/water ${options} fat-temperature:"${hot} C"`);
      expect(refusal.title).toContain('too hot for water');
      await talk.ask(`/water ${options} fat-temperature:"${cool} C"`);
    }
  });
});

describe('the water of a long render', () => {
  it('is never both enough and dry', async () => {
    for (const line of [
      '/water fat:"4 lb" burner:"1800 W" burner-kind:electric',
      '/water fat:"1 lb"',
      '/water fat:"2.5 lb" vessel:"8 qt"',
      '/plan fat:"3 lb" burner:"5 kW"',
    ]) {
      const reply = await talk.ask(line);
      const low = reply.figures.dryAtLowMinutes;
      if (typeof low === 'number' && low < numberIn(reply, 'minutes'))
        expect(said(reply)).not.toContain('no need to top up');
      expect(said(reply)).not.toMatch(/no need to top up.*dry after/);
    }
  });

  it('is looked after under pressure too', async () => {
    for (const command of ['/water', '/plan'])
      expect(said(await talk.ask(`${command} fat:"2 lb" method:pressure minutes:"8 h"`))).toContain(
        'let the pressure fall and look',
      );
  });

  it('starts in a slow cooker with one amount', async () => {
    const reply = await talk.ask('/water fat:"4 lb" method:slow-cooker');
    expect(said(reply)).not.toContain('about a cup instead');
    // 6 to 10 hours: common practice, no source.
    expect(numberIn(reply, 'minutes')).toBe(480);
    expect(numberIn(reply, 'minutesLow')).toBe(360);
  });
});

// A common limit of a quarter cup of fat under pressure (cookery instruction page).
it('says of a pressure cooker how many times the quarter cup a load makes', async () => {
  const reply = await talk.ask('/water fat:"3 lb" method:pressure vessel:"12 qt"');
  const cups = numberIn(reply, 'tallowHighMl') / numberIn(reply, 'loads') / 236.5882365;
  expect(numberIn(reply, 'fatLimitTimesHigh')).toBe(Math.round(cups / 0.25));
  expect(said(reply)).toContain(
    `${numberIn(reply, 'fatLimitTimesLow')} to ${numberIn(reply, 'fatLimitTimesHigh')} times`,
  );
});

it('says nothing of what too short a render gives', async () => {
  expect(said(await talk.ask('/water fat:"4 lb" minutes:"30 min"'))).not.toContain('Expect');
});

it('never asks for as much power as is too little', async () => {
  const refusal = await talk.refuse(
    '/water fat:"30 lb" vessel:"80 qt" burner:"1800 W" burner-kind:induction',
  );
  const [, had, needed] = /faster than (\d+) W.* more than (\d+) W/.exec(refusal.text) ?? [];
  if (had !== undefined) expect(Number(needed)).toBeGreaterThan(Number(had));
});

// Common practice, no source: what cracks or melts, and what locks.
describe('vessels by their names', () => {
  it.each(['glass jar', 'mason jar', 'plastic tub', 'glass bowl', 'wooden bucket', 'freezer bag'])(
    'none is kept that cannot take heat: %s',
    async (name) => {
      expect(cannotTakeHeat(name)).toBe(true);
      for (const kind of ['', 'kind:pot'])
        expect((await talk.refuse(`/kit add vessel:"${name}" capacity:"2 qt" ${kind}`)).text).toContain(
          'crack or melt',
        );
    },
  );

  it.each(['canner', 'multi cooker', 'multicooker', 'instant', 'electric cooker', 'my cooker'])(
    'what may lock is asked about: %s',
    async (name) => {
      expect(mayHoldPressure(name)).toBe(true);
      expect((await talk.refuse(`/kit add vessel:"${name}" capacity:"16 qt"`)).text).toContain(
        'kind:pressure-cooker',
      );
    },
  );

  it.each(['stock pot', 'cast iron', 'pot with glass lid', 'roaster', 'kettle', 'turkey fryer'])(
    'others are pots: %s',
    async (name) => {
      expect(cannotTakeHeat(name) || mayHoldPressure(name)).toBe(false);
    },
  );

  it('one that may lock is half full at most under pressure, and as a pot never locked', async () => {
    const cook = { as: 'Sorrel' };
    await talk.ask('/kit add vessel:canner capacity:"16 qt" kind:pressure-cooker', cook);
    const shut = await talk.ask('/water fat:"4 lb" vessel:canner', cook);
    expect(said(shut)).toContain('half full at most');
    const kept = await talk.ask('/kit add vessel:canner capacity:"16 qt" kind:pot', cook);
    expect(said(kept)).toContain('never locked');
    expect(said(await talk.ask('/water fat:"4 lb" vessel:canner', cook))).toContain('never lock it');
  });

  it('a small batch gets the smallest that fits, and none that is far too large', async () => {
    const cook = { as: 'Tansy' };
    await talk.ask('/kit add vessel:"big pot" capacity:"12 qt"', cook);
    const alone = await talk.ask('/plan tallow:"1 cup"', cook);
    expect(numberIn(alone, 'potMl')).toBeLessThan(6 * 946);
    await talk.ask('/kit add vessel:"small pot" capacity:"4 qt"', cook);
    const reply = await talk.ask('/water fat:"1.25 lb"', cook);
    expect(numberIn(reply, 'potMl')).toBeCloseTo(4 * 946.35, -1);
    expect(Number(reply.figures.dryAtMinutes)).toBeGreaterThan(60);
  });
});

// USDA FSIS, Danger Zone: two hours out of the cold in all.
describe('a note that tells of a danger', () => {
  it.each([
    ['stood out all night before I cooked it', 'stand out 2 hours in all'],
    ['left it on the counter overnight', 'stand out 2 hours in all'],
    ['the fridge died on Sunday', 'stand out 2 hours in all'],
    ['smelled rancid', 'throw it out'],
    ['a bit slimy', 'throw it out'],
    ['boiled over and caught fire', '/burn and /fire'],
  ])('gets a word: %s', async (note, words) => {
    const reply = await talk.ask(
      `/batch log fat:"${1000 + note.length} g" tallow:"450 g" method:open-pot cut:ground minutes:180 note:"${note}"`,
    );
    expect(`${said(reply)} ${reply.caution?.text}`).toContain(words);
  });

  it('is none of what is usual', async () => {
    const reply = await talk.ask(
      '/batch log fat:"3 kg" tallow:"1.4 kg" method:open-pot cut:ground minutes:180 note:"clear and white, scraped well"',
    );
    expect(said(reply)).not.toContain('Your note');
  });
});

// USDA SR Legacy, NDB 13335: suet is 94 % fat.
it('does not doubt of suet what it would doubt of trimmings', async () => {
  const line = '/batch log fat:"1 kg" tallow:"820 g" method:open-pot cut:ground minutes:180';
  expect((await talk.ask(line)).title).toContain('is that right?');
  expect((await talk.ask(`${line} kind:suet`)).title).not.toContain('is that right?');
});
