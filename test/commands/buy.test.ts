import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Figure, Reply } from '../../src/chat/reply.js';
import { spokenLength } from '../support/spoken.js';
import { openTalk, type Talk } from '../support/talk.js';

let talk: Talk;
beforeAll(async () => {
  talk = await openTalk();
});
afterAll(() => talk.close());

const G_PER_LB = 453.59237;

function of(reply: Reply, kind: 'trimmings' | 'suet', name: string): number {
  const inner: Figure | undefined = reply.figures[kind];
  const value =
    inner !== null && typeof inner === 'object' && name in inner ? Object(inner)[name] : undefined;
  if (typeof value !== 'number') throw new Error(`${reply.title} has no ${name} of ${kind}`);
  return value;
}

describe('/buy', () => {
  // Common practice, no source: 36 to 60 % of trimmings; suet by its fat (USDA: 94 % against 70.89 %).
  it('says how much of each kind, the middle first', async () => {
    const reply = await talk.ask('/buy tallow:"2 qt"');
    expect(of(reply, 'trimmings', 'fatG') / G_PER_LB).toBeCloseTo(7.74, 2);
    expect(of(reply, 'trimmings', 'fatHighG') / G_PER_LB).toBeCloseTo(10.3, 1);
    expect(of(reply, 'suet', 'fatG') / G_PER_LB).toBeCloseTo(5.83, 2);
    expect(of(reply, 'suet', 'fatFraction')).toBe(0.94);
    expect(reply.title).toMatch(/^Buy 7 lb 12 oz of trimmings, or 5 lb 13 oz of suet$/);
    expect(reply.facts.map(({ label }) => label)).toEqual(['Trimmings', 'Suet']);
    expect(reply.sources.join(' ')).toMatch(/common practice.*USDA/i);
  });

  it('speaks of one kind where it is said, and in the units that were typed or asked for', async () => {
    const suet = await talk.ask('/buy tallow:"2 kg" kind:suet');
    expect(suet.figures.trimmings).toBeUndefined();
    expect(suet.title).toMatch(/^Buy [\d.]+ kg of suet$/);
    expect((await talk.ask('/buy tallow:"2 kg" unit:us')).title).toContain('lb');
  });

  // Arithmetic: price ÷ yield.
  it.each(['1.99', '$1.99', '1.99/lb', '$1.99 a pound', '1,99 per lb', '4.3871988/kg'])(
    'tells what a pound of tallow costs at %s',
    async (price) => {
      const reply = await talk.ask(`/buy tallow:"2 qt" price:"${price}"`);
      expect((of(reply, 'trimmings', 'costPerKg') * G_PER_LB) / 1000).toBeCloseTo(1.99 / 0.48, 4);
      expect(reply.facts.find(({ label }) => label === 'Cost a pound')?.text).toContain(
        '4.15 from trimmings',
      );
    },
  );

  it('counts the energy in where a burner is known, from the kit too', async () => {
    const asked = '/buy tallow:"2 qt" price:1.99 kind:trimmings power-price:0.20';
    const plain = await talk.ask(asked);
    const said = await talk.ask(`${asked} burner:"1800 W"`);
    const energyCost = of(said, 'trimmings', 'energyCost');
    expect(energyCost).toBeGreaterThan(0);
    // Kilowatt-hours as shown, in few digits, times their price.
    expect(energyCost / of(said, 'trimmings', 'energyKWh')).toBeCloseTo(0.2, 1);
    const tallowKg = 1.8927 * 0.89;
    expect(of(said, 'trimmings', 'costPerKg') - of(plain, 'trimmings', 'costPerKg')).toBeCloseTo(
      energyCost / tallowKg,
      3,
    );
    await talk.ask('/kit add burner:"1800 W"', { as: 'Yara' });
    expect(of(await talk.ask(asked, { as: 'Yara' }), 'trimmings', 'energyCost')).toBe(energyCost);
  });

  it('is read in one look whatever is asked', async () => {
    for (const tallow of ['1 cup', '2 qt', '40 lb', '3.7 kg', '1 gal'])
      for (const more of [
        '',
        ' price:1.99',
        ' cut:cubed kind:suet',
        ' price:3/kg burner:"1800 W" power-price:0.3',
      ]) {
        const line = `/buy tallow:"${tallow}"${more}`;
        const { words, phoneLines } = await spokenLength(await talk.ask(line));
        expect([line, words, words <= 60, phoneLines <= 14]).toEqual([line, words, true, true]);
      }
  });

  it('refuses a price that is none', async () => {
    for (const price of ['cheap', '-2', '99¢', '/lb'])
      expect((await talk.refuse(`/buy tallow:2lb price:"${price}"`)).text).toContain('not a price');
  });
});
