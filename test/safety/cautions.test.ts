import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CAUTIONS, type Caution, cautionsAbout, cautionsInFull } from '../../src/safety/cautions.js';
import { cautionFor, cautionsFor, shown } from '../../src/safety/choose.js';
import { forCook, isHigh, pourBelowC } from '../../src/safety/local-figures.js';
import { toldIn } from '../../src/safety/note-signs.js';
import { ACTIVITIES, BURNERS, CIRCUMSTANCES, conditionsMet, SEASONS } from '../../src/safety/occasion.js';
import { sourceOf } from '../../src/safety/sources.js';
import { SAFETY_TOPICS } from '../../src/safety/topics.js';
import { CUTS, METHODS } from '../../src/words/methods.js';

const situation = fc.record({
  activity: fc.constantFrom(...ACTIVITIES.filter((activity) => activity !== 'release')),
  method: fc.constantFrom(...METHODS.map(({ value }) => value)),
  cut: fc.constantFrom(...CUTS.map(({ value }) => value)),
  season: fc.constantFrom(...SEASONS),
  burner: fc.option(fc.constantFrom(...BURNERS), { nil: undefined }),
  circumstances: fc.subarray([...CIRCUMSTANCES]),
});

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
      expect(forCook(caution.short, { boilC: 96, unit: 'us' }).split(/\s+/).length).toBeLessThanOrEqual(25);
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

  it('has something to say on every topic, first of all about it', () => {
    for (const { value } of SAFETY_TOPICS)
      expect(
        cautionsAbout(value).some(({ topics }) => topics[0] === value),
        value,
      ).toBe(true);
  });

  it('fits into a list of choices, and every topic has a headline and one meaning of each of its names', () => {
    expect(SAFETY_TOPICS.length).toBeLessThanOrEqual(25);
    const names = SAFETY_TOPICS.flatMap(({ value, aliases }) => [value, ...aliases]);
    expect(new Set(names).size).toBe(names.length);
    for (const { headline } of SAFETY_TOPICS) expect(headline.split(' ').length).toBeLessThanOrEqual(10);
  });

  it('names together whose word stands above several, each once', () => {
    const cautions = cautionsAbout('burns');
    const lines = cautionsInFull(cautions);
    expect(lines).toHaveLength(cautions.length + 1);
    expect(lines.join(' ').match(/stand above/g)).toHaveLength(1);
    for (const { authority } of cautions)
      expect(lines.at(-1)).toContain(authority.replace('food ', 'food-safety '));
    expect(cautionsInFull(cautionsAbout('drains')).at(-1)).toBe(
      'Your local waste and sewer utility stands above this.',
    );
    expect(cautionsInFull([])).toEqual([]);
  });
});

describe('the caution for what somebody is about to do', () => {
  it('is there for everything, names the most that is known, and is the gravest of its equals', () => {
    fc.assert(
      fc.property(situation, (given) => {
        const named = ({ occasions }: Caution) =>
          Math.max(...occasions.map((occasion) => conditionsMet(occasion, given) ?? 0));
        const chosen = cautionFor(given);
        expect(cautionsFor(given)[0]).toBe(chosen);
        for (const other of CAUTIONS.slice(0, CAUTIONS.indexOf(chosen)))
          expect(named(other), other.id).toBeLessThan(named(chosen));
        for (const other of CAUTIONS) expect(named(other), other.id).toBeLessThanOrEqual(named(chosen));
      }),
    );
  });

  it('never speaks of a pressure cooker to who has none', () => {
    fc.assert(
      fc.property(situation, (given) => {
        if (given.method === 'pressure') return;
        expect(cautionFor(given).topics).not.toContain('pressure');
      }),
    );
  });

  it('never keeps people in a room, where a burner or a smoker stands outdoors', () => {
    for (const { id } of CAUTIONS) expect(textOf(id)).not.toMatch(/in the (?:room|kitchen)\b/i);
  });
});

describe('figures for this cook', () => {
  // ISO 2533 and IAPWS-IF97, computed beside this project: 202.31, 197.33 and 186.32 °F; less 10 °F.
  it.each([
    ['5,280 ft', 202.31, '192 °F'],
    ['8,000 ft', 197.33, '187 °F'],
    ['14,000 ft', 186.32, '176 °F'],
    // At sea level, 211.95 °F, the familiar round figure.
    ['sea level', 211.95, '200 °F'],
  ])('at %s fat is poured 10 °F under the boiling point', (_, boilF, limit) => {
    const boilC = (boilF - 32) / 1.8;
    expect(forCook('below {pour}.', { boilC, unit: 'us' })).toBe(`below ${limit}.`);
    expect(pourBelowC(boilC)).toBeLessThan(boilC - 5);
  });

  it('never exceed what is 10 °F under the boiling point, and stand in no text as a fixed figure', () => {
    fc.assert(
      fc.property(fc.double({ min: 80, max: 101, noNaN: true }), (boilC) => {
        const shownF = Number.parseInt(forCook('{pour}', { boilC, unit: 'us' }), 10);
        expect(shownF).toBeLessThanOrEqual(Math.min(200, boilC * 1.8 + 32 - 9.5));
      }),
    );
    for (const { short, id } of CAUTIONS) expect(short, id).not.toMatch(/\b(?:200|212) °F/);
  });

  it('say that they are those of sea level where nobody said how high they cook', () => {
    expect(forCook('below {pour}')).toBe('below 200 °F (93 °C; less high up)');
    expect(forCook('below {pour}', { unit: 'metric' })).toBe('below 93 °C (less high up)');
    expect(isHigh(undefined)).toBe(false);
  });

  it('are in the units that were asked for, and in both where none were', () => {
    for (const { id } of CAUTIONS) {
      const metric = cautionsInFull([called(id)], { unit: 'metric' }).join(' ');
      expect(metric, id).not.toContain('°F');
      const us = cautionsInFull([called(id)], { unit: 'us' }).join(' ');
      expect(us, id).not.toContain('°C');
    }
    expect(forCook('at 40 °F (4 °C), 3 ft (1 m) away', { unit: 'metric' })).toBe('at 4 °C, 1 m away');
  });
});

describe('what a note of a batch tells', () => {
  it.each([
    ['Stood out all night, looks fine', 'leave-out'],
    ['left it on the counter until morning', 'leave-out'],
    ['forgot it overnight', 'leave-out'],
    ['left in the fridge overnight to set', undefined],
    ['Added garlic and rosemary', 'season'],
    ['canned it, the lids pinged', 'store'],
    ['whipped half of it with butter', 'butter-blend'],
    ['for soap', 'make-soap'],
    ['cleared with bentonite clay', 'clarify'],
    ['smells a bit rancid', 'smell'],
    ['gave the cracklings to the dogs', 'feed-animals'],
    ['used for fries', 'fry'],
    ['two jars sold to neighbours', 'sell'],
    ['washed twice', 'wash'],
    ['Very white, clean taste', undefined],
  ])('%s: %s', (note, activity) => {
    expect(toldIn(note)).toBe(activity);
  });
});

describe('the source beside a caution', () => {
  /** Figures with their units, as they are read. */
  const FIGURES = /[\d,.¼½]+(?= (?:°F|days?|months?|hours?|minutes|cup|mg|ft|lb)\b)/g;

  it.each(CAUTIONS.map((caution) => [caution.id, caution] as const))('has its figures: %s', (id, caution) => {
    const [first = 'nist-sp811'] = caution.sources;
    const { title, where, body } = sourceOf(first);
    if (caution.short.includes('{pour}')) expect(body).toBe('Our own margin');
    const figures = caution.short.replaceAll(/\([^)]*\)/g, '').match(FIGURES) ?? [];
    // As cold as every refrigerator must be: USDA FSIS.
    for (const figure of figures)
      if (figure !== '40' && id !== 'taste-warm-not-hot')
        expect(`${title} ${where}`.replace('a quarter cup', '¼ cup'), figure).toContain(figure);
  });

  it('owns up to what is our own, remembered or quoted', () => {
    const sourceFor = (id: string) => shown(called(id)).source;
    expect(sourceFor('strain-and-pour')).toMatch(/^Our own margin/);
    expect(sourceFor('heat-steps')).toMatch(/^Our own margin/);
    expect(sourceFor('ground-raw-fat')).toMatch(/^Our own analogy/);
    expect(sourceFor('store-cold-and-dry')).toMatch(/^Our own analogy.*FoodKeeper/);
    expect(sourceFor('salted-blend-cold-only')).toMatch(/Food Code.*\(from memory\)/);
    expect(sourceFor('slow-cooker-thawed')).toMatch(/\(as quoted by others\)/);
    expect(sourceFor('no-garlic-under-fat')).toMatch(/^NCHFP/);
    expect(sourceFor('last-water-bumps')).toBe('Common practice (no published source)');
  });
});

describe('what the cautions say agrees with what is published', () => {
  it.each([
    // FDA Food Code 3-501.14(A).
    ['cool-in-two-steps', /70 °F \(21 °C\) within 2 hours and to 41 °F \(5 °C\) within 4 more/],
    // USDA FSIS, danger zone: one hour above 90 °F; 40 to 140 °F; doubling in 20 minutes.
    ['hot-day', /Above 90 °F \(32 °C\).*1 hour instead of 2.*40 and 140 °F.*20 minutes/],
    ['out-too-long', /2 hours in all, 1 hour above 90 °F/],
    // USDA FSIS, defrosting: cold water changed every 30 minutes.
    ['thaw-cold', /refrigerator.*every 30 minutes.*Never on the counter/],
    // USDA FSIS, Slow Cookers and Food Safety, as Iowa State Extension quotes it: always thaw first.
    ['slow-cooker-thawed', /Thawed fat only/],
    // FoodSafety.gov cold storage chart: ground beef 1 to 2 days, 3 to 4 months frozen.
    ['ground-raw-fat', /1 to 2 days.*3 to 4 months/],
    // The same chart: roasts 3 to 5 days.
    ['whole-raw-fat', /3 to 5 days/],
    // NFPA, a fire in a pan: lid on, heat off, leave it, never water.
    ['if-fat-burns', /lid on, heat off, do not move it\. Never water.*covered until cold/],
    // NFPA 10: Class K; EN 3-7 and AS 1841 call it F (from memory).
    ['right-extinguisher', /Class K extinguisher \(Class F in Europe and Australia\)/],
    // Fire Research Note 610: 310 °C.
    ['heat-steps', /310 °C/],
    // Burn associations: cool running water for 20 minutes; no ice.
    ['burns-first-aid', /under cool running water, and go on for 20 minutes\. No ice/],
    // US CPSC (2004): outdoors, level, away from garages and decks, never unattended; NFPA discourages them.
    [
      'outdoor-burner',
      /outdoors only, no garage, no wooden deck, level, never unattended.*children and pets/,
    ],
    ['outdoor-burner', /carbon monoxide.*NFPA.*discourages/],
    // FDA, Food Code 3-501.17: 7 days. From memory.
    ['salted-blend-cold-only', /40 °F \(4 °C\) or below.*within 7 days/],
    // National Center for Home Food Preservation, garlic in oil, 2015 (Nummer and others 2011): 4 days at 40 °F.
    ['no-garlic-under-fat', /40 °F \(4 °C\) or below and use it within 4 days/],
    // USDA FoodKeeper: bacon grease 6 months cold, 12 frozen; butter 1 to 2 months cold, 6 to 9 frozen.
    ['store-cold-and-dry', /about 6 months, or 12 in the freezer, by analogy with bacon grease/],
    ['butter-blend-brief', /1 to 2 months.*6 to 9 months/],
    // German food-chemistry textbook, 2011: tallow melts at 40 to 50 °C, so the tallow is melted first.
    [
      'butter-blend-brief',
      /tallow until it is clear, let it cool to about 100 to 110 °F.*stir in soft butter/,
    ],
    // FDA advisories of 2016; 37.5 ppm by a state laboratory. Reference level from memory.
    ['clay-lead', /37\.5 µg of lead.*2\.2 µg a day/],
    // CPSC: outdoors only, not in a garage or tent even with the door open.
    ['smoker-outdoors', /outdoors only, never in a garage or tent, even with the door open/],
    // City programmes on fats, oils and grease: hot water and detergent only move the clog.
    ['not-down-the-drain', /no fat or greasy water down a sink, toilet or disposer.*only move the clog/],
    // NC State Extension (Fraser 2004).
    ['reused-fat', /within a month.*Replace a fifth/],
    // 21 CFR 101.9(c)(9), from memory.
    ['sodium-adds-up', /2,300 mg/],
    // NIOSH Pocket Guide, sodium hydroxide, from memory.
    ['lye-burns', /lye into water and never water into lye, no aluminium/],
    // National Center for Home Food Preservation, headspace for freezing: ½ in in a pint, 1 in in a quart.
    ['warm-jars', /½ in in a pint and 1 in in a quart/],
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
