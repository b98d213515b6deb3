import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { numberIn, openTalk, type Talk } from '../support/talk.js';

let talk: Talk;
beforeAll(async () => {
  talk = await openTalk();
});
afterAll(() => talk.close());

describe('/smoke', () => {
  it.each([
    // Common practice, no source: about 2 h light, about 6 strong, 8 to 12 heavy.
    ['light', 2, 2],
    ['strong', 6, 6],
    ['heavy', 8, 12],
  ])('gives hours for a %s smoke', async (strength, low, high) => {
    const reply = await talk.ask(`/smoke tallow:"6 cups" strength:${strength}`);
    expect(numberIn(reply, 'hoursLow')).toBe(low);
    expect(numberIn(reply, 'hoursHigh')).toBe(high);
    expect(reply.title).toContain(`${high} h`);
  });

  it('spreads the tallow in pans that hold it', async () => {
    const reply = await talk.ask('/smoke tallow:6kg');
    const roomMl =
      numberIn(reply, 'pans') *
      numberIn(reply, 'panWidthCm') *
      numberIn(reply, 'panLengthCm') *
      numberIn(reply, 'depthCm');
    expect(roomMl).toBeGreaterThanOrEqual(numberIn(reply, 'tallowMl') - 1e-6);
    expect(numberIn(reply, 'panDepthCm')).toBeGreaterThan(numberIn(reply, 'depthCm'));
  });

  it('keeps it out of the danger zone and the smoker outdoors', async () => {
    const reply = await talk.ask('/smoke tallow:1kg');
    // USDA FSIS, "Danger Zone": 40 to 140 °F.
    expect(numberIn(reply, 'holdAboveC') * 1.8 + 32).toBeCloseTo(140, 9);
    // Our own margin, far below the lowest published smoke point, 190 °C; NFPA: never leave hot fat alone.
    expect(numberIn(reply, 'holdBelowC') * 1.8 + 32).toBeCloseTo(350, 9);
    expect(reply.lines.join(' ')).toMatch(/Stay with it\. Keep it above 140 °F .* and below 350 °F/);
    // The clock of this test stands in November: US CPSC, carbon monoxide from charcoal and smokers.
    expect(reply.caution?.text).toMatch(/carbon monoxide .*kills/);
    const winter = await talk.ask('/smoke tallow:1kg strength:heavy', { now: '2026-01-10T12:00:00Z' });
    expect(winter.caution?.id).toBe('smoker-in-winter');
    expect(winter.caution?.text).toContain('carbon monoxide');
    expect(reply.lines.join(' ')).toContain('not as raw fat');
  });

  it('shows its amount in the working without a stray comma', async () => {
    const reply = await talk.ask('/smoke tallow:"6 cups"');
    const working = await talk.ask(`press:${reply.actions[0]?.id}`);
    expect(working.lines[0]).toContain('Tallow 6 cups (1.4 L), about 2 lb 13 oz (1.25 kg).');
    expect(reply.lines[0]).toContain('about 2 lb 13 oz (1.25 kg), of tallow');
  });

  it.each(['', 'tallow:0g', 'tallow:1', 'tallow:1kg strength:thick'])('refuses “%s”', async (options) => {
    expect((await talk.refuse(`/smoke ${options}`)).text).not.toContain('saved');
  });
});
