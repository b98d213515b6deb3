import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type Activity,
  CAUTIONS,
  type Caution,
  cautionsAbout,
  cautionsFor,
  cautionsInFull,
  SAFETY_TOPICS,
  type Season,
} from '../../src/safety/cautions.js';
import { CUTS, METHODS } from '../../src/words/methods.js';

const ACTIVITIES: readonly Activity[] = [
  'thaw',
  'grind',
  'render',
  'strain',
  'chill',
  'remelt',
  'wash',
  'clarify',
  'jar',
  'store',
  'clean-up',
  'butter-blend',
  'salted-blend',
  'smoke',
  'fry',
  'serve',
  'taste',
  'sell',
];

const anyMethod = fc.constantFrom(...METHODS.map(({ value }) => value));
const anyCut = fc.constantFrom(...CUTS.map(({ value }) => value));
const anyActivity = fc.constantFrom(...ACTIVITIES);
const anySeason = fc.constantFrom<Season>('spring', 'summer', 'autumn', 'winter');

function called(id: string): Caution {
  const caution = CAUTIONS.find((one) => one.id === id);
  if (caution === undefined) throw new Error(`no caution is called ${id}`);
  return caution;
}

const textOf = (id: string): string => cautionsInFull([called(id)]).join(' ');

function ids(cautions: readonly { readonly id: string }[]): readonly string[] {
  return cautions.map(({ id }) => id);
}

describe('the table of cautions', () => {
  it('uses no name twice', () => {
    expect(new Set(ids(CAUTIONS)).size).toBe(CAUTIONS.length);
  });

  it.each(CAUTIONS.map((caution) => [caution.id, caution] as const))(
    'is plain and short: %s',
    (_, caution) => {
      expect(caution.short.length).toBeLessThanOrEqual(200);
      expect(caution.sources.length).toBeGreaterThan(0);
      expect(new Set(caution.sources).size).toBe(caution.sources.length);
      expect(caution.topics.length).toBeGreaterThan(0);
      expect(caution.occasions.length).toBeGreaterThan(0);
      const whole = textOf(caution.id);
      expect(whole).not.toMatch(/!|undefined| {2}/);
      expect(whole).toMatch(/ stands above this\.$/);
      expect(caution.hazard).toMatch(/^[a-z].*[^.]$/);
    },
  );

  it('has something to say on every topic and for every activity', () => {
    for (const { value } of SAFETY_TOPICS) expect(cautionsAbout(value), value).not.toEqual([]);
    for (const activity of ACTIVITIES)
      expect(cautionsFor({ activity, method: 'open-pot', cut: 'ground' }), activity).not.toEqual([]);
  });

  it('shows every caution on some occasion or under some topic', () => {
    const underTopics = new Set(SAFETY_TOPICS.flatMap(({ value }) => ids(cautionsAbout(value))));
    expect(underTopics).toEqual(new Set(ids(CAUTIONS)));
  });

  it('names together whose word stands above several, each once', () => {
    const cautions = cautionsAbout('fire');
    const lines = cautionsInFull(cautions);
    expect(lines).toHaveLength(cautions.length + 1);
    expect(lines.join(' ').match(/stand above/g)).toHaveLength(1);
    for (const { authority } of cautions) expect(lines.at(-1)).toContain(authority);
    expect(cautionsInFull(cautionsAbout('drains')).at(-1)).toBe(
      'Your local waste and sewer utility stands above this.',
    );
    expect(cautionsInFull([])).toEqual([]);
  });
});

describe('cautions for what somebody is about to do', () => {
  it('are three at most, gravest first', () => {
    fc.assert(
      fc.property(anyMethod, anyCut, anyActivity, anySeason, (method, cut, activity, season) => {
        const cautions = cautionsFor({ method, cut, activity, season });
        expect(cautions.length).toBeLessThanOrEqual(3);
        expect(cautions).toEqual(CAUTIONS.filter((caution) => cautions.includes(caution)));
      }),
    );
  });

  it('begin with the maker’s own limit for the pressure cooker, whatever is done with it', () => {
    fc.assert(
      fc.property(anyCut, anyActivity, (cut, activity) => {
        expect(cautionsFor({ method: 'pressure', cut, activity })[0]?.id).toBe('pressure-makers-limit');
      }),
    );
    expect(cautionsFor({ method: 'pressure' })[0]?.short).toMatch(/manual first.*Never fill past half/);
  });

  it('never speak of a pressure cooker to who has none', () => {
    for (const { value: method } of METHODS.filter(({ value }) => value !== 'pressure'))
      for (const activity of ACTIVITIES)
        for (const { topics } of cautionsFor({ method, activity })) expect(topics).not.toContain('pressure');
  });

  it('fit the method', () => {
    expect(ids(cautionsFor({ method: 'pressure', cut: 'ground' }))).toEqual([
      'pressure-makers-limit',
      'pressure-not-a-fryer',
      'pressure-natural-release',
    ]);
    expect(cautionsFor({ method: 'smoker', cut: 'cubed' })[0]?.id).toBe('smoker-outdoors');
    expect(cautionsFor({ method: 'open-pot', cut: 'ground' })[0]?.id).toBe('no-water-on-hot-fat');
  });

  it('fit the activity, and are about rendering when none is named', () => {
    expect(cautionsFor({ activity: 'salted-blend' })[0]?.id).toBe('salted-blend-cold-only');
    expect(ids(cautionsFor({ activity: 'clarify' }))).toContain('clay-lead');
    expect(ids(cautionsFor({ activity: 'grind', cut: 'ground' }))).toContain('grinder-fingers');
    expect(ids(cautionsFor({ activity: 'grind', cut: 'cubed' }))).not.toContain('grinder-fingers');
    expect(cautionsFor({ method: 'oven' })).toEqual(cautionsFor({ method: 'oven', activity: 'render' }));
  });

  it('fit the season when it is known', () => {
    expect(ids(cautionsFor({ activity: 'thaw', season: 'summer' }))).toContain('hot-day');
    expect(ids(cautionsFor({ activity: 'thaw', season: 'winter' }))).not.toContain('hot-day');
    expect(ids(cautionsFor({ activity: 'thaw' }))).not.toContain('hot-day');
  });
});

describe('what the cautions say agrees with what is published', () => {
  it.each([
    // FDA Food Code 3-501.14(A).
    ['cool-in-two-steps', /70 °F \(21 °C\) within 2 hours and to 41 °F \(5 °C\) within 4 more/],
    // USDA FSIS, danger zone: one hour above 90 °F; 40 to 140 °F; doubling in 20 minutes.
    ['hot-day', /Above 90 °F \(32 °C\).*one hour.*40 and 140 °F.*20 minutes/],
    // USDA FSIS, defrosting: cold water changed every 30 minutes.
    ['thaw-cold', /refrigerator.*every 30 minutes.*Never on the counter/],
    // FoodSafety.gov cold storage chart: ground beef 1 to 2 days, 3 to 4 months frozen.
    ['ground-raw-fat', /1 to 2 days.*3 to 4 months/],
    // The same chart: roasts 3 to 5 days.
    ['whole-raw-fat', /3 to 5 days/],
    // NFPA, a fire in a pan: lid on, heat off, leave it, never water.
    ['if-fat-burns', /lid on, heat off, do not move it, leave it covered until cold\. Never water/],
    // NFPA 10: Class K.
    ['right-extinguisher', /Class K/],
    // Fire Research Note 610: 310 °C.
    ['heat-steps', /310 °C/],
    // Burn associations: cool running water for 20 minutes; no ice.
    ['burns-first-aid', /cool running water for 20 minutes\. No ice/],
    // FDA, Food Code 3-501.17: 7 days. From memory.
    ['salted-blend-cold-only', /40 °F \(4 °C\) or below.*within 7 days/],
    // USDA FoodKeeper: bacon grease 6 months cold, 12 frozen; butter 1 to 2 months cold, 6 to 9 frozen.
    ['store-cold-and-dry', /about 6 months.*about 12/],
    ['butter-blend-brief', /1 to 2 months.*6 to 9 months/],
    // FDA advisories of 2016; 37.5 ppm by a state laboratory. Reference level from memory.
    ['clay-lead', /37\.5 µg of lead.*2\.2 µg a day/],
    // CPSC: outdoors only, not in a garage or tent even with the door open.
    ['smoker-outdoors', /outdoors only\. Never in a garage or tent, even with the door open/],
    // City programmes on fats, oils and grease: hot water and detergent only move the clog.
    ['not-down-the-drain', /no fat or greasy water down a sink, toilet or disposer.*only move the clog/],
  ])('%s', (id, words) => {
    expect(textOf(id)).toMatch(words);
  });

  // Steam at 100 °C 1.672 m³/kg over water at 20 °C 1/998.2 m³/kg: 1669; fire services say about 1,700.
  it('steam takes about 1,700 times the room of water', () => {
    expect(textOf('no-water-on-hot-fat')).toContain('1,700');
    expect(Math.abs(1.672 * 998.2 - 1700) / 1700).toBeLessThan(0.02);
  });

  // USDA household weights: ½ cup of water 118.1 g, ⅛ tsp of salt 0.75 g, a cup of tallow 205 g.
  it('the salted blend is a third water, with 0.6 % salt in it', () => {
    const text = textOf('salted-blend-cold-only');
    expect(text).toContain('a third water');
    expect(118.1 / (205 + 118.1 + 0.75)).toBeGreaterThan(1 / 3);
    expect(text).toContain('0.6 % salt');
    expect((0.75 / (118.1 + 0.75)) * 100).toBeCloseTo(0.63, 2);
  });

  it('names the disagreement wherever common practice and published caution differ', () => {
    for (const id of [
      'pressure-makers-limit',
      'butter-blend-brief',
      'salted-blend-cold-only',
      'not-down-the-drain',
      'clay-lead',
      'no-home-canning',
      'store-cold-and-dry',
      'wash-below-boiling',
    ])
      expect(called(id).disagreement, id).toBeTruthy();
  });
});
