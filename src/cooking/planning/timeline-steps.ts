/** The steps of a batch, how long each takes and why it is there. */

import { type Assumption, assumed, type SourceId } from '../../safety/sources.js';
import { type Cut, type Method, moistureOf } from '../../words/methods.js';
import { clamp } from '../../words/numbers.js';
import { G_PER_LB } from '../../words/units.js';
import { FOOD_CODE_COOLING } from '../cooling/cooling.js';

export type StepKind =
  | 'thaw'
  | 'cut'
  | 'heat-up'
  | 'render'
  | 'release'
  | 'strain'
  | 'cool-first'
  | 'cool-last'
  | 'set'
  | 'lift'
  | 're-melt'
  | 'smoke'
  | 'jar';

export interface Batch {
  readonly fatG: number;
  readonly frozen: boolean;
  readonly cut: Cut;
  readonly method: Method;
  /** A slow cooker is used both ways; other methods settle it by themselves. */
  readonly dry?: boolean | undefined;
  readonly loads: number;
  /** Of one load. */
  readonly heatUpMinutes: number;
  /** Of one load, two hours or more. */
  readonly renderMinutes: number;
  /** From the straining pot to 70 °F and to 41 °F, in the way that was chosen. */
  readonly coolFirstMinutes: number;
  readonly coolLastMinutes: number;
  /** Cooled by stirring, so that somebody has to be there until it is cold. */
  readonly stirred?: boolean | undefined;
  /** 0 for no smoke. */
  readonly smokeMinutes: number;
}

/** How long things take that nobody publishes. Common practice, no source. */
const STEP_MINUTES = {
  strain: 15,
  set: 8 * 60,
  setDry: 4 * 60,
  lift: 20,
  remelt: 45,
  jar: 20,
} as const;

/**
 * How long the pressure of a cooker takes to fall by itself once the heat is off. Common practice, no source; the
 * manual decides. A plan counts the longest, so that nobody who follows the clock has to vent.
 */
export const RELEASE_MINUTES = { low: 20, high: 40 } as const;

/** Minutes from the end of one load's render, when the heat goes off, to when it is ready to be strained. */
export function releaseMinutes(method: Method): number {
  return method === 'pressure' ? RELEASE_MINUTES.high : 0;
}

/** Minutes from the end of one load's render to when it is strained and put to cool. */
export function minutesUntilStrained(method: Method): number {
  return releaseMinutes(method) + STEP_MINUTES.strain;
}

/** About a day in the refrigerator for each 4 to 5 lb (USDA FSIS, from memory), in packs of 9 lb at most: assumed. */
const THAW = { hoursPerLb: 24 / 4.5, leastHours: 12, mostHours: 48 };

const CUTTING: Readonly<Record<Cut, { readonly setUpMinutes: number; readonly perKg: number }>> = {
  ground: { setUpMinutes: 30, perKg: 6 },
  minced: { setUpMinutes: 15, perKg: 15 },
  cubed: { setUpMinutes: 10, perKg: 8 },
};

export const RELEASE_ASSUMPTION: Assumption = assumed(
  `Its pressure takes ${RELEASE_MINUTES.low} to ${RELEASE_MINUTES.high} min to fall by itself, of which the longest is counted; the manual decides.`,
);

/** What a timeline takes as given. */
export const TIMELINE_ASSUMPTIONS: readonly Assumption[] = [
  assumed(
    `Straining takes ${STEP_MINUTES.strain} min a load, a disc ${STEP_MINUTES.set / 60} h to set, lifting and scraping ${STEP_MINUTES.lift} min, re-melting and drying ${STEP_MINUTES.remelt} min, jars ${STEP_MINUTES.jar} min.`,
    'practice-chill-and-scrape',
  ),
  assumed(
    `Grinding takes ${CUTTING.ground.setUpMinutes} min and ${CUTTING.ground.perKg} more for each kg, mincing ${CUTTING.minced.setUpMinutes} and ${CUTTING.minced.perKg}, cubing ${CUTTING.cubed.setUpMinutes} and ${CUTTING.cubed.perKg}.`,
  ),
  assumed(
    `Frozen fat thaws in the refrigerator in about a day for each 4 to 5 lb of a pack, ${THAW.leastHours} to ${THAW.mostHours} h (from memory).`,
    'fsis-thawing',
  ),
];

/** A step by its place in a block, in minutes from the block's start. */
export interface Placed {
  readonly kind: StepKind;
  readonly load: number;
  readonly from: number;
  readonly to: number;
  readonly handsOn: boolean;
  readonly limit?: number;
}

/** Two stretches of work and a wait between them that may be longer, never shorter. */
export interface Blocks {
  /** Moist, so that the Food Code applies. */
  readonly cools: boolean;
  readonly thawMinutes: number;
  readonly cook: readonly Placed[];
  /** From the start of cooking to the end of its hands-on part. */
  readonly cookMinutes: number;
  /** The same without the last stirring, which may go on into the night if it must. */
  readonly cookMinutesUnstirred: number;
  /** From the start of cooking to when the fat may be taken in hand again. */
  readonly settledMinutes: number;
  readonly finish: readonly Placed[];
  readonly finishMinutes: number;
}

/** The two stretches of work of a batch, wet or dry. */
export function blocksOf(request: Batch): Blocks {
  const moisture = moistureOf(request.method);
  const dry = moisture === 'dry' || (moisture === 'either' && request.dry === true);
  return dry ? dryBlocks(request) : wetBlocks(request);
}

function wetBlocks(request: Batch): Blocks {
  const { coolFirstMinutes, coolLastMinutes, stirred = false } = request;
  const untilStrained = minutesUntilStrained(request.method);
  const cook = cookSteps(request);
  const cooling = cook
    .filter(({ kind }) => kind === 'strain')
    .flatMap(({ load, to }): readonly Placed[] => {
      const coolUntil = (minutes: number) => to - untilStrained + minutes;
      const [firstTo, lastTo] = [to + coolFirstMinutes, to + coolLastMinutes];
      const first = {
        from: to,
        to: firstTo,
        handsOn: true,
        limit: coolUntil(FOOD_CODE_COOLING.firstMinutes),
      };
      const last = {
        from: firstTo,
        to: lastTo,
        handsOn: stirred,
        limit: coolUntil(FOOD_CODE_COOLING.lastMinutes),
      };
      return [
        { kind: 'cool-first', load, ...first },
        { kind: 'cool-last', load, ...last },
      ];
    });
  const strainedMinutes = endOf(cook);
  const coldMinutes = strainedMinutes + coolLastMinutes;
  const finish = inOrder(0, [
    ['lift', STEP_MINUTES.lift],
    ['re-melt', STEP_MINUTES.remelt],
    ...ifAny('smoke', request.smokeMinutes),
    ['jar', STEP_MINUTES.jar],
  ]);
  return {
    cools: true,
    thawMinutes: thawMinutes(request),
    cook: [...cook, ...cooling],
    cookMinutes: stirred ? coldMinutes : strainedMinutes + coolFirstMinutes,
    cookMinutesUnstirred: strainedMinutes + coolFirstMinutes,
    settledMinutes: coldMinutes + STEP_MINUTES.set,
    finish,
    finishMinutes: endOf(finish),
  };
}

/** No broth, so nothing to cool in two stages: hot fat is strained into jars and sets there. */
function dryBlocks(request: Batch): Blocks {
  const hot = cookSteps(request);
  const tail = inOrder(endOf(hot), [...ifAny('smoke', request.smokeMinutes), ['jar', STEP_MINUTES.jar]]);
  const cookMinutes = endOf(tail);
  return {
    cools: false,
    thawMinutes: thawMinutes(request),
    cook: [...hot, ...tail],
    cookMinutes,
    cookMinutesUnstirred: cookMinutes,
    settledMinutes: cookMinutes + STEP_MINUTES.setDry,
    finish: [],
    finishMinutes: 0,
  };
}

/** Cutting once, then heat-up, render and strain of each load; a pressure cooker is not opened before its pressure fell. */
function cookSteps({ fatG, cut, method, loads, heatUpMinutes, renderMinutes }: Batch): readonly Placed[] {
  const { setUpMinutes, perKg } = CUTTING[cut];
  const steps: Placed[] = [...inOrder(0, [['cut', setUpMinutes + (perKg * fatG) / 1000]])];
  for (let load = 1; load <= loads; load++) {
    const ofLoad = inOrder(endOf(steps), [
      ['heat-up', heatUpMinutes],
      ['render', renderMinutes],
      ...ifAny('release', releaseMinutes(method)),
      ['strain', STEP_MINUTES.strain],
    ]);
    steps.push(...ofLoad.map((step) => ({ ...step, load, handsOn: step.kind !== 'release' })));
  }
  return steps;
}

type Lasting = readonly [StepKind, number];

/** Hands-on steps one after another. */
function inOrder(startMinutes: number, steps: readonly Lasting[]): readonly Placed[] {
  let at = startMinutes;
  return steps.map(([kind, minutes]) => {
    const from = at;
    at += minutes;
    return { kind, load: 0, from, to: at, handsOn: true };
  });
}

const ifAny = (kind: StepKind, minutes: number): readonly Lasting[] => (minutes > 0 ? [[kind, minutes]] : []);

function thawMinutes({ fatG, frozen }: Batch): number {
  if (!frozen) return 0;
  const hours = (fatG / G_PER_LB) * THAW.hoursPerLb;
  return 60 * clamp(hours, THAW.leastHours, THAW.mostHours);
}

/** Why each step is there. */
export const REASONS: Readonly<
  Record<StepKind, { readonly why: string; readonly sources: readonly SourceId[] }>
> = {
  thaw: {
    why: 'In the refrigerator, never on the counter: about a day for each 4 to 5 lb in a pack.',
    sources: ['fsis-thawing', 'food-code-thawing'],
  },
  cut: {
    why: 'Fine pieces give more tallow; fat cuts best when it is cold and firm.',
    sources: ['ap-42', 'practice-yield'],
  },
  'heat-up': {
    why: 'From cold to the boil, slowly enough that nothing scorches.',
    sources: ['practice-time'],
  },
  render: { why: 'Two hours is the least.', sources: ['practice-time'] },
  release: {
    why: `Heat off; by itself it takes ${RELEASE_MINUTES.low} to ${RELEASE_MINUTES.high} min by common practice. The manual decides; never force the lid.`,
    sources: ['pressure-cooker-instructions'],
  },
  strain: {
    why: 'While it is hot and thin, through a cloth or a fine sieve.',
    sources: ['practice-hot-handling'],
  },
  'cool-first': {
    why: 'Within 2 hours of the end of the render, in shallow containers or an ice bath.',
    sources: ['food-code-cooling'],
  },
  'cool-last': {
    why: 'Within 6 hours of the end of the render.',
    sources: ['food-code-cooling'],
  },
  set: {
    why: 'In the refrigerator until it is firm: overnight for a disc, some hours for jars.',
    sources: ['practice-chill-and-scrape'],
  },
  lift: {
    why: 'Lift the disc and scrape off the brown layer, which is moist and spoils first.',
    sources: ['practice-chill-and-scrape'],
  },
  're-melt': {
    why: 'Gently, until the bubbling of the last water stops.',
    sources: ['practice-chill-and-scrape', 'lard-extension'],
  },
  smoke: {
    why: 'The liquid tallow in a shallow pan, outdoors.',
    sources: ['practice-smoke', 'cpsc-charcoal'],
  },
  jar: { why: 'Into clean, dry, warm jars.', sources: ['practice-jar-headspace', 'lard-extension'] },
};

/** The last minute of any of the steps. */
export function endOf(steps: readonly Placed[]): number {
  return Math.max(0, ...steps.map(({ to }) => to));
}
