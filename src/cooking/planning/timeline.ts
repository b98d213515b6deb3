/** The steps of a batch and when each happens, backwards from when it must be ready or forwards from a start. */

import type { SourceId } from '../../safety/sources.js';
import { assertNotNegative } from '../../words/numbers.js';
import { FOOD_CODE_COOLING } from '../cooling/cooling.js';
import { LEAST_RENDER_MINUTES } from '../water/water.js';
import { placeBefore, placeFrom, type QuietHours, touches } from './placing.js';
import {
  type Batch,
  type Blocks,
  blocksOf,
  endOf,
  minutesUntilStrained,
  type Placed,
  REASONS,
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
  readonly why: string;
  readonly sources: readonly SourceId[];
}

export interface TimelineRequest extends Batch {
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
  const untilStrained = minutesUntilStrained(request.method);
  const firstMinutes = untilStrained + request.coolFirstMinutes;
  const lastMinutes = untilStrained + request.coolLastMinutes;
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

const MINUTE_MS = 60_000;

interface Start {
  readonly thawMs: number;
  readonly cookMs: number;
  readonly finishStartMs: number;
}

function forwards(blocks: Blocks, { nowMs, quiet = [] }: TimelineRequest): Start {
  const cookMs = cookStart(blocks, quiet, (minutes) =>
    placeFrom(nowMs + ms(blocks.thawMinutes), ms(minutes), quiet),
  );
  const finishStartMs = placeFrom(cookMs + ms(blocks.settledMinutes), ms(blocks.finishMinutes), quiet);
  return { thawMs: cookMs - ms(blocks.thawMinutes), cookMs, finishStartMs };
}

function backwards(blocks: Blocks, byMs: number, { quiet = [] }: TimelineRequest): Start {
  const finishStartMs = placeBefore(byMs, ms(blocks.finishMinutes), quiet) - ms(blocks.finishMinutes);
  const cookMs = cookStart(blocks, quiet, (minutes) => {
    const latestEndMs = finishStartMs - ms(blocks.settledMinutes - minutes);
    return placeBefore(latestEndMs, ms(minutes), quiet) - ms(minutes);
  });
  return { thawMs: cookMs - ms(blocks.thawMinutes), cookMs, finishStartMs };
}

/** Outside the quiet hours with all its stirring if that can be, else with all but the last of it. */
function cookStart(
  { cookMinutes, cookMinutesUnstirred }: Blocks,
  quiet: readonly QuietHours[],
  startOf: (minutes: number) => number,
): number {
  const undisturbed = [cookMinutes, cookMinutesUnstirred].find((minutes) => {
    const startMs = startOf(minutes);
    return !touches(startMs, startMs + ms(minutes), quiet);
  });
  return startOf(undisturbed ?? cookMinutes);
}

function finishOf(blocks: Blocks, { finishStartMs }: Start): number {
  return finishStartMs + ms(blocks.finishMinutes);
}

function timeline(blocks: Blocks, start: Start, { quiet = [] }: TimelineRequest): Timeline {
  const at = (originMs: number, { kind, load, from, to, handsOn, limit }: Placed): Step => {
    const [startMs, endMs] = [originMs + ms(from), originMs + ms(to)];
    return {
      kind,
      load,
      startMs,
      endMs,
      handsOn,
      inQuietHours: handsOn && touches(startMs, endMs, quiet),
      ...(limit === undefined ? {} : { byMs: originMs + ms(limit) }),
      ...REASONS[kind],
    };
  };
  const wait = (kind: StepKind, startMs: number, endMs: number): Step =>
    at(startMs, { kind, load: 0, from: 0, to: (endMs - startMs) / MINUTE_MS, handsOn: false });
  const lastColdMs = start.cookMs + ms(endOf(blocks.cook));
  const steps = [
    ...(blocks.thawMinutes > 0 ? [wait('thaw', start.thawMs, start.cookMs)] : []),
    ...blocks.cook.map((step) => at(start.cookMs, step)),
    wait('set', lastColdMs, start.finishStartMs),
    ...blocks.finish.map((step) => at(start.finishStartMs, step)),
  ];
  return {
    ok: true,
    startMs: start.thawMs,
    finishMs: finishOf(blocks, start),
    steps: steps.sort((a, b) => a.startMs - b.startMs || a.endMs - b.endMs),
  };
}

function ms(minutes: number): number {
  return Math.round(minutes * MINUTE_MS);
}

function check(request: TimelineRequest): void {
  const { fatG, loads, heatUpMinutes, renderMinutes, nowMs, byMs = nowMs } = request;
  const { coolFirstMinutes, coolLastMinutes, smokeMinutes } = request;
  assertNotNegative({ fatG, heatUpMinutes, coolFirstMinutes, coolLastMinutes, smokeMinutes });
  if (!(Number.isInteger(loads) && loads >= 1))
    throw new RangeError(`loads must be a whole number from 1 up, not ${loads}`);
  if (!(Number.isFinite(renderMinutes) && renderMinutes >= LEAST_RENDER_MINUTES))
    throw new RangeError(`renderMinutes must be ${LEAST_RENDER_MINUTES} or more, not ${renderMinutes}`);
  if (coolLastMinutes < coolFirstMinutes)
    throw new RangeError(`coolLastMinutes ${coolLastMinutes} is before coolFirstMinutes ${coolFirstMinutes}`);
  if (!Number.isFinite(nowMs + byMs)) throw new RangeError('nowMs and byMs must be finite');
}
