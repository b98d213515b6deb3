import { type Refusal, refusal } from '../../src/chat/reply.js';
import { SMOKE_HOURS, type SmokeStrength } from '../../src/cooking/blends/smoke.js';
import { type CoolingPlan, coolingPlanOf } from '../../src/cooking/cooling/cooling-plan.js';
import { boilingAt } from '../../src/cooking/heat/boiling.js';
import { type Timeline, timelineOf } from '../../src/cooking/planning/timeline.js';
import {
  minutesUntilStrained,
  RELEASE_ASSUMPTION,
  releaseMinutes,
  TIMELINE_ASSUMPTIONS,
} from '../../src/cooking/planning/timeline-steps.js';
import type { Render } from '../../src/kitchen/render.js';
import type { Part } from '../../src/kitchen/working.js';
import { minutesWords, type Units } from '../../src/words/amount-words.js';
import { DAY_MS, momentTyped, momentWords } from '../../src/words/moments.js';
import { heatingOf } from './heating.js';
import { NIGHT, nights } from './nights.js';

/** When a batch is done, step by step. */
export interface Schedule {
  readonly kind: 'schedule';
  readonly timeline: Timeline;
  readonly heatUpMinutes: number;
  /** Of a wet render; a dry one has no broth to cool. */
  readonly cooling: CoolingPlan | undefined;
  readonly parts: readonly Part[];
}

export interface ScheduleRequest {
  readonly render: Render;
  readonly frozen: boolean;
  readonly smoke: SmokeStrength | undefined;
  readonly nowMs: number;
  readonly byMs: number | undefined;
  /** IANA. */
  readonly zone: string;
  readonly unit: Units;
}

/** Nobody plans further ahead. */
const FURTHEST_DAYS = 366;

/** Lays the steps of a render on the clock, or refuses what cannot be done by then. */
export function scheduleOf(request: ScheduleRequest): Schedule | Refusal {
  const { render, frozen, smoke, nowMs, byMs, zone, unit } = request;
  if (byMs !== undefined && byMs - nowMs > FURTHEST_DAYS * DAY_MS) {
    return refusal('Too far ahead', 'A plan looks a year ahead at most. For example: by:"Saturday 6pm".');
  }
  const heating = heatingOf(render, unit);
  if (heating.kind === 'refusal') return heating;
  const cooling = coolingFor(render);
  if (cooling?.ok === false) {
    return refuseCooling(
      'So much fat and broth is not cold within 2 hours and 4 more in any way known here.',
    );
  }
  const timeline = timelineOf({
    fatG: render.fatG,
    frozen,
    cut: render.cut,
    method: render.method,
    loads: render.loads.loads,
    heatUpMinutes: heating.minutes,
    renderMinutes: render.minutes,
    coolFirstMinutes: cooling?.firstMinutes ?? 0,
    coolLastMinutes: cooling?.lastMinutes ?? 0,
    stirred: cooling?.way === 'stirred-ice-bath',
    smokeMinutes: smoke === undefined ? 0 : SMOKE_HOURS[smoke].suggested * 60,
    nowMs,
    byMs,
    quiet: nights(nowMs, byMs ?? nowMs, zone),
  });
  if (!timeline.ok) return refuseTimeline(timeline, request);
  return {
    kind: 'schedule',
    timeline,
    heatUpMinutes: heating.minutes,
    cooling,
    parts: [
      ...(heating.part ? [heating.part] : []),
      ...(cooling ? [{ title: 'Cooling', calculation: cooling.calculation }] : []),
      timelinePart(render, frozen, heating.minutes),
    ],
  };
}

/** What is strained is the broth and, at the most, all the tallow; it starts at the boiling point without pressure. */
function coolingFor({ method, water, loads, tallowMostMl, potMl, potDiameterCm, altitudeM }: Render) {
  if (water.kind !== 'wet') return undefined;
  const boiling = boilingAt({ altitudeM });
  if (!boiling.ok) throw new RangeError(`the options let through ${altitudeM} m`);
  return coolingPlanOf({
    contentsMl: loads.waterMlEach + tallowMostMl / loads.loads,
    vesselMl: potMl,
    potDiameterCm,
    startC: boiling.boilC,
    lateMinutes: minutesUntilStrained(method),
  });
}

const refuseCooling = (why: string): Refusal =>
  refusal('That cannot be cooled in time', `${why} Take smaller loads.`);

function refuseTimeline(
  problem: Exclude<ReturnType<typeof timelineOf>, Timeline>,
  { byMs, zone }: ScheduleRequest,
): Refusal {
  if (problem.problem === 'cools-too-slowly') {
    return refuseCooling(
      `It would be cold ${minutesWords(problem.lastMinutes)} after the render, and ${minutesWords(problem.mostLastMinutes)} is the most.`,
    );
  }
  const earliestMs = roundedUp(problem.earliestFinishMs);
  return refusal(
    'Too soon',
    `It cannot be ready by ${momentWords(byMs ?? earliestMs, zone)}: the earliest is ${momentWords(earliestMs, zone)}, with the nights left alone. For example: by:"${momentTyped(earliestMs, zone)}".`,
  );
}

const FIVE_MINUTES_MS = 300_000;
const roundedUp = (ms: number): number => Math.ceil(ms / FIVE_MINUTES_MS) * FIVE_MINUTES_MS;

function timelinePart({ loads, minutes, method }: Render, frozen: boolean, heatUpMinutes: number): Part {
  const release = releaseMinutes(method);
  return {
    title: 'Times',
    calculation: {
      formula:
        'counted back from when it must be ready, or on from now; loads follow one another, each cools as soon as it is strained, and the disc waits in the refrigerator',
      constants: [],
      assumptions: [
        ...TIMELINE_ASSUMPTIONS.filter(({ sources }) => frozen || !sources.includes('fsis-thawing')),
        ...(release > 0 ? [RELEASE_ASSUMPTION] : []),
        {
          text: `Nobody stands at the stove from ${NIGHT.fromHour}:00 to 0${NIGHT.toHour}:00 if it can be helped.`,
          sources: [],
        },
      ],
      steps: [
        { name: 'Loads', value: loads.loads, unit: '' },
        { name: 'Heat-up and render of each', value: heatUpMinutes + minutes, unit: 'min' },
        ...(release > 0 ? [{ name: 'Fall of the pressure of each', value: release, unit: 'min' }] : []),
      ],
    },
  };
}
