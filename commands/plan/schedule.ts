import { DateTime } from 'luxon';
import { type Refusal, refusal } from '../../src/chat/reply.js';
import { boilingAt } from '../../src/trade/boiling.js';
import type { Burner } from '../../src/trade/burner.js';
import { type CoolingPlan, coolingPlanOf } from '../../src/trade/cooling-plan.js';
import type { Method } from '../../src/trade/methods.js';
import type { QuietHours } from '../../src/trade/placing.js';
import { SMOKE_HOURS, type SmokeStrength } from '../../src/trade/smoke.js';
import { type Timeline, timelineOf } from '../../src/trade/timeline.js';
import {
  minutesUntilStrained,
  RELEASE_ASSUMPTION,
  releaseMinutes,
  TIMELINE_ASSUMPTIONS,
} from '../../src/trade/timeline-steps.js';
import { standsOnBurner } from '../shared/asked.js';
import { heatUpOf, type Render, refuseHeatUp } from '../shared/render.js';
import { minutesWords, type Units } from '../shared/words.js';
import type { Part } from '../shared/working.js';

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

const HOUR_MS = 3_600_000;
const DAY_MS = 24 * HOUR_MS;

/** Nobody plans further ahead. */
const FURTHEST_DAYS = 366;

/** Nobody stands at the stove from ten at night to seven in the morning. Assumed. */
const NIGHT = { fromHour: 22, toHour: 7 } as const;

/** A batch with its waits fits into this, so only the nights near its ends matter. */
const LONGEST_BATCH_DAYS = 12;

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
    return refusal(
      'That cannot be cooled in time',
      `So much fat and broth is not cold within 2 hours and 4 more in any way known here. Take smaller loads.`,
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

interface Heating {
  readonly kind: 'heating';
  readonly minutes: number;
  /** Where the render itself does not show it. */
  readonly part: Part | undefined;
}

/** Tried in this order where no burner was named. Common powers, from memory. */
const ASSUMED_BURNERS: readonly Burner[] = [
  { powerW: 1800, kind: 'electric' },
  { powerW: 15_000, kind: 'outdoor gas' },
];

/** How long what brings its own heat takes to get hot. Assumed. */
const OWN_HEAT_MINUTES: Readonly<Partial<Record<Method, number>>> = {
  'slow-cooker': 120,
  oven: 30,
  smoker: 45,
};

function heatingOf(render: Render, unit: Units): Heating | Refusal {
  const { method, heatUp } = render;
  if (!standsOnBurner(method)) return ownHeating(method);
  if (heatUp !== undefined) {
    if (!heatUp.ok) return refuseHeatUp(heatUp, render, unit);
    return { kind: 'heating', minutes: heatUp.minutes, part: undefined };
  }
  const tried = ASSUMED_BURNERS.map((burner) => ({ burner, heat: heatUpOf(render, burner) }));
  for (const { burner, heat } of tried) {
    if (!heat.ok) continue;
    const { calculation, minutes } = heat;
    const assumption = {
      text: `No burner was named: ${burner.kind === 'electric' ? 'an electric stove' : 'an outdoor gas burner'} of ${burner.powerW} W.`,
      sources: [],
    };
    return {
      kind: 'heating',
      minutes,
      part: {
        title: 'Heat-up',
        calculation: { ...calculation, assumptions: [assumption, ...calculation.assumptions] },
      },
    };
  }
  const last = tried.at(-1)?.heat;
  if (last === undefined || last.ok) throw new RangeError('no burner to try');
  return refuseHeatUp(last, render, unit);
}

function ownHeating(method: Method): Heating {
  const minutes = OWN_HEAT_MINUTES[method] ?? 0;
  return {
    kind: 'heating',
    minutes,
    part: {
      title: 'Heat-up',
      calculation: {
        formula: 'time to get hot = as usual for what brings its own heat',
        constants: [],
        assumptions: [
          {
            text: 'A slow cooker takes about 2 h to get hot, an oven with its pan 30 min, a smoker 45 min.',
            sources: [],
          },
        ],
        steps: [{ name: 'Time to get hot', value: minutes, unit: 'min' }],
      },
    },
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

function refuseTimeline(
  problem: Exclude<ReturnType<typeof timelineOf>, Timeline>,
  { byMs, zone }: ScheduleRequest,
): Refusal {
  if (problem.problem === 'cools-too-slowly') {
    return refusal(
      'That cannot be cooled in time',
      `It would be cold ${minutesWords(problem.lastMinutes)} after the render, and ${minutesWords(problem.mostLastMinutes)} is the most. Take smaller loads.`,
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

/** The nights near now and near the end, in order. */
function nights(nowMs: number, endMs: number, zone: string): readonly QuietHours[] {
  const afterNowMs = nowMs + LONGEST_BATCH_DAYS * DAY_MS;
  const beforeEndMs = Math.max(endMs - LONGEST_BATCH_DAYS * DAY_MS, afterNowMs + DAY_MS);
  return [
    ...nightsBetween(nowMs - DAY_MS, afterNowMs, zone),
    ...nightsBetween(beforeEndMs, endMs + DAY_MS, zone),
  ];
}

/** The nights that begin on the days from one instant's to another's. */
function nightsBetween(fromMs: number, toMs: number, zone: string): readonly QuietHours[] {
  const first = DateTime.fromMillis(fromMs, { zone }).startOf('day');
  const last = DateTime.fromMillis(toMs, { zone }).startOf('day');
  const days = Math.max(0, Math.round(last.diff(first, 'days').days) + 1);
  return Array.from({ length: fromMs > toMs ? 0 : days }, (_, day) => ({
    fromMs: first.plus({ days: day }).set({ hour: NIGHT.fromHour }).toMillis(),
    toMs: first
      .plus({ days: day + 1 })
      .set({ hour: NIGHT.toHour })
      .toMillis(),
  }));
}

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

/** "Sat 28 Nov 18:00", in a zone. */
export const momentWords = (ms: number, zone: string): string =>
  DateTime.fromMillis(ms, { zone }).toFormat('ccc d LLL HH:mm');

/** As it can be typed back: "2026-11-28 18:00". */
export const momentTyped = (ms: number, zone: string): string =>
  DateTime.fromMillis(ms, { zone }).toFormat('yyyy-MM-dd HH:mm');
