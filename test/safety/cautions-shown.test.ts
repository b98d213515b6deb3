import { describe, expect, it } from 'vitest';
import { CAUTIONS } from '../../src/safety/cautions.js';
import { cautionFor, cautionsFor } from '../../src/safety/choose.js';
import { ACTIVITIES, BURNERS, CIRCUMSTANCES, SEASONS, type Situation } from '../../src/safety/occasion.js';
import { reminderFor } from '../../src/safety/weekly-reminder.js';
import { CUTS, METHODS, type Method } from '../../src/words/methods.js';

/*
 * Which cautions people are shown, written out once more beside the table that they come from. A change here is a change
 * of what somebody with hot fat is told: it should be meant, and be read by somebody who knows why.
 * Common practice, no source: that each caution fits where it stands was judged line by line.
 */

/** What is done | by which methods | the one caution shown. “others” are the methods in no other line. */
const SHOWN = `
thaw         | slow-cooker           | slow-cooker-thawed
thaw         | others                | thaw-cold
grind        | others                | clean-after-raw
heat-up      | open-pot              | frothing-fat
heat-up      | pressure              | pressure-makers-limit
heat-up      | slow-cooker           | children-and-pets
heat-up      | stovetop-dry          | no-water-on-hot-fat
heat-up      | oven                  | oven-pan
heat-up      | smoker                | fat-in-a-smoker
render       | open-pot              | hot-water-while-it-bubbles
render       | pressure              | pressure-makers-limit
render       | slow-cooker           | slow-cooker-thawed
render       | stovetop-dry, oven    | heat-steps
render       | smoker                | smoker-outdoors
release      | pressure              | pressure-natural-release
cool-down    | others                | children-and-pets
strain       | pressure              | pressure-natural-release
strain       | slow-cooker           | slow-cooker-thawed
strain       | oven                  | oven-pan
strain       | others                | strain-and-pour
chill        | others                | cool-in-two-steps
lift         | pressure, slow-cooker | brown-layer
lift         | others                | not-down-the-drain
remelt       | others                | last-water-bumps
wash         | others                | wash-below-boiling
clarify      | others                | clay-lead
smoke        | others                | smoker-outdoors
jar          | others                | warm-jars
store        | others                | no-home-canning
clean-up     | others                | greasy-cloths
butter-blend | others                | no-garlic-under-fat
salted-blend | others                | salted-blend-cold-only
season       | others                | no-garlic-under-fat
fry          | pressure              | pressure-not-a-fryer
fry          | others                | frying-in-tallow
fry-again    | others                | reused-fat
leave-out    | others                | out-too-long
smell        | others                | rancid-fat
feed-animals | others                | no-fat-for-animals
make-soap    | others                | lye-burns
serve        | others                | taste-warm-not-hot
taste        | others                | taste-who-should-not
sell         | others                | selling
`;

/** What else is known, beside what is done and by what method, and what it changes. */
const SHOWN_BESIDES = `
grind        | open-pot     | ground      | grinder-fingers
grind        | open-pot     | minced      | grinder-fingers
grind        | open-pot     | cubed       | clean-after-raw
grind        | open-pot     | summer      | hot-day
thaw         | open-pot     | summer      | hot-day
chill        | open-pot     | summer      | hot-day
grind        | open-pot     | warm        | out-too-long
heat-up      | open-pot     | outdoor gas | outdoor-burner
heat-up      | open-pot     | induction   | children-and-pets
heat-up      | open-pot     | large       | right-extinguisher
render       | open-pot     | outdoor gas | outdoor-burner
render       | stovetop-dry | outdoor gas | outdoor-burner
render       | open-pot     | gas         | gas-needs-air
render       | open-pot     | top-ups     | when-the-water-is-gone
render       | slow-cooker  | top-ups     | when-the-water-is-gone
render       | open-pot     | long        | stay-with-hot-fat
render       | open-pot     | overnight   | awake-at-night
render       | slow-cooker  | overnight   | slow-cooker-thawed
render       | open-pot     | large       | do-not-lift
render       | open-pot     | high        | boils-lower
render       | open-pot     | frozen      | thaw-cold
render       | pressure     | frozen      | thaw-cold
render       | slow-cooker  | frozen      | no-water-on-hot-fat
render       | smoker       | frozen      | thaw-cold
render       | open-pot     | warm        | out-too-long
render       | pressure     | long        | pressure-not-a-fryer
render       | stovetop-dry | long        | if-fat-burns
render       | oven         | long        | fumes
render       | oven         | large       | oven-pan
render       | smoker       | long        | fat-in-a-smoker
render       | smoker       | winter      | smoker-in-winter
strain       | open-pot     | large       | do-not-lift
remelt       | open-pot     | large       | if-fat-burns
jar          | open-pot     | large       | burns-first-aid
jar          | open-pot     | smoked      | smoke-hot-or-cool-fast
smoke        | open-pot     | winter      | smoker-in-winter
butter-blend | open-pot     | large       | milk-allergen
butter-blend | open-pot     | unsalted    | butter-blend-brief
butter-blend | open-pot     | salty       | sodium-adds-up
salted-blend | open-pot     | large       | hot-fat-in-a-blender
salted-blend | open-pot     | salty       | sodium-adds-up
`;

/** What the weekly posts say in the course of a year to those who cook by one method alone, besides what they say to everybody. */
const OF_A_YEAR = `
open-pot     | outdoor-burner, awake-at-night, when-the-water-is-gone, hot-water-while-it-bubbles, boils-lower, frothing-fat, right-extinguisher, gas-needs-air, out-too-long
pressure     | pressure-makers-limit, pressure-not-a-fryer, pressure-natural-release, awake-at-night, brown-layer
slow-cooker  | no-water-on-hot-fat, when-the-water-is-gone, boils-lower, out-too-long, slow-cooker-thawed, brown-layer
stovetop-dry | outdoor-burner, no-water-on-hot-fat, awake-at-night, boils-lower, heat-steps, right-extinguisher, gas-needs-air, out-too-long
oven         | awake-at-night, heat-steps, oven-pan, out-too-long, fumes
smoker       | smoker-outdoors, smoker-in-winter, awake-at-night, fat-in-a-smoker, out-too-long
`;

const cellsOf = (table: string): readonly (readonly string[])[] =>
  table
    .trim()
    .split('\n')
    .map((line) => line.split('|').map((cell) => cell.trim()));

const ROWS = cellsOf(SHOWN);

/** What the table says of this activity by this method; undefined where nobody does such a thing. */
function tabled(activity: string, method: Method): string | undefined {
  const rows = ROWS.filter(([one]) => one === activity);
  const row =
    rows.find(([, by]) => by?.split(', ').includes(method)) ?? rows.find(([, by]) => by === 'others');
  return row?.[2];
}

/** A cell of the second table as what it is: a cut, a season, a burner or a circumstance. */
function knownAs(what = ''): Partial<Situation> {
  const among = <V extends string>(all: readonly V[]) => all.find((one) => one === what);
  const [cut, season, burner] = [among(CUTS.map(({ value }) => value)), among(SEASONS), among(BURNERS)];
  const circumstance = among(CIRCUMSTANCES);
  if (!(cut || season || burner || circumstance)) throw new RangeError(`${what} is nothing known`);
  return { cut, season, burner, circumstances: circumstance && [circumstance] };
}

describe('the one caution that somebody is shown', () => {
  for (const activity of ACTIVITIES)
    it.each(METHODS.map(({ value }) => value))(`on ${activity}, by %s`, (method) => {
      const [shown] = cautionsFor({ activity, method });
      expect(shown?.id).toBe(tabled(activity, method));
    });

  it.each(cellsOf(SHOWN_BESIDES))('on %s, by %s, with %s', (activity, method, what, shown) => {
    const situation = { activity, method, ...knownAs(what) } as Situation;
    expect(cautionFor(situation).id).toBe(shown);
  });

  it('goes round, where the same is done again and again', () => {
    const told = [0, 1, 2, 3, 4, 5].map((turn) => cautionFor({ activity: 'store' }, turn).id);
    expect(told.slice(0, 3)).toEqual(['no-home-canning', 'store-cold-and-dry', 'label-jars']);
    expect(told.slice(3)).toEqual(told.slice(0, 3));
  });

  it('names the most of what is known, and is the gravest of those that name as much', () => {
    const situation: Situation = {
      activity: 'render',
      method: 'open-pot',
      burner: 'outdoor gas',
      circumstances: ['large', 'long', 'top-ups'],
    };
    const ids = cautionsFor(situation).map(({ id }) => id);
    const order = CAUTIONS.map(({ id }) => id);
    expect(ids.slice(0, 4)).toEqual(
      ['outdoor-burner', 'when-the-water-is-gone', 'stay-with-hot-fat', 'do-not-lift'].toSorted(
        (one, other) => order.indexOf(one) - order.indexOf(other),
      ),
    );
    expect(ids.at(-1)).toBe('hot-water-while-it-bubbles');
  });

  it('is every one of the table on some occasion', () => {
    const tabledIds = [...ROWS.map(([, , id]) => id), ...cellsOf(SHOWN_BESIDES).map(([, , , id]) => id)];
    const reached = new Set([
      ...tabledIds,
      'store-cold-and-dry',
      'label-jars',
      'ground-raw-fat',
      'whole-raw-fat',
    ]);
    expect([...reached].sort()).toEqual(CAUTIONS.map(({ id }) => id).sort());
    for (const [cut, id] of [
      ['ground', 'ground-raw-fat'],
      ['cubed', 'whole-raw-fat'],
    ] as const)
      expect(cautionFor({ activity: 'grind', cut, circumstances: ['loads'] }).id).toBe(id);
  });
});

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
