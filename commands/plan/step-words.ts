import { HOTTEST_C } from '../../src/cooking/cooling/cool-down.js';
import { FOOD_CODE_COOLING } from '../../src/cooking/cooling/cooling.js';
import type { Step } from '../../src/cooking/planning/timeline.js';
import { RELEASE_MINUTES, type StepKind } from '../../src/cooking/planning/timeline-steps.js';
import { isTooHeavyToLift } from '../../src/kitchen/render-words.js';
import { seasonAt } from '../../src/safety/season.js';
import { KEEPING } from '../../src/safety/storage.js';
import {
  lengthWords,
  minutesWords,
  temperatureRangeWords,
  temperatureWords,
} from '../../src/words/amounts.js';
import type { Cut, Method } from '../../src/words/methods.js';
import { celsiusFromFahrenheit } from '../../src/words/units.js';
import type { PlannedBatch } from './planned-batch.js';

/** What the steps of a plan are called, and what to do in each. */

const CUT_NAMES: Readonly<Record<Cut, string>> = {
  ground: 'Grind',
  minced: 'Mince',
  cubed: 'Cut into cubes',
};

export function stepName(kind: StepKind, { render, values: { unit } }: PlannedBatch): string {
  const names: Readonly<Record<StepKind, string>> = {
    thaw: 'Thaw',
    cut: CUT_NAMES[render.fat.cut],
    'heat-up': 'Heat up',
    render: 'Render',
    release: 'Let the pressure fall',
    'cool-down': 'Let it cool down',
    strain: 'Strain',
    'cool-first': `Cool to ${temperatureWords(FOOD_CODE_COOLING.firstC, unit)}`,
    'cool-last': `Cool on to ${temperatureWords(FOOD_CODE_COOLING.lastC, unit)}`,
    set: 'Let it set',
    lift: 'Lift and scrape',
    're-melt': 'Re-melt and dry',
    smoke: 'Smoke',
    'cool-to-jar': 'Let it cool down',
    jar: 'Jar',
  };
  return names[kind];
}

/** Said shorter after the first load, so that twelve of them fit into a message. */
export const BRIEFLY: Readonly<Partial<Record<StepKind, string>>> = {
  release: 'Pressure falls',
};

/** Sentences of the trade that say the same in every plan. */
export const RULES = {
  thaw: 'In the refrigerator, never on the counter: about a day for each 4 to 5 lb in a pack.',
  'cool-first': 'Within 2 hours of the end of the render.',
  'cool-last': 'Within 6 hours of the end of the render.',
  'heat-up, dry': 'On low for 20 to 30 min, until an inch of liquid fat stands in the pot.',
  kept: keptWords(),
} as const;

/** How long tallow keeps; no authority names a time for it. */
function keptWords(): string {
  const { refrigerator, freezer } = KEEPING.tallow;
  const months = (days: number) => Math.round(days / 30);
  return `about ${months(refrigerator.daysHigh)} months, frozen ${months(freezer.daysHigh)}, as bacon grease keeps.`;
}

/** What to do in a step, with its end point. */
export function stepSentence({ kind, startMs, endMs }: Step, planned: PlannedBatch): string {
  const unit = planned.values.unit;
  const below = temperatureWords(planned.coolDown.belowC, unit);
  const sentences: Readonly<Record<StepKind, () => string>> = {
    thaw: () => RULES.thaw,
    cut: () => cutSentence(planned, (endMs - startMs) / 60_000),
    'heat-up': () => HEAT_UP[planned.render.method](planned),
    render: () => END_POINT[planned.render.method](planned),
    release: () =>
      `Heat off; by itself it takes ${RELEASE_MINUTES.low} to ${minutesWords(RELEASE_MINUTES.high)} by common practice. The manual decides; never force the lid.`,
    'cool-down': () => `Heat off, until it is below ${below}, safely under the boil here.`,
    strain: () => strainSentence(planned, below),
    'cool-first': () => RULES['cool-first'],
    'cool-last': () => RULES['cool-last'],
    set: () => 'In the refrigerator until it is firm: overnight for a disc, some hours for jars.',
    lift: () => 'Scrape off the brown layer under the disc: it is moist and spoils first.',
    're-melt': () =>
      `Gently, until the last water stops bubbling: ${temperatureWords(HOTTEST_C.remelt, unit)} at most.`,
    smoke: () =>
      `The liquid tallow in a shallow pan half full, outdoors, the smoker at ${smokerSetting(planned)}. Stay with it.`,
    'cool-to-jar': () => `Heat off, until it is below ${below}.`,
    jar: () =>
      `Below ${below}, into clean, dry, warm, heat-proof jars, ${lengthWords(HEADSPACE_CM.jar / 100, unit)} free, ${lengthWords(HEADSPACE_CM.freezer / 100, unit)} for the freezer. ${lidWords(planned)}`,
  };
  return sentences[kind]();
}

/** Longer than this the fat would be out of the cold for too long at once. */
const LONGEST_CUTTING_MINUTES = 60;

/** FSIS: two hours out of the cold in all, one above 90 °F. */
export const HOT_DAY_C = celsiusFromFahrenheit(90);

function cutSentence({ render, nowMs, zone, values: { unit } }: PlannedBatch, minutes: number): string {
  const { loads } = render.pot.loads;
  const inPortions = loads > 1 || minutes > LONGEST_CUTTING_MINUTES;
  const portions = inPortions
    ? ` ${loads > 1 ? 'This load only, half' : 'Half'} an hour at a time: the rest stays in the refrigerator.`
    : '';
  const isHot = seasonAt(new Date(nowMs), zone) === 'summer';
  const hot = isHot
    ? ` Above ${temperatureWords(HOT_DAY_C, unit)} it may be out of the cold for one hour in all, not two.`
    : '';
  return `Fat cuts best cold and firm.${portions}${hot}`;
}

const smokerSetting = ({ values: { unit } }: PlannedBatch): string =>
  temperatureRangeWords(SETTING_C.low, SETTING_C.high, unit);

/** What stays free in a jar: a finger, and for the freezer what NCHFP has for straight quarts. */
export const HEADSPACE_CM = { jar: 1.27, freezer: 2.54 } as const;

/** Of an oven or a smoker, 225 to 250 °F. Common practice, no source. */
export const SETTING_C = { low: celsiusFromFahrenheit(225), high: celsiusFromFahrenheit(250) } as const;

/** How each method is brought to heat. */
const HEAT_UP: Readonly<Record<Method, (planned: PlannedBatch) => string>> = {
  'open-pot': () => 'From cold to the boil, slowly enough that nothing scorches.',
  pressure: () => 'Half full at most, lid locked, as the manual says.',
  'slow-cooker': () => 'Thawed fat, lid on, set to high until it is hot.',
  'stovetop-dry': () => RULES['heat-up, dry'],
  oven: (planned) => `Oven at ${smokerSetting(planned)}, the pan on a tray, two thirds full at most.`,
  smoker: (planned) => `Smoker at ${smokerSetting(planned)}, outdoors, the pan away from the fire.`,
};

const dryEnd = ({ values: { unit } }: PlannedBatch): string =>
  `Done when the bubbling has stopped and the cracklings are brown and sink. Fat at ${temperatureWords(HOTTEST_C.dry, unit)} at most.`;

/** When each method is done. */
const END_POINT: Readonly<Record<Method, (planned: PlannedBatch) => string>> = {
  'open-pot': ({ render, values: { unit } }) =>
    `At a simmer, about ${temperatureWords(render.heat.boiling.boilC, unit)}, water always in the pot. Done when the bits are golden and sink.`,
  pressure: ({ render, values: { unit } }) =>
    `Near ${temperatureWords(render.heat.boiling.boilC, unit)}. Never leave it. Done when, opened, the bits sink.`,
  'slow-cooker': () => 'On low, lid on. Done when the bits are golden and sink and the fat is clear.',
  'stovetop-dry': dryEnd,
  oven: dryEnd,
  smoker: dryEnd,
};

function strainSentence({ render }: PlannedBatch, below: string): string {
  const heavy = isTooHeavyToLift(render) || render.method === 'slow-cooker' ? ' Do not lift it: ladle.' : '';
  return `Below ${below}, through a metal sieve or a dry cloth, into dry metal.${heavy}`;
}

/** What to write on the lid, by how long tallow keeps. */
export function lidWords({ values: { smoke } }: Pick<PlannedBatch, 'values'>): string {
  const what = smoke === undefined ? 'Beef tallow' : 'Smoked beef tallow';
  return `On the lid: “${what}”, the date, “keep cold”: ${RULES.kept}`;
}
