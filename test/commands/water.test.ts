import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { numberIn, openTalk, type Talk } from '../support/talk.js';

// NIST SP 811, appendix B: exact.
const ML_PER_CUP = 236.5882365;
const G_PER_LB = 453.59237;

let talk: Talk;
beforeAll(async () => {
  talk = await openTalk();
});
afterAll(() => talk.close());

describe('/water', () => {
  // Common practice, no source: 8 US cups of water to 2 to 3 lb of raw fat.
  it('gives 2 lb 8 oz of fat 8 cups of water', async () => {
    const reply = await talk.ask('/water fat:"2 lb 8 oz"');
    expect(numberIn(reply, 'waterMl') / ML_PER_CUP).toBeCloseTo(8, 9);
    expect(reply.title).toMatch(/^8 cups/);
  });

  it('gives 4 lb 8 oz of fat 12 to 18 cups', async () => {
    const reply = await talk.ask('/water fat:"4 lb 8 oz"');
    expect(numberIn(reply, 'waterLowMl') / ML_PER_CUP).toBeCloseTo(12, 9);
    expect(numberIn(reply, 'waterHighMl') / ML_PER_CUP).toBeCloseTo(18, 9);
    expect(reply.lines.join(' ')).toContain('12 to 18 cups');
  });

  it('gives 1 kg of fat 1.39 to 2.09 litres', async () => {
    const reply = await talk.ask('/water fat:1kg unit:metric');
    expect(numberIn(reply, 'waterLowMl')).toBeCloseTo(1391, -1);
    expect(numberIn(reply, 'waterHighMl')).toBeCloseTo(2087, -1);
    expect(reply.title).not.toMatch(/cup|lb/);
  });

  it('expects 36 to 60 % of ground and minced fat and 12 to 28 % of cubes', async () => {
    // Common practice, no source.
    for (const [cut, low, high] of [
      ['ground', 0.36, 0.6],
      ['minced', 0.36, 0.6],
      ['cubed', 0.12, 0.28],
    ] as const) {
      const reply = await talk.ask(`/water fat:10lb cut:${cut}`);
      expect(numberIn(reply, 'tallowLowG') / (10 * G_PER_LB)).toBeCloseTo(low, 9);
      expect(numberIn(reply, 'tallowHighG') / (10 * G_PER_LB)).toBeCloseTo(high, 9);
      // USDA SR, beef tallow: a cup weighs 205 g; the density path must agree within 4 %.
      const gramsPerCup = (numberIn(reply, 'tallowLowG') / numberIn(reply, 'tallowLowMl')) * ML_PER_CUP;
      expect(Math.abs(gramsPerCup / 205 - 1)).toBeLessThan(0.04);
    }
    const minced = await talk.ask('/water fat:10lb cut:minced');
    expect(minced.lines.join(' ')).toContain('no figure of its own');
  });

  it('names the maker’s own limit first for a pressure cooker', async () => {
    const reply = await talk.ask('/water fat:3lb method:pressure');
    expect(reply.caution?.id).toBe('pressure-makers-limit');
    expect(reply.cautions.length).toBeLessThanOrEqual(2);
  });

  it('gives a dry method a starter of about a cup, said as such', async () => {
    const reply = await talk.ask('/water fat:3lb method:oven');
    expect(numberIn(reply, 'waterMl') / ML_PER_CUP).toBeCloseTo(1, 9);
    expect(reply.lines.join(' ')).toContain('starter');
  });

  it('says whether the cook’s own pot is large enough', async () => {
    expect((await talk.ask('/water fat:3lb vessel:"12 qt"')).lines.join(' ')).toContain('are enough');
    expect((await talk.ask('/water fat:3lb vessel:"4 qt"')).lines.join(' ')).toContain('2 equal loads');
  });

  it('expects less the more lean is on the fat, in proportion to the fat it holds', async () => {
    let before = Number.POSITIVE_INFINITY;
    for (const lean of [0, 1, 20, 50, 80, 90]) {
      const reply = await talk.ask(`/water fat:10lb lean:"${lean} %"`);
      // USDA SR Legacy, NDB 13019 and 13023: 70.89 % and 7.37 % fat.
      const proportion = 1 - (lean / 100) * (1 - 0.0737 / 0.7089);
      expect(numberIn(reply, 'tallowHighG')).toBeCloseTo(0.6 * 10 * G_PER_LB * proportion, 6);
      expect(numberIn(reply, 'tallowHighG')).toBeLessThan(before);
      expect(numberIn(reply, 'recoveryLow')).toBeCloseTo(0.36 / 0.7089, 9);
      expect(numberIn(reply, 'recoveryHigh')).toBeCloseTo(0.6 / 0.7089, 9);
      before = numberIn(reply, 'tallowHighG');
    }
  });

  it('says to let the pressure of a cooker fall by itself', async () => {
    const reply = await talk.ask('/water fat:3lb method:pressure');
    expect(reply.figures).toMatchObject({ releaseLowMinutes: 20, releaseHighMinutes: 40 });
    expect(reply.lines.join(' ')).toContain('20 to 40 min to fall by itself');
    expect((await talk.ask('/water fat:3lb')).figures.releaseLowMinutes).toBeNull();
  });

  it.each([
    ['price:0.3', 'price makes no difference: no burner is known'],
    ['burner-kind:induction price:0.3', 'burner-kind and price make no difference: no burner is known'],
    ['method:oven burner:"2 kW"', 'burner makes no difference: an oven brings its own heat'],
    ['method:pressure lid:off', 'lid makes no difference: a pressure cooker is always shut'],
    ['method:smoker lid:on', 'lid makes no difference: there is no simmering water'],
    ['method:oven diameter:"11 in"', 'diameter makes no difference'],
  ])('says what is missing or idle in “%s”', async (options, words) => {
    const reply = await talk.ask(`/water fat:4lb ${options}`);
    expect(reply.lines.join('\n')).toContain(words);
    const without = await talk.ask('/water fat:4lb');
    expect(without.lines.join('\n')).not.toContain('no difference');
  });

  it('has no word about options that count', async () => {
    const reply = await talk.ask(
      '/water fat:4lb burner:2kW burner-kind:gas price:0.3 lid:ajar diameter:"10 in" fat-temperature:40F',
    );
    expect(reply.lines.join('\n')).not.toContain('no difference');
  });

  it.each([
    ['vessel:"8 qt" diameter:"40 in"', 'high'],
    ['vessel:"8 qt" diameter:"3 in"', 'high'],
    ['diameter:"40 in"', 'vessel:'],
  ])('refuses a pot that cannot be: %s', async (options, words) => {
    const refusal = await talk.refuse(`/water fat:4lb ${options}`);
    expect(refusal.title).toBe('That pot cannot be');
    expect(refusal.text).toContain(words);
    expect(await talk.ask('/water fat:4lb vessel:"8 qt" diameter:"10 in"')).toHaveProperty('kind', 'reply');
  });

  it('shows the same figures whatever units the answer is in', async () => {
    const us = await talk.ask('/water fat:"4 lb 8 oz" unit:us');
    const metric = await talk.ask('/water fat:"2041.165665 g" unit:metric');
    for (const [name, value] of Object.entries(us.figures))
      expect(metric.figures[name]).toBeCloseTo(Number(value), 6);
  });

  it.each([
    ['fat:4', ['4 lb', '4 kg']],
    ['fat:-3lb', ['too little', '4 lb 8 oz']],
    ['fat:0kg', ['too little', '4 lb 8 oz']],
    ['fat:501kg', ['too much', '500 kg']],
    ['fat:"3 lb 2 kg"', ['do not add', '4 lb 8 oz']],
    ['fat:NaN', ['could not be read', '4 lb 8 oz']],
    ['', ['fat is missing', '4 lb 8 oz']],
    ['fat:3lb method:microwave', ['not one of', 'open-pot']],
    ['fat:3lb pot:12qt', ['no option', 'vessel']],
  ])('refuses “%s” with an example that would work', async (options, words) => {
    const refusal = await talk.refuse(`/water ${options}`);
    for (const word of words) expect(refusal.text.toLowerCase()).toContain(word.toLowerCase());
    expect(refusal.text).not.toContain('saved');
  });
});
