import { describe, expect, it } from 'vitest';
import { type Activity, cautionsFor, type Situation } from '../../src/safety/cautions.js';
import { reminderFor } from '../../src/safety/weekly-reminder.js';
import { METHODS, type Method } from '../../src/words/methods.js';

/*
 * Which cautions people are shown, written out once more beside the table that they come from. A change here is a change
 * of what somebody with hot fat is told: it should be meant, and be read by somebody who knows why.
 * Common practice, no source: that each caution fits where it stands was judged line by line.
 */

/** What is done | by which methods | the cautions shown, the gravest first. “others” are the methods in no other line. */
const SHOWN = `
thaw         | slow-cooker | slow-cooker-thawed, thaw-cold, whole-raw-fat
thaw         | pressure    | pressure-makers-limit, thaw-cold, whole-raw-fat
thaw         | others      | thaw-cold, whole-raw-fat
grind        | pressure    | pressure-makers-limit, clean-after-raw
grind        | others      | clean-after-raw
render       | pressure    | pressure-makers-limit, pressure-not-a-fryer, pressure-natural-release
render       | smoker      | smoker-outdoors, no-water-on-hot-fat, if-fat-burns
render       | slow-cooker | no-water-on-hot-fat, if-fat-burns, heat-steps
render       | others      | no-water-on-hot-fat, if-fat-burns, stay-with-hot-fat
strain       | pressure    | pressure-makers-limit, pressure-natural-release, burns-first-aid
strain       | oven        | burns-first-aid, strain-and-pour, oven-pan
strain       | others      | burns-first-aid, strain-and-pour, cool-in-two-steps
chill        | pressure    | pressure-makers-limit, cool-in-two-steps, brown-layer
chill        | others      | cool-in-two-steps, brown-layer, not-down-the-drain
remelt       | pressure    | pressure-makers-limit, no-water-on-hot-fat, if-fat-burns
remelt       | others      | no-water-on-hot-fat, if-fat-burns, stay-with-hot-fat
wash         | pressure    | pressure-makers-limit, no-water-on-hot-fat, frothing-fat
wash         | others      | no-water-on-hot-fat, frothing-fat, burns-first-aid
clarify      | pressure    | pressure-makers-limit, heat-steps, clay-lead
clarify      | others      | heat-steps, clay-lead
jar          | pressure    | pressure-makers-limit, no-home-canning, burns-first-aid
jar          | others      | no-home-canning, burns-first-aid, strain-and-pour
store        | pressure    | pressure-makers-limit, no-home-canning, no-garlic-under-fat
store        | others      | no-home-canning, no-garlic-under-fat, store-cold-and-dry
clean-up     | pressure    | pressure-makers-limit, clean-after-raw, greasy-cloths
clean-up     | others      | clean-after-raw, greasy-cloths, not-down-the-drain
butter-blend | pressure    | pressure-makers-limit, no-home-canning, no-garlic-under-fat
butter-blend | others      | no-home-canning, no-garlic-under-fat, butter-blend-brief
salted-blend | pressure    | pressure-makers-limit, salted-blend-cold-only, no-home-canning
salted-blend | others      | salted-blend-cold-only, no-home-canning, no-garlic-under-fat
smoke        | pressure    | pressure-makers-limit, smoker-outdoors, no-water-on-hot-fat
smoke        | others      | smoker-outdoors, no-water-on-hot-fat, if-fat-burns
fry          | pressure    | pressure-makers-limit, pressure-not-a-fryer, no-water-on-hot-fat
fry          | others      | no-water-on-hot-fat, if-fat-burns, stay-with-hot-fat
sell         | pressure    | pressure-makers-limit, selling
sell         | others      | selling
`;

/** What the cut and the season change, for an open pot. */
const SHOWN_BESIDES = `
thaw  | ground | thaw-cold, ground-raw-fat, whole-raw-fat
thaw  | minced | thaw-cold, ground-raw-fat, whole-raw-fat
thaw  | cubed  | thaw-cold, whole-raw-fat
grind | ground | grinder-fingers, clean-after-raw, ground-raw-fat
grind | minced | grinder-fingers, clean-after-raw, ground-raw-fat
grind | cubed  | clean-after-raw
store | ground | no-home-canning, no-garlic-under-fat, ground-raw-fat
store | minced | no-home-canning, no-garlic-under-fat, ground-raw-fat
store | cubed  | no-home-canning, no-garlic-under-fat, whole-raw-fat
thaw  | summer | hot-day, thaw-cold, whole-raw-fat
grind | summer | hot-day, clean-after-raw
chill | summer | cool-in-two-steps, hot-day, brown-layer
`;

/** What the weekly posts say in the course of a year to those who cook by one method alone, besides what they say to everybody. */
const OF_A_YEAR = `
open-pot     | when-the-water-is-gone, outdoor-burner
pressure     | pressure-makers-limit, pressure-not-a-fryer, pressure-natural-release
slow-cooker  | when-the-water-is-gone, slow-cooker-thawed
stovetop-dry | outdoor-burner
oven         | oven-pan
smoker       | smoker-outdoors, fat-in-a-smoker, smoker-in-winter
`;

const cellsOf = (table: string): readonly (readonly string[])[] =>
  table
    .trim()
    .split('\n')
    .map((line) => line.split('|').map((cell) => cell.trim()));

const shownFor = (situation: Situation): string =>
  cautionsFor(situation)
    .map(({ id }) => id)
    .join(', ');

const ROWS = cellsOf(SHOWN);
const ACTIVITIES = [...new Set(ROWS.map(([activity]) => activity))] as readonly Activity[];

/** What the table says of this activity by this method. */
function tabled(activity: Activity, method: Method): string | undefined {
  const rows = ROWS.filter(([one]) => one === activity);
  const row = rows.find(([, by]) => by === method) ?? rows.find(([, by]) => by === 'others');
  return row?.[2];
}

describe('what somebody is shown', () => {
  for (const activity of ACTIVITIES)
    it.each(METHODS.map(({ value }) => value))(`on ${activity}, by %s`, (method) => {
      expect(shownFor({ activity, method })).toBe(tabled(activity, method));
    });

  it.each(cellsOf(SHOWN_BESIDES))('on %s, with %s', (activity, what, shown) => {
    const situation = { activity, method: 'open-pot' } as Situation;
    const besides = (what === 'summer' ? { season: what } : { cut: what }) as Situation;
    expect(shownFor({ ...situation, ...besides })).toBe(shown);
  });
});

const SEASONS = ['winter', 'spring', 'summer', 'autumn'] as const;
const WEEKS_OF_A_SEASON = 13;

/** The cautions of the weekly posts of a year in which nothing was cooked but by this method; each has its turn. */
function ofAYear(method: Method): ReadonlySet<string> {
  const now = new Date('2026-01-04T18:00:00Z');
  const shown = new Set<string>();
  for (const season of SEASONS)
    for (let week = 0; week < WEEKS_OF_A_SEASON; week += 1) {
      const recentlyShown = [...shown].map((id) => ({ id, shownAt: now }));
      shown.add(reminderFor({ fatGByMethod: new Map([[method, 2000]]), season, recentlyShown, now }).id);
    }
  return shown;
}

describe('what the weekly posts remind of', () => {
  const toldTo = new Map(METHODS.map(({ value }) => [value, ofAYear(value)]));
  const isForAll = (id: string) => [...toldTo.values()].every((ids) => ids.has(id));

  it.each(cellsOf(OF_A_YEAR))('those who cook by %s', (method, told) => {
    const ids = toldTo.get(method as Method) ?? new Set();
    expect([...ids].filter((id) => !isForAll(id)).sort()).toEqual(told?.split(', ').sort());
  });
});
