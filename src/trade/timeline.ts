/** The steps of a batch and when each happens, backwards from when it must be ready or forwards from a start. */

import { FOOD_CODE_COOLING } from './cooling.js';
import { type Cut, type Method, moistureOf } from './methods.js';
import { placeBefore, placeFrom, type QuietHours, touches } from './placing.js';
import type { SourceId } from './sources.js';
import { G_PER_LB } from './units.js';
import { LEAST_RENDER_MINUTES } from './water.js';

export type StepKind =
  | 'thaw'
  | 'cut'
  | 'heat-up'
  | 'render'
  | 'strain'
  | 'cool-first'
  | 'cool-last'
  | 'set'
  | 'lift'
  | 're-melt'
  | 'smoke'
  | 'jar';

export interface Step {
  readonly kind: StepKind;
  /** Which load, from 1; 0 for the whole batch. */
  readonly load: number;
  readonly startMs: number;
  readonly endMs: number;
  /** Somebody has to be there. */
  readonly handsOn: boolean;
  /** Hands-on in hours that were asked to be left alone, because nothing else fitted. */
  readonly inQuietHours: boolean;
  /** The Food Code's limit for the end of a cooling step. */
  readonly byMs?: number;
  readonly why: string;
  readonly sources: readonly SourceId[];
}

export interface TimelineRequest {
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
  /** 0 for no smoke. */
  readonly smokeMinutes: number;
  /** Nothing can begin before this. */
  readonly nowMs: number;
  /** When it must be ready; without it the plan runs forward from `nowMs`. */
  readonly byMs?: number | undefined;
  /** When nobody wants to stand at the stove, such as the nights. In order, not overlapping. */
  readonly quiet?: readonly QuietHours[] | undefined;
}

export interface Timeline {
  readonly ok: true;
  readonly startMs: number;
  readonly finishMs: number;
  /** In the order in which they begin. */
  readonly steps: readonly Step[];
}

export type TimelineProblem =
  | { readonly ok: false; readonly problem: 'cannot-be-met'; readonly earliestFinishMs: number }
  /** The way of cooling breaks the Food Code: minutes after the end of the render against the limits. */
  | {
      readonly ok: false;
      readonly problem: 'cools-too-slowly';
      readonly firstMinutes: number;
      readonly lastMinutes: number;
      readonly mostFirstMinutes: number;
      readonly mostLastMinutes: number;
    };

/** How long things take that nobody publishes. Common practice, no source. */
export const STEP_MINUTES = {
  strain: 15,
  set: 8 * 60,
  setDry: 4 * 60,
  lift: 20,
  remelt: 45,
  jar: 20,
} as const;

/** Food is thawed about a day for each 4 to 5 lb in the refrigerator (USDA FSIS, from memory). */
const THAW_HOURS_PER_LB = 24 / 4.5;
const LEAST_THAW_HOURS = 12;

const CUTTING: Readonly<Record<Cut, { readonly setUpMinutes: number; readonly perKg: number }>> = {
  ground: { setUpMinutes: 30, perKg: 6 },
  minced: { setUpMinutes: 15, perKg: 15 },
  cubed: { setUpMinutes: 10, perKg: 8 },
};

/**
 * The timeline of a batch. Loads follow one another in the same vessel and each cools as soon as it is strained. What
 * waits, waits in the refrigerator: the disc before it is lifted.
 * Refused when it cannot be ready in time, with the earliest finish, and when a cooling step would break the Food Code.
 * Throws RangeError when a figure is negative or not finite, loads are not a whole number from 1 up, or the render is
 * shorter than two hours.
 */
export function timelineOf(request: TimelineRequest): Timeline | TimelineProblem {
  check(request);
  const blocks = blocksOf(request);
  const firstMinutes = STEP_MINUTES.strain + request.coolFirstMinutes;
  const lastMinutes = STEP_MINUTES.strain + request.coolLastMinutes;
  if (
    blocks.cools &&
    (firstMinutes > FOOD_CODE_COOLING.firstMinutes || lastMinutes > FOOD_CODE_COOLING.lastMinutes)
  )
    return {
      ok: false,
      problem: 'cools-too-slowly',
      firstMinutes,
      lastMinutes,
      mostFirstMinutes: FOOD_CODE_COOLING.firstMinutes,
      mostLastMinutes: FOOD_CODE_COOLING.lastMinutes,
    };
  const earliest = forwards(blocks, request);
  if (request.byMs === undefined) return timeline(blocks, earliest, request);
  if (finishOf(blocks, earliest) > request.byMs)
    return { ok: false, problem: 'cannot-be-met', earliestFinishMs: finishOf(blocks, earliest) };
  const latest = backwards(blocks, request.byMs, request);
  return timeline(blocks, latest.thawMs >= request.nowMs ? latest : earliest, request);
}

/** A step by its place in a block, in minutes from the block's start. */
interface Placed {
  readonly kind: StepKind;
  readonly load: number;
  readonly from: number;
  readonly to: number;
  readonly handsOn: boolean;
  readonly limit?: number;
}

/** Two stretches of work and a wait between them that may be longer, never shorter. */
interface Blocks {
  readonly cools: boolean;
  readonly thawMinutes: number;
  readonly cook: readonly Placed[];
  /** From the start of cooking to the end of its hands-on part. */
  readonly cookMinutes: number;
  /** From the start of cooking to when the fat may be taken in hand again. */
  readonly settledMinutes: number;
  readonly finish: readonly Placed[];
  readonly finishMinutes: number;
}

interface Start {
  readonly thawMs: number;
  readonly cookMs: number;
  readonly finishStartMs: number;
}

function blocksOf(request: TimelineRequest): Blocks {
  const moisture = moistureOf(request.method);
  const dry = moisture === 'dry' || (moisture === 'either' && request.dry === true);
  return dry ? dryBlocks(request) : wetBlocks(request);
}

function wetBlocks(request: TimelineRequest): Blocks {
  const { coolFirstMinutes, coolLastMinutes } = request;
  const cook = cookSteps(request);
  const cooling = cook
    .filter(({ kind }) => kind === 'strain')
    .flatMap(({ load, from, to }): readonly Placed[] => [
      {
        kind: 'cool-first',
        load,
        from: to,
        to: to + coolFirstMinutes,
        handsOn: true,
        limit: from + FOOD_CODE_COOLING.firstMinutes,
      },
      {
        kind: 'cool-last',
        load,
        from: to + coolFirstMinutes,
        to: to + coolLastMinutes,
        handsOn: false,
        limit: from + FOOD_CODE_COOLING.lastMinutes,
      },
    ]);
  const strainedMinutes = endOf(cook);
  const coldMinutes = strainedMinutes + coolLastMinutes;
  const finish = inOrder([
    ['lift', STEP_MINUTES.lift],
    ['re-melt', STEP_MINUTES.remelt],
    ['smoke', request.smokeMinutes],
    ['jar', STEP_MINUTES.jar],
  ]);
  return {
    cools: true,
    thawMinutes: thawMinutes(request),
    cook: [...cook, ...cooling],
    cookMinutes: strainedMinutes + coolFirstMinutes,
    settledMinutes: coldMinutes + STEP_MINUTES.set,
    finish,
    finishMinutes: endOf(finish),
  };
}

/** No broth, so nothing to cool in two stages: hot fat is strained into jars and sets there. */
function dryBlocks(request: TimelineRequest): Blocks {
  const cook = cookSteps(request);
  const tail = inOrder([
    ['smoke', request.smokeMinutes],
    ['jar', STEP_MINUTES.jar],
  ]);
  const strained = endOf(cook);
  const shifted = tail.map((step) => ({ ...step, from: step.from + strained, to: step.to + strained }));
  return {
    cools: false,
    thawMinutes: thawMinutes(request),
    cook: [...cook, ...shifted],
    cookMinutes: strained + endOf(tail),
    settledMinutes: strained + endOf(tail) + STEP_MINUTES.setDry,
    finish: [],
    finishMinutes: 0,
  };
}

/** Cutting once, then heat-up, render and strain of each load. */
function cookSteps({ fatG, cut, loads, heatUpMinutes, renderMinutes }: TimelineRequest): readonly Placed[] {
  const { setUpMinutes, perKg } = CUTTING[cut];
  const cutting = setUpMinutes + (perKg * fatG) / 1000;
  const perLoad: readonly (readonly [StepKind, number])[] = [
    ['heat-up', heatUpMinutes],
    ['render', renderMinutes],
    ['strain', STEP_MINUTES.strain],
  ];
  const steps: Placed[] = [{ kind: 'cut', load: 0, from: 0, to: cutting, handsOn: true }];
  let at = cutting;
  for (let load = 1; load <= loads; load++)
    for (const [kind, minutes] of perLoad) {
      steps.push({ kind, load, from: at, to: at + minutes, handsOn: true });
      at += minutes;
    }
  return steps;
}

function inOrder(kinds: readonly (readonly [StepKind, number])[]): readonly Placed[] {
  let at = 0;
  return kinds
    .filter(([, minutes]) => minutes > 0)
    .map(([kind, minutes]) => {
      const from = at;
      at += minutes;
      return { kind, load: 0, from, to: at, handsOn: true };
    });
}

function thawMinutes({ fatG, frozen }: TimelineRequest): number {
  return frozen ? 60 * Math.max(LEAST_THAW_HOURS, (fatG / G_PER_LB) * THAW_HOURS_PER_LB) : 0;
}

function forwards(blocks: Blocks, { nowMs, quiet = [] }: TimelineRequest): Start {
  const cookMs = placeFrom(nowMs + ms(blocks.thawMinutes), ms(blocks.cookMinutes), quiet);
  const finishStartMs = placeFrom(cookMs + ms(blocks.settledMinutes), ms(blocks.finishMinutes), quiet);
  return { thawMs: cookMs - ms(blocks.thawMinutes), cookMs, finishStartMs };
}

function backwards(blocks: Blocks, byMs: number, { quiet = [] }: TimelineRequest): Start {
  const finishStartMs = placeBefore(byMs, ms(blocks.finishMinutes), quiet) - ms(blocks.finishMinutes);
  const cookEndMs = placeBefore(
    finishStartMs - ms(blocks.settledMinutes - blocks.cookMinutes),
    ms(blocks.cookMinutes),
    quiet,
  );
  const cookMs = cookEndMs - ms(blocks.cookMinutes);
  return { thawMs: cookMs - ms(blocks.thawMinutes), cookMs, finishStartMs };
}

function finishOf(blocks: Blocks, { finishStartMs }: Start): number {
  return finishStartMs + ms(blocks.finishMinutes);
}

function timeline(blocks: Blocks, start: Start, request: TimelineRequest): Timeline {
  const settled = { load: 0, handsOn: false };
  const lastColdMs = start.cookMs + ms(endOf(blocks.cook));
  const placed: readonly (Omit<Placed, 'from' | 'to' | 'limit'> & {
    readonly startMs: number;
    readonly endMs: number;
    readonly byMs?: number;
  })[] = [
    ...(blocks.thawMinutes > 0
      ? [{ ...settled, kind: 'thaw' as const, startMs: start.thawMs, endMs: start.cookMs }]
      : []),
    ...blocks.cook.map((step) => at(start.cookMs, step)),
    { ...settled, kind: 'set', startMs: lastColdMs, endMs: start.finishStartMs },
    ...blocks.finish.map((step) => at(start.finishStartMs, step)),
  ];
  return {
    ok: true,
    startMs: start.thawMs,
    finishMs: finishOf(blocks, start),
    steps: placed
      .map((step) => ({
        ...step,
        inQuietHours: step.handsOn && touches(step.startMs, step.endMs, request.quiet ?? []),
        ...REASONS[step.kind],
      }))
      .sort((a, b) => a.startMs - b.startMs || a.endMs - b.endMs),
  };
}

function at(originMs: number, { kind, load, from, to, handsOn, limit }: Placed) {
  return {
    kind,
    load,
    handsOn,
    startMs: originMs + ms(from),
    endMs: originMs + ms(to),
    ...(limit === undefined ? {} : { byMs: originMs + ms(limit) }),
  };
}

function endOf(steps: readonly Placed[]): number {
  return Math.max(0, ...steps.map(({ to }) => to));
}

function ms(minutes: number): number {
  return Math.round(minutes * 60_000);
}

const REASONS: Readonly<Record<StepKind, { readonly why: string; readonly sources: readonly SourceId[] }>> = {
  thaw: {
    why: 'In the refrigerator, never on the counter: about a day for each 4 to 5 lb.',
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
  strain: {
    why: 'While it is hot and thin, through a cloth or a fine sieve.',
    sources: ['practice-hot-handling'],
  },
  'cool-first': {
    why: 'To 70 °F within 2 hours of the end of the render, in shallow containers or an ice bath.',
    sources: ['food-code-cooling'],
  },
  'cool-last': {
    why: 'To 41 °F within 6 hours of the end of the render.',
    sources: ['food-code-cooling'],
  },
  set: { why: 'Overnight in the refrigerator, until it is firm.', sources: ['practice-chill-and-scrape'] },
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

function check(request: TimelineRequest): void {
  const { loads, renderMinutes, byMs, coolFirstMinutes, coolLastMinutes } = request;
  for (const name of [
    'fatG',
    'heatUpMinutes',
    'coolFirstMinutes',
    'coolLastMinutes',
    'smokeMinutes',
  ] as const)
    if (!(Number.isFinite(request[name]) && request[name] >= 0))
      throw new RangeError(`${name} must be a finite number from 0 up, not ${request[name]}`);
  if (!(Number.isInteger(loads) && loads >= 1))
    throw new RangeError(`loads must be a whole number from 1 up, not ${loads}`);
  if (!(Number.isFinite(renderMinutes) && renderMinutes >= LEAST_RENDER_MINUTES))
    throw new RangeError(`renderMinutes must be ${LEAST_RENDER_MINUTES} or more, not ${renderMinutes}`);
  if (coolLastMinutes < coolFirstMinutes)
    throw new RangeError(`coolLastMinutes ${coolLastMinutes} is before coolFirstMinutes ${coolFirstMinutes}`);
  if (!Number.isFinite(request.nowMs) || (byMs !== undefined && !Number.isFinite(byMs)))
    throw new RangeError('nowMs and byMs must be finite');
}
