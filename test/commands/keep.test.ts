import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { KEEPING, type Stored } from '../../src/safety/storage.js';
import { spokenLength } from '../support/spoken.js';
import { numberIn, openTalk, type Talk } from '../support/talk.js';

let talk: Talk;
beforeAll(async () => {
  talk = await openTalk();
});
afterAll(() => talk.close());

const ALL = Object.keys(KEEPING) as Stored[];
const factOf = ({ facts }: Awaited<ReturnType<Talk['ask']>>, label: string) =>
  facts.find((fact) => fact.label === label)?.text;

describe('/keep', () => {
  it.each([
    // USDA FoodKeeper: bacon grease 6 months cold and 12 frozen; butter 1 to 2 and 6 to 9 months.
    ['what:tallow', 180, 180],
    ['what:tallow where:freezer', 360, 360],
    ['what:butter-blend', 30, 60],
    ['what:butter-blend where:freezer', 180, 270],
    // FSIS and FoodSafety.gov chart: ground beef 1 to 2 days, roasts 3 to 5.
    ['what:raw-fat-ground', 1, 2],
    ['what:raw-fat-whole', 3, 5],
    // Food Code 3-501.17 (from memory): 7 days. NCHFP, garlic in oil, reviewed 2015: 4 days.
    ['what:salted-blend', 7, 7],
    ['what:garlic-blend', 4, 4],
    // NC State extension (Fraser, 2004): within a month.
    ['what:frying-fat', 30, 30],
    ['', 180, 180],
  ])('says how long: %s', async (asked, low, high) => {
    const reply = await talk.ask(`/keep ${asked}`.trim());
    expect([numberIn(reply, 'keepsDaysLow'), numberIn(reply, 'keepsDaysHigh')]).toEqual([low, high]);
    expect(reply.sources.length).toBeGreaterThan(0);
  });

  it.each(ALL.flatMap((what) => ['refrigerator', 'freezer', 'room'].map((where) => [what, where] as const)))(
    'is read in one look: %s, %s',
    async (what, where) => {
      const reply = await talk.ask(`/keep what:${what} where:${where}`);
      const { words, phoneLines } = await spokenLength(reply);
      expect([what, where, words, words <= 60, phoneLines <= 14]).toEqual([what, where, words, true, true]);
      expect(factOf(reply, 'Off when')).toBe(KEEPING[what].off);
    },
  );

  it('names the day on the lid, counting the day it was made where the rule does', async () => {
    const day = 86_400_000;
    const madeMs = Date.parse('2026-11-25T18:00:00Z');
    expect(numberIn(await talk.ask('/keep what:garlic-blend'), 'useByMs')).toBe(madeMs + 3 * day);
    const tallow = await talk.ask('/keep what:tallow');
    expect(numberIn(tallow, 'useByMs')).toBe(madeMs + 180 * day);
    expect(factOf(tallow, 'Lid')).toContain('24 May 2027');
  });

  it('says where a time is another food’s, and that a blend with butter holds milk', async () => {
    expect((await talk.ask('/keep what:tallow')).note).toContain('bacon grease');
    expect(factOf(await talk.ask('/keep what:butter-blend'), 'Lid')).toContain('contains milk');
  });

  it('leaves room in jars for the freezer', async () => {
    // NCHFP, headspace for freezing.
    const { figures, facts } = await talk.ask('/keep what:tallow where:freezer');
    expect(figures.headspaceMm).toEqual({
      wide: { pint: 12.7, quart: 25.4 },
      narrow: { pint: 19.05, quart: 38.1 },
    });
    expect(facts.map(({ text }) => text).join(' ')).toContain('NCHFP');
  });

  it('says so where nobody knows, and promises nothing out of the cold', async () => {
    expect((await talk.ask('/keep what:frying-fat where:freezer')).title).toContain('not known here');
    expect((await talk.ask('/keep what:tallow where:room')).title).toContain('nobody vouches');
    // USDA FSIS, Danger Zone.
    expect((await talk.ask('/keep what:broth where:room')).title).toMatch(/2 h; 1 h above 90 °F/);
  });

  it('asks whether a near misspelling was meant', async () => {
    expect((await talk.refuse('/keep what:talow')).text).toContain('Did you mean tallow?');
  });
});
