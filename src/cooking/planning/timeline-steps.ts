/** The steps of a batch and how long each takes. */

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
  | 'cool-down'
  | 'strain'
  | 'cool-first'
  | 'cool-last'
  | 'set'
  | 'lift'
  | 're-melt'
  | 'smoke'
  | 'cool-to-jar'
  | 'jar';

export interface Batch {
  readonly fatG: number;
  /** The water that a load starts with. */
  readonly waterMlEach: number;
  /** The most to expect, and the jars for it. */
  readonly tallowG: number;
  readonly jars: number;
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
  /** Heat off, until a load may be strained, and until fat that was heated again may be poured into jars. */
  readonly coolDownMinutes: number;
  readonly coolToJarMinutes: number;
  /** From the straining pot to 70 °F and to 41 °F, in the way that was chosen. */
  readonly coolFirstMinutes: number;
  readonly coolLastMinutes: number;
  /** On ice, which somebody renews until it is cold. */
  readonly onIce?: boolean | undefined;
  /** 0 for no smoke. */
  readonly smokeMinutes: number;
}

/** How long things take that nobody publishes; some for each kilogram or jar. Common practice, no source. */
const STRAIN = { minutes: 10, perKg: 1 };
const SET_MINUTES = { wet: 8 * 60, dry: 4 * 60 };
const LIFT_MINUTES = 20;
const REMELT = { minutes: 30, perKg: 8 };
const JARRING = { minutes: 10, perJar: 1.5 };

/**
 * How long the pressure of a cooker takes to fall by itself once the heat is off. Common practice, no source; the
 * manual decides. A plan counts the longest, so that nobody who follows the clock has to vent.
 */
export const RELEASE_MINUTES = { low: 20, high: 40 } as const;

/** Minutes from the end of one load's render, when the heat goes off, to when it is no longer under pressure. */
export function releaseMinutes(method: Method): number {
  return method === 'pressure' ? RELEASE_MINUTES.high : 0;
}

/** Ladling and straining one load: its fat and water together. */
const strainMinutes = ({ fatG, loads, waterMlEach }: Pick<Batch, 'fatG' | 'loads' | 'waterMlEach'>): number =>
  STRAIN.minutes + STRAIN.perKg * ((fatG / loads + waterMlEach) / 1000);

/** Minutes from the end of one load's render to when it is strained and put to cool. */
export function minutesUntilStrained(
  batch: Pick<Batch, 'method' | 'coolDownMinutes' | 'fatG' | 'loads' | 'waterMlEach'>,
): number {
  return releaseMinutes(batch.method) + batch.coolDownMinutes + strainMinutes(batch);
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
    `Straining takes ${STRAIN.minutes} min a load and ${STRAIN.perKg} more for each kg, a disc ${SET_MINUTES.wet / 60} h to set, lifting and scraping ${LIFT_MINUTES} min, re-melting and drying ${REMELT.minutes} min and ${REMELT.perKg} more for each kg of tallow, jars ${JARRING.minutes} min and ${JARRING.perJar} more for each.`,
    'practice-chill-and-scrape',
  ),
  assumed(
    `Grinding takes ${CUTTING.ground.setUpMinutes} min and ${CUTTING.ground.perKg} more for each kg, mincing ${CUTTING.minced.setUpMinutes} and ${CUTTING.minced.perKg}, cubing ${CUTTING.cubed.setUpMinutes} and ${CUTTING.cubed.perKg}. Each load is cut just before it is cooked.`,
  ),
  assumed(
    `Frozen fat thaws in the refrigerator in about a day for each 4 to 5 lb of a pack, ${THAW.leastHours} to ${THAW.mostHours} h (from memory).`,
    'fsis-thawing',
  ),
];

/** A step by its place in a block, in minutes from the block's start. */
export interface Placed {
  readonly kind: StepKind;
  readonly from: number;
  readonly to: number;
  readonly handsOn: boolean;
  readonly limit?: number;
}

/** Stretches of work and waits between them that may be longer, never shorter. */
export interface Blocks {
  /** Moist, so that the Food Code applies. */
  readonly cools: boolean;
  readonly thawMinutes: number;
  /** The steps of one load; all loads are alike. */
  readonly load: readonly Placed[];
  /** How much of a load may be done while the one before still renders: its cutting. */
  readonly leadMinutes: number;
  /** From the start of a load to when its vessel is free. */
  readonly busyMinutes: number;
  /** From the start of the last load to when the fat may be taken in hand again. */
  readonly settledMinutes: number;
  readonly finish: readonly Placed[];
}

/** The stretches of work of a batch, wet or dry. */
export function blocksOf(request: Batch): Blocks {
  const moisture = moistureOf(request.method);
  const dry = moisture === 'dry' || (moisture === 'either' && request.dry === true);
  return dry ? dryBlocks(request) : wetBlocks(request);
}

function wetBlocks(request: Batch): Blocks {
  const { coolFirstMinutes, coolLastMinutes, onIce = false } = request;
  const hot = hotSteps(request);
  const strained = endOf(hot);
  const renderedAt = strained - minutesUntilStrained(request);
  const cooling: readonly Placed[] = [
    {
      kind: 'cool-first',
      from: strained,
      to: strained + coolFirstMinutes,
      handsOn: true,
      limit: renderedAt + FOOD_CODE_COOLING.firstMinutes,
    },
    {
      kind: 'cool-last',
      from: strained + coolFirstMinutes,
      to: strained + coolLastMinutes,
      handsOn: onIce,
      limit: renderedAt + FOOD_CODE_COOLING.lastMinutes,
    },
  ];
  return {
    ...commonBlocks(request, hot),
    cools: true,
    load: [...hot, ...cooling],
    settledMinutes: strained + coolLastMinutes + SET_MINUTES.wet,
    finish: inOrder(0, [['lift', LIFT_MINUTES], ...meltedSteps(request)]),
  };
}

/**
 * No broth, so nothing to cool in two stages: fat is strained into jars and sets there. Several loads that are smoked are
 * smoked together, once they have set.
 */
function dryBlocks(request: Batch): Blocks {
  const { loads, smokeMinutes, coolToJarMinutes, jars } = request;
  const hot = hotSteps(request);
  const isSmokedLater = smokeMinutes > 0 && loads > 1;
  const smoke = ifAny('smoke', smokeMinutes);
  const toJars: readonly Lasting[] = isSmokedLater
    ? []
    : [
        ...smoke,
        ...(smokeMinutes > 0 ? ifAny('cool-to-jar', coolToJarMinutes) : []),
        ['jar', jarMinutes(jars / loads)],
      ];
  const load = [...hot, ...inOrder(endOf(hot), toJars)];
  return {
    ...commonBlocks(request, load),
    cools: false,
    load,
    settledMinutes: endOf(load) + SET_MINUTES.dry,
    finish: isSmokedLater ? inOrder(0, meltedSteps(request)) : [],
  };
}

function commonBlocks(request: Batch, busy: readonly Placed[]) {
  const cutMinutes = cuttingMinutes(request);
  return {
    thawMinutes: thawMinutes(request),
    leadMinutes: Math.min(cutMinutes, request.renderMinutes),
    busyMinutes: endOf(busy),
  };
}

/** Set fat, melted and dried, into jars. */
const meltedSteps = ({ tallowG, jars, smokeMinutes, coolToJarMinutes }: Batch): readonly Lasting[] => [
  ['re-melt', REMELT.minutes + (REMELT.perKg * tallowG) / 1000],
  ...ifAny('smoke', smokeMinutes),
  ...ifAny('cool-to-jar', coolToJarMinutes),
  ['jar', jarMinutes(jars)],
];

const jarMinutes = (jars: number): number => JARRING.minutes + JARRING.perJar * jars;

/** What cutting one load takes. */
function cuttingMinutes({ fatG, loads, cut }: Pick<Batch, 'fatG' | 'loads' | 'cut'>): number {
  const { setUpMinutes, perKg } = CUTTING[cut];
  return setUpMinutes + (perKg * fatG) / loads / 1000;
}

/**
 * From cutting to straining one load. Nobody has to stand by while the pressure falls, nor by a slow cooker, which is made
 * to be left on.
 */
function hotSteps(batch: Batch): readonly Placed[] {
  const { method, heatUpMinutes, renderMinutes, coolDownMinutes } = batch;
  const steps = inOrder(0, [
    ['cut', cuttingMinutes(batch)],
    ['heat-up', heatUpMinutes],
    ['render', renderMinutes],
    ...ifAny('release', releaseMinutes(method)),
    ['cool-down', coolDownMinutes],
    ['strain', strainMinutes(batch)],
  ]);
  const alone: readonly StepKind[] = method === 'slow-cooker' ? ['heat-up', 'render'] : ['release'];
  return steps.map((step) => ({ ...step, handsOn: !alone.includes(step.kind) }));
}

type Lasting = readonly [StepKind, number];

/** Hands-on steps one after another. */
function inOrder(startMinutes: number, steps: readonly Lasting[]): readonly Placed[] {
  let at = startMinutes;
  return steps.map(([kind, minutes]) => {
    const from = at;
    at += minutes;
    return { kind, from, to: at, handsOn: true };
  });
}

const ifAny = (kind: StepKind, minutes: number): readonly Lasting[] => (minutes > 0 ? [[kind, minutes]] : []);

function thawMinutes({ fatG, frozen }: Batch): number {
  if (!frozen) return 0;
  const hours = (fatG / G_PER_LB) * THAW.hoursPerLb;
  return 60 * clamp(hours, THAW.leastHours, THAW.mostHours);
}

/** What each step rests on. */
export const STEP_SOURCES: Readonly<Record<StepKind, readonly SourceId[]>> = {
  thaw: ['fsis-thawing', 'food-code-thawing'],
  cut: ['ap-42', 'practice-yield', 'fsis-danger-zone'],
  'heat-up': ['practice-time'],
  render: ['practice-time', 'lard-extension'],
  release: ['pressure-cooker-instructions'],
  'cool-down': ['hot-fat-inference'],
  strain: ['practice-hot-handling', 'hot-fat-inference'],
  'cool-first': ['food-code-cooling'],
  'cool-last': ['food-code-cooling'],
  set: ['practice-chill-and-scrape'],
  lift: ['practice-chill-and-scrape'],
  're-melt': ['practice-chill-and-scrape', 'lard-extension'],
  smoke: ['practice-smoke', 'cpsc-charcoal'],
  'cool-to-jar': ['hot-fat-inference'],
  jar: ['practice-jar-headspace', 'lard-extension', 'tallow-by-analogy'],
};

/** The last minute of any of the steps. */
export function endOf(steps: readonly Placed[]): number {
  return Math.max(0, ...steps.map(({ to }) => to));
}
