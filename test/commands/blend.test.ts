import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { numberIn, openTalk, type Talk } from '../support/talk.js';

// NIST Handbook 44, appendix C: exact.
const ML_PER_CUP = 236.5882365;
const ML_PER_TBSP = ML_PER_CUP / 16;
const G_PER_OZ = 28.349523125;

let talk: Talk;
beforeAll(async () => {
  talk = await openTalk();
});
afterAll(() => talk.close());

describe('/blend salted', () => {
  // Common practice, no source: 1 cup of tallow, ½ cup of water, ⅛ tsp of salt, ⅛ tsp of xanthan gum.
  it('scales the usual recipe', async () => {
    const reply = await talk.ask('/blend salted tallow:"2 cups"');
    expect(numberIn(reply, 'waterMl')).toBeCloseTo(ML_PER_CUP, 6);
    expect(numberIn(reply, 'fatVolumeFraction')).toBeCloseTo(2 / 3, 9);
    // USDA SR Legacy, NDB 02047: a teaspoon of salt weighs 6 g and holds 2,325 mg of sodium (387.58 mg/g).
    expect(numberIn(reply, 'saltG')).toBeCloseTo(6 / 4, 6);
    expect(numberIn(reply, 'sodiumMgPerTbsp')).toBeCloseTo((1.5 * 387.58) / 48, 3);
    expect(reply.lines.join(' ')).toContain('fat in water');
    expect(reply.caution?.id).toBe('salted-blend-cold-only');
    // Our own margin: above the melting range of tallow, far below boiling; a jug half full. FDA, Food Code: none.
    expect(reply.lines.join(' ')).toMatch(
      /120 °F .* to 140 °F .*water no colder.*half full at most and its lid vented/,
    );
  });

  it('says what so little water does, and why', async () => {
    const reply = await talk.ask('/blend salted tallow:"2 cups" water:"3 tbsp"');
    const said = reply.lines.join(' ');
    expect(numberIn(reply, 'fatVolumeFraction')).toBeCloseTo(32 / 35, 6);
    // Close packing of equal spheres: π / (3 √2).
    expect(numberIn(reply, 'fatVolumeFraction')).toBeGreaterThan(Math.PI / (3 * Math.SQRT2));
    expect(said).toContain('Usual would be 1 cup');
    expect(said).toContain('may break');
    expect(said).toContain('gummy');
    // The same gum in less than a fifth of the water.
    expect(numberIn(reply, 'xanthanOfWater')).toBeCloseTo(0.7 / (3 * ML_PER_TBSP * 0.9982), 3);
    for (const name of ['fatFraction', 'waterFraction', 'saltFraction', 'sodiumMgPerTbsp'])
      expect(numberIn(reply, name)).toBeGreaterThan(0);
  });

  it('says when salt will stay gritty and when gum is missing', async () => {
    // 26.4 g of salt in 100 g of brine at most (common handbook value, from memory).
    const salty = await talk.ask('/blend salted tallow:1cup water:"100 ml" salt:40g');
    expect(salty.lines.join(' ')).toContain('gritty');
    expect(numberIn(salty, 'undissolvedSaltG')).toBeGreaterThan(0);
    const thin = await talk.ask('/blend salted tallow:1cup xanthan:0g');
    expect(thin.lines.join(' ')).toContain('separate');
    expect(thin.lines[0]).toContain('no xanthan gum');
  });

  it('takes amounts by weight or by volume for the same blend', async () => {
    const byVolume = await talk.ask('/blend salted tallow:"1 cup" salt:"1 tsp"');
    const byWeight = await talk.ask(`/blend salted tallow:"${0.89 * ML_PER_CUP} g" salt:6g`);
    for (const name of ['tallowG', 'saltG', 'fatFraction', 'xanthanOfWater'])
      expect(numberIn(byWeight, name)).toBeCloseTo(numberIn(byVolume, name), 6);
  });

  it.each([
    ['', 'tallow is missing'],
    ['tallow:0g', 'too little'],
    ['tallow:1cup water:0ml', 'too little'],
    ['tallow:1cup water:"3 oz"', 'not a unit'],
    ['tallow:2', '2 cups'],
    ['tallow:"1 cup 3 oz"', 'not a unit'],
  ])('refuses “%s”', async (options, words) => {
    const refusal = await talk.refuse(`/blend salted ${options}`);
    expect(refusal.text.toLowerCase()).toContain(words);
    expect(refusal.text).not.toContain('saved');
  });
});

describe('/blend butter', () => {
  it('tells what a cup of salted butter and as much tallow hold', async () => {
    const reply = await talk.ask('/blend butter butter:"2 sticks" tallow:"1 cup"');
    const [butterG, tallowG] = [numberIn(reply, 'butterG'), numberIn(reply, 'tallowG')];
    expect(butterG).toBeCloseTo(8 * G_PER_OZ, 9);
    // USDA SR Legacy, NDB 01001: 81.11 % fat, 15.87 % water, 643 mg of sodium in 100 g.
    expect(numberIn(reply, 'fatFraction')).toBeCloseTo((butterG * 0.8111 + tallowG) / (butterG + tallowG), 9);
    expect(numberIn(reply, 'waterFraction')).toBeCloseTo((butterG * 0.1587) / (butterG + tallowG), 9);
    expect(numberIn(reply, 'sodiumMgPerTbsp') * (numberIn(reply, 'totalMl') / ML_PER_TBSP)).toBeCloseTo(
      butterG * 6.43,
      6,
    );
    expect(reply.lines.join(' ')).toContain('below 100 °F');
    // National Center for Home Food Preservation, garlic in oil, 2015: 4 days.
    expect(reply.caution?.text).toMatch(/garlic, herbs or meat drippings.*4 days/);
    // US FALCPA: milk is a major allergen, so it stands in the answer itself.
    expect(reply.lines).toContain('Contains milk.');
    expect(reply.figures.xanthanOfWater).toBe(0);
    expect(numberIn(reply, 'fatVolumeFraction')).toBeLessThan(1);
  });

  it('makes a total of equal volumes unless a ratio is said', async () => {
    const equal = await talk.ask('/blend butter total:"3 cups"');
    expect(numberIn(equal, 'butterMl')).toBeCloseTo(numberIn(equal, 'tallowMl'), 6);
    expect(numberIn(equal, 'totalMl')).toBeCloseTo(3 * ML_PER_CUP, 6);
    for (const text of ['2:1', '2 to 1', '60/30']) {
      const two = await talk.ask(`/blend butter tallow:"1 cup" ratio:"${text}"`);
      expect(numberIn(two, 'butterMl') / numberIn(two, 'tallowMl')).toBeCloseTo(2, 9);
      expect(numberIn(two, 'tallowMl')).toBeCloseTo(ML_PER_CUP, 6);
    }
  });

  it('adds the salt that is missing', async () => {
    for (const options of ['total:1kg', 'butter:500g', 'butter:500g tallow:"450 g"']) {
      const reply = await talk.ask(`/blend butter ${options} kind:unsalted salt:1.2%`);
      expect(numberIn(reply, 'saltFraction')).toBeCloseTo(0.012, 9);
      expect(numberIn(reply, 'addedSaltG')).toBeGreaterThan(0);
    }
  });

  it.each([
    ['', 'how much'],
    ['total:1kg butter:1lb', 'a total or the amounts'],
    ['butter:1lb tallow:1lb ratio:1:1', 'a total or the amounts'],
    ['total:1kg salt:0.1%', 'kind:unsalted'],
    ['total:1kg salt:15%', 'would stay gritty'],
    ['total:1kg ratio:1:0', '1:1'],
    ['total:0g', 'too little'],
    ['butter:0lb tallow:1lb', 'too little'],
    ['butter:1', 'write “1 cup” or “1 g”'],
    ['butter:1.500g', 'write “1500 g” or “1.5 g”'],
  ])('refuses “%s”', async (options, words) => {
    const refusal = await talk.refuse(`/blend butter ${options}`);
    expect(refusal.text.toLowerCase()).toContain(words);
    expect(refusal.text).not.toContain('saved');
  });
});
