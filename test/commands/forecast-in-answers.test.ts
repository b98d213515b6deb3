import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { EXPECTED_YIELD, fatInRawG } from '../../src/cooking/blends/tallow.js';
import { storeBatches } from '../support/stored-batches.js';
import { numberIn, openTalk, type Talk } from '../support/talk.js';

const [GROUND, OVEN] = ['method:open-pot cut:ground', 'method:oven cut:cubed'];

let talk: Talk;
beforeAll(async () => {
  talk = await openTalk();
  // Eight cooks whose ground fat gives close to 50 %, whatever common practice says of its range; invented.
  await storeBatches(
    talk.db,
    'ember-lane',
    Array.from({ length: 48 }, (_, at) => ({
      member: `cook ${at % 8}`,
      method: at % 3 === 0 ? 'oven' : 'open-pot',
      cut: 'ground',
      fatG: 1500 + 100 * (at % 7),
      tallowG: (1500 + 100 * (at % 7)) * (0.5 + 0.01 * ((at * 5) % 7) - 0.03),
      minutes: 180 + 10 * (at % 5),
    })),
  );
  // Others who render suet.
  await storeBatches(
    talk.db,
    'suet club',
    Array.from({ length: 40 }, (_, at) => ({
      member: `cook ${at % 8}`,
      method: 'open-pot',
      cut: 'ground',
      fatG: 1500 + 100 * (at % 7),
      tallowG: (1500 + 100 * (at % 7)) * (0.78 + 0.01 * ((at * 5) % 7)),
      minutes: 180 + 10 * (at % 5),
    })),
  );
});
afterAll(() => talk.close());

describe.each(['/water fat:2kg', '/plan fat:2kg'])('%s', (line) => {
  it('expects what /yield forecast does of the same batch', async () => {
    for (const as of ['cook 1', 'newcomer']) {
      const answer = await talk.ask(`${line} ${GROUND}`, { as });
      const forecast = await talk.ask(`/yield forecast fat:2kg ${GROUND}`, { as });
      expect(numberIn(forecast, 'trust')).toBe(1);
      // The share is carried to four digits: 0.0001 of 2 kg.
      for (const [own, theirs] of [
        ['tallowLowG', 'tallowLowG'],
        ['tallowExpectedG', 'tallowG'],
        ['tallowHighG', 'tallowHighG'],
      ] as const)
        expect(Math.abs(numberIn(answer, own) - numberIn(forecast, theirs))).toBeLessThan(0.2);
      expect(answer.lines.join(' ')).toMatch(/from this community’s \d+ batches of 8 members/);
      expect(answer.lines.join(' ').includes(', 6 of them yours')).toBe(as === 'cook 1');
      expect(answer.sources.join(' ')).toContain('80 % prediction interval');
    }
  });

  it('expects no more than trimmings hold, as /yield forecast does, but more of suet', async () => {
    const speaking = { community: 'suet club', as: 'cook 1' };
    for (const kind of ['', ' kind:suet']) {
      const answer = await talk.ask(`${line} ${GROUND}${kind}`, speaking);
      const forecast = await talk.ask(`/yield forecast fat:2kg ${GROUND}${kind}`, speaking);
      for (const figure of ['tallowLowG', 'tallowHighG'])
        expect(Math.abs(numberIn(answer, figure) - numberIn(forecast, figure))).toBeLessThan(0.2);
      const holds = fatInRawG({ fatG: 2000, rawFat: kind ? 'suet' : 'trimmings' });
      expect(numberIn(forecast, 'tallowHighG')).toBeLessThanOrEqual(holds + 1e-6);
      expect(forecast.lines.join(' ').includes('say kind:suet')).toBe(kind === '');
    }
  });

  it('keeps to common practice where the batches cannot tell', async () => {
    for (const speaking of [{}, { community: 'new here' }]) {
      const answer = await talk.ask(`${line} ${OVEN}`, speaking);
      expect(numberIn(answer, 'tallowLowG')).toBeCloseTo(2000 * EXPECTED_YIELD.ground.low, 6);
      expect(numberIn(answer, 'tallowHighG')).toBeCloseTo(2000 * EXPECTED_YIELD.ground.high, 6);
      expect(answer.figures).toMatchObject({ tallowExpectedG: null, trust: 0 });
    }
  });

  it('expects as much of the fat that lean pieces hold, and never more', async () => {
    const answer = await talk.ask(`${line} ${GROUND} lean:60%`);
    const fat = await talk.ask(`${line} ${GROUND}`);
    for (const figure of ['recoveryLow', 'recoveryHigh'])
      expect(numberIn(answer, figure)).toBeCloseTo(numberIn(fat, figure), 9);
    const holdsG = fatInRawG({ fatG: 2000, rawFat: 'trimmings', leanFraction: 0.6 });
    for (const figure of ['tallowLowG', 'tallowExpectedG', 'tallowHighG'])
      expect(numberIn(answer, figure)).toBeLessThanOrEqual(holdsG);
    expect(numberIn(answer, 'recoveryHigh')).toBeLessThanOrEqual(1);
  });

  it('shows the working of the answer, even when batches were logged since', async () => {
    const answer = await talk.ask(`${line} ${GROUND}`, { as: 'cook 2' });
    const [button] = answer.actions.filter(({ label }) => label === 'Show the working');
    await talk.ask(`/batch log fat:2kg tallow:"1.3 kg" ${GROUND} minutes:200`, { as: 'cook 2' });
    const working = await talk.ask(`press:${button?.id}`, { as: 'cook 2' });
    const words = working.lines.join('\n');
    expect(words).toContain('From this community: ');
    expect(words).toMatch(/Share forecast \d+ to \d+ %, from this community’s \d+ batches of 8 members/);
    expect(words).toContain('share that is forecast');
    expect(working.figures.Tallow).toMatchObject({
      'Tallow at least': numberIn(answer, 'tallowLowG'),
      'at most': numberIn(answer, 'tallowHighG'),
    });
  });
});

describe('/plan tallow:', () => {
  it('gathers by the middle of the forecast, and says its range', async () => {
    const plan = await talk.ask(`/plan tallow:"1 kg" ${GROUND}`, { as: 'newcomer' });
    const least = numberIn(plan, 'gatherYieldLow');
    expect(least).toBeGreaterThan(EXPECTED_YIELD.ground.low);
    expect(numberIn(plan, 'fatG') * numberIn(plan, 'gatherYield')).toBeCloseTo(1000, 6);
    const forecast = await talk.ask(`/yield forecast fat:${numberIn(plan, 'fatG')}g ${GROUND}`, {
      as: 'newcomer',
    });
    expect(numberIn(forecast, 'expectedYieldLow')).toBeCloseTo(least, 2);
    expect(plan.lines.join(' ')).toContain('8 batches in 10 give');
  });

  it.each(['', 'lean:50%'])('expects the range it gathered by: %s', async (lean) => {
    const plan = await talk.ask(`/plan tallow:"1 kg" ${GROUND} ${lean}`, { as: 'newcomer' });
    expect(numberIn(plan, 'tallowExpectedG')).toBeCloseTo(1000, 6);
    expect(numberIn(plan, 'tallowLowG')).toBeLessThan(1000);
    expect(numberIn(plan, 'recoveryHigh')).toBeLessThan(0.9);
  });

  it('leaves aside a forecast too wide to gather by, for what it expects as well', async () => {
    const speaking = { as: 'Cy', community: 'at odds' };
    // Cubes that give next to nothing or a lot; invented.
    await storeBatches(
      talk.db,
      speaking.community,
      Array.from({ length: 24 }, (_, at) => ({
        member: `cook ${at % 4}`,
        method: 'oven',
        cut: 'cubed',
        fatG: 2000,
        tallowG: at % 3 === 0 ? 900 : 60,
        minutes: 180,
      })),
    );
    const plan = await talk.ask(`/plan tallow:"1 kg" ${OVEN}`, speaking);
    expect(numberIn(plan, 'tooWideYieldLow')).toBeLessThan(EXPECTED_YIELD.cubed.low / 2);
    expect(plan.figures).toMatchObject({ trust: 0, tallowExpectedG: null });
    // Cubes run dry have no figure of their own: the middle of ground fat's, 36 to 60 % (common practice, no source).
    expect(numberIn(plan, 'gatherYield')).toBeCloseTo(0.48, 9);
    expect(numberIn(plan, 'tallowLowG')).toBeCloseTo(750, 6);
    expect(plan.lines.join(' ')).toContain('too wide to gather by');
    expect(plan.lines.join(' ')).not.toContain('so that it is enough');
    const working = await talk.ask(`press:${plan.actions[0]?.id}`, speaking);
    expect(working.figures.Tallow).toMatchObject({ 'Tallow at least': numberIn(plan, 'tallowLowG') });
  });
});
