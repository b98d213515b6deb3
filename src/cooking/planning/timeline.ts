/** The steps of a batch and when each happens, backwards from when it must be ready or forwards from a start. */

import type { SourceId } from '../../safety/sources.js';
import { assertNotNegative } from '../../words/numbers.js';
import { FOOD_CODE_COOLING } from '../cooling/cooling.js';
import { LEAST_RENDER_MINUTES } from '../water/water.js';
import { disturbedMs, placeBefore, placeFrom, type QuietHours, touches, type Work } from './placing.js';
import {
  type Batch,
  type Blocks,
  blocksOf,
  endOf,
  minutesUntilStrained,
  type Placed,
  STEP_SOURCES,
  type StepKind,
} from './timeline-steps.js';

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
  readonly sources: readonly SourceId[];
}

export interface TimelineRequest extends Batch {
  /** Nothing can begin before this. */
  readonly nowMs: number;
  /** When it must be ready; without it the plan runs forward from `nowMs`. */
  readonly byMs?: number | undefined;
  /** When nobody wants to stand at the stove, such as the nights. In order, not overlapping. */
  readonly quiet?: readonly QuietHours[] | undefined;
  /** Somebody will stand there in those hours too, if nothing else fits. */
  readonly quietIfNeeded?: boolean | undefined;
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
  /** So long a stretch of work that it goes on into the hours that should be left alone. */
  | { readonly ok: false; readonly problem: 'in-quiet-hours'; readonly workMinutes: number }
  /** The way of cooling breaks the Food Code: minutes after the end of the render against the limits. */
  | {
      readonly ok: false;
      readonly problem: 'cools-too-slowly';
      readonly firstMinutes: number;
      readonly lastMinutes: number;
      readonly mostFirstMinutes: number;
      readonly mostLastMinutes: number;
    };

/**
 * The timeline of a batch. Loads follow one another in the same vessel, on another day where the hours to be left alone
 * come between; each is cut while the one before renders, and cools as soon as it is strained. What waits, waits in the
 * refrigerator: fat that is not cut yet, and the disc before it is lifted.
 * Refused when it cannot be ready in time, with the earliest finish, when a stretch of work does not fit between the hours
 * to be left alone, and when a cooling step would break the Food Code.
 * Throws RangeError when a figure is negative or not finite, loads are not a whole number from 1 up, or the render is
 * shorter than two hours.
 */
export function timelineOf(request: TimelineRequest): Timeline | TimelineProblem {
  check(request);
  const { byMs, nowMs, quiet = [], quietIfNeeded = false } = request;
  const blocks = blocksOf(request);
  const tooSlow = blocks.cools ? coolsTooSlowly(request) : undefined;
  if (tooSlow !== undefined) return tooSlow;
  const earliest = forwards(blocks, request);
  if (disturbance(blocks, earliest, quiet) > 0 && !quietIfNeeded)
    return { ok: false, problem: 'in-quiet-hours', workMinutes: longestWorkMinutes(blocks) };
  if (byMs !== undefined && finishOf(blocks, earliest) > byMs)
    return { ok: false, problem: 'cannot-be-met', earliestFinishMs: finishOf(blocks, earliest) };
  const latest = byMs === undefined ? earliest : backwards(blocks, byMs, request);
  const isBetter =
    latest.thawMs >= nowMs && disturbance(blocks, latest, quiet) <= disturbance(blocks, earliest, quiet);
  return timeline(blocks, isBetter ? latest : earliest, request);
}

function coolsTooSlowly(request: TimelineRequest): TimelineProblem | undefined {
  const untilStrained = minutesUntilStrained(request);
  const firstMinutes = untilStrained + request.coolFirstMinutes;
  const lastMinutes = untilStrained + request.coolLastMinutes;
  const { firstMinutes: mostFirstMinutes, lastMinutes: mostLastMinutes } = FOOD_CODE_COOLING;
  if (firstMinutes <= mostFirstMinutes && lastMinutes <= mostLastMinutes) return undefined;
  const problem = 'cools-too-slowly';
  return { ok: false, problem, firstMinutes, lastMinutes, mostFirstMinutes, mostLastMinutes };
}

const MINUTE_MS = 60_000;

/** When each stretch of work begins. */
interface Start {
  readonly thawMs: number;
  readonly loadsMs: readonly number[];
  readonly finishStartMs: number;
}

/** Fat goes from the freezer into the refrigerator at once: a longer thaw does no harm. */
function forwards(blocks: Blocks, { nowMs, loads, quiet = [] }: TimelineRequest): Start {
  const work = workIn(blocks.load);
  const loadsMs: number[] = [];
  let fromMs = nowMs + ms(blocks.thawMinutes);
  for (let load = 1; load <= loads; load++) {
    const startMs = placeFrom(fromMs, work, quiet);
    loadsMs.push(startMs);
    fromMs = startMs + ms(blocks.busyMinutes - blocks.leadMinutes);
  }
  const settledMs = (loadsMs.at(-1) ?? nowMs) + ms(blocks.settledMinutes);
  return { thawMs: nowMs, loadsMs, finishStartMs: placeFrom(settledMs, workIn(blocks.finish), quiet) };
}

function backwards(blocks: Blocks, byMs: number, { nowMs, loads, quiet = [] }: TimelineRequest): Start {
  const finishStartMs = placeBefore(byMs - ms(endOf(blocks.finish)), workIn(blocks.finish), quiet);
  const work = workIn(blocks.load);
  const loadsMs: number[] = [];
  let untilMs = finishStartMs - ms(blocks.settledMinutes);
  for (let load = 1; load <= loads; load++) {
    const startMs = placeBefore(untilMs, work, quiet);
    loadsMs.unshift(startMs);
    untilMs = startMs - ms(blocks.busyMinutes - blocks.leadMinutes);
  }
  const latestThawMs = (loadsMs[0] ?? finishStartMs) - ms(blocks.thawMinutes);
  return { thawMs: eveningBefore(latestThawMs, blocks, nowMs, quiet), loadsMs, finishStartMs };
}

/** Nobody gets up at night to take fat out of the freezer. */
function eveningBefore(thawMs: number, { thawMinutes }: Blocks, nowMs: number, quiet: readonly QuietHours[]) {
  const night = quiet.find(({ fromMs, toMs }) => fromMs < thawMs && thawMs < toMs);
  if (thawMinutes === 0 || night === undefined || thawMs < nowMs) return thawMs;
  return Math.max(nowMs, night.fromMs);
}

/** The stretches of some steps in which somebody has to be there. */
function workIn(steps: readonly Placed[]): readonly Work[] {
  const work: Work[] = [];
  for (const { from, to, handsOn } of steps) {
    if (!handsOn) continue;
    const last = work.at(-1);
    if (last !== undefined && last.toMs === ms(from)) work[work.length - 1] = { ...last, toMs: ms(to) };
    else work.push({ fromMs: ms(from), toMs: ms(to) });
  }
  return work;
}

function disturbance(blocks: Blocks, start: Start, quiet: readonly QuietHours[]): number {
  const load = workIn(blocks.load);
  return start.loadsMs.reduce(
    (sum, startMs) => sum + disturbedMs(startMs, load, quiet),
    disturbedMs(start.finishStartMs, workIn(blocks.finish), quiet),
  );
}

function longestWorkMinutes({ load, finish }: Blocks): number {
  const work = [...workIn(load), ...workIn(finish)];
  return Math.max(0, ...work.map(({ fromMs, toMs }) => (toMs - fromMs) / MINUTE_MS));
}

function finishOf(blocks: Blocks, { finishStartMs }: Start): number {
  return finishStartMs + ms(endOf(blocks.finish));
}

function timeline(blocks: Blocks, start: Start, { quiet = [] }: TimelineRequest): Timeline {
  const at = (originMs: number, load: number, { kind, from, to, handsOn, limit }: Placed): Step => {
    const [startMs, endMs] = [originMs + ms(from), originMs + ms(to)];
    return {
      kind,
      load,
      startMs,
      endMs,
      handsOn,
      inQuietHours: handsOn && touches(startMs, endMs, quiet),
      ...(limit === undefined ? {} : { byMs: originMs + ms(limit) }),
      sources: STEP_SOURCES[kind],
    };
  };
  const wait = (kind: StepKind, startMs: number, endMs: number): Step =>
    at(startMs, 0, { kind, from: 0, to: (endMs - startMs) / MINUTE_MS, handsOn: false });
  const [firstMs = start.finishStartMs] = start.loadsMs;
  const lastColdMs = (start.loadsMs.at(-1) ?? firstMs) + ms(endOf(blocks.load));
  const steps = [
    ...(blocks.thawMinutes > 0 ? [wait('thaw', start.thawMs, firstMs)] : []),
    ...start.loadsMs.flatMap((startMs, before) => blocks.load.map((step) => at(startMs, before + 1, step))),
    wait('set', lastColdMs, start.finishStartMs),
    ...blocks.finish.map((step) => at(start.finishStartMs, 0, step)),
  ];
  return {
    ok: true,
    startMs: blocks.thawMinutes > 0 ? start.thawMs : firstMs,
    finishMs: finishOf(blocks, start),
    steps: steps.sort((a, b) => a.startMs - b.startMs || a.endMs - b.endMs),
  };
}

function ms(minutes: number): number {
  return Math.round(minutes * MINUTE_MS);
}

function check(request: TimelineRequest): void {
  const {
    fatG,
    waterMlEach,
    tallowG,
    jars,
    loads,
    heatUpMinutes,
    renderMinutes,
    nowMs,
    byMs = nowMs,
  } = request;
  const { coolDownMinutes, coolToJarMinutes, coolFirstMinutes, coolLastMinutes, smokeMinutes } = request;
  assertNotNegative({ fatG, waterMlEach, tallowG, jars, heatUpMinutes });
  assertNotNegative({ coolDownMinutes, coolToJarMinutes, coolFirstMinutes, coolLastMinutes, smokeMinutes });
  if (!(Number.isInteger(loads) && loads >= 1))
    throw new RangeError(`loads must be a whole number from 1 up, not ${loads}`);
  if (!(Number.isFinite(renderMinutes) && renderMinutes >= LEAST_RENDER_MINUTES))
    throw new RangeError(`renderMinutes must be ${LEAST_RENDER_MINUTES} or more, not ${renderMinutes}`);
  if (coolLastMinutes < coolFirstMinutes)
    throw new RangeError(`coolLastMinutes ${coolLastMinutes} is before coolFirstMinutes ${coolFirstMinutes}`);
  if (!Number.isFinite(nowMs + byMs)) throw new RangeError('nowMs and byMs must be finite');
}
