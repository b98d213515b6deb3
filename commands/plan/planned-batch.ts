import { refuseUnreadable } from '../../src/chat/command.js';
import { isRefusal, type Refusal, refusal } from '../../src/chat/reply.js';
import { readMomentAhead } from '../../src/chat/when.js';
import { SMOKE_HOURS } from '../../src/cooking/blends/smoke.js';
import { jarsFor } from '../../src/cooking/blends/tallow.js';
import { type CoolDown, coolDownOf, HOTTEST_C } from '../../src/cooking/cooling/cool-down.js';
import { FOOD_CODE_COOLING } from '../../src/cooking/cooling/cooling.js';
import { type CoolingPlan, coolingPlanOf } from '../../src/cooking/cooling/cooling-plan.js';
import { boilingAt } from '../../src/cooking/heat/boiling.js';
import type { Burner } from '../../src/cooking/heat/burner.js';
import { OWN_HEAT, ownHeatCalculation } from '../../src/cooking/heat/own-heat.js';
import { DAY_MINUTES, NIGHT, nights } from '../../src/cooking/planning/nights.js';
import type { QuietHours } from '../../src/cooking/planning/placing.js';
import { type Timeline, type TimelineProblem, timelineOf } from '../../src/cooking/planning/timeline.js';
import {
  minutesUntilStrained,
  RELEASE_ASSUMPTION,
  releaseMinutes,
  TIMELINE_ASSUMPTIONS,
} from '../../src/cooking/planning/timeline-steps.js';
import { LEAST_RENDER_MINUTES } from '../../src/cooking/water/water.js';
import type { Calculation, Part } from '../../src/cooking/working.js';
import { heatUpOf, type Render, type RenderAsked, refuseHeatUp, renderOf } from '../../src/kitchen/render.js';
import { minutesWords } from '../../src/words/amounts.js';
import { DAY_MS, momentTyped, momentWords } from '../../src/words/moments.js';
import { ML_PER_US_PINT } from '../../src/words/units.js';
import type { Amounts, PlanValues } from './asked.js';

/** What a plan is made from: what was said, what the kit and the batches add, and when and where it is asked. */
export interface PlanRequest {
  readonly values: PlanValues;
  readonly asked: RenderAsked;
  readonly amounts: Amounts;
  readonly nowMs: number;
  /** IANA. */
  readonly zone: string;
}

/** A batch worked out from beginning to end: all that an answer and its working tell of it. */
export interface PlannedBatch extends PlanRequest {
  readonly render: Render;
  readonly frozen: boolean;
  /** Of one jar. */
  readonly jarMl: number;
  /** Enough for the most tallow to expect. */
  readonly jars: number;
  /** When it must be ready; undefined where nothing was said of it. */
  readonly byMs: number | undefined;
  readonly heating: Heating;
  /** Of a load once it has rendered, and of what is heated again before it is jarred. */
  readonly coolDown: CoolDown;
  readonly coolToJar: CoolDown;
  /** Of a wet render; a dry one has no broth to cool. */
  readonly cooling: CoolingPlan | undefined;
  /** The nights that work is kept out of. */
  readonly nights: readonly QuietHours[];
  readonly timeline: Timeline;
}

/** How long one load takes until it is hot. */
export interface Heating {
  readonly minutes: number;
  /** Where the render itself does not show it. */
  readonly calculation: Calculation | undefined;
}

/** Nobody plans further ahead. */
const FURTHEST_DAYS = 366;

/** Works out a batch as it was asked for, or refuses what cannot be read, cooked or done by then. */
export function plannedBatch(request: PlanRequest): PlannedBatch | Refusal {
  const { values, asked, nowMs, zone } = request;
  const { minutes, jar: jarMl = ML_PER_US_PINT } = values;
  const by = values.by === undefined ? undefined : readMomentAhead(values.by, new Date(nowMs), zone);
  if (by?.ok === false) return refuseUnreadable([`by: ${by.problem}`]);
  const byMs = by?.value.getTime();
  if (minutes !== undefined && minutes < LEAST_RENDER_MINUTES) return refuseTooShort(minutes);
  const render = renderOf(asked);
  if (isRefusal(render)) return render;
  const frozen = values.frozen === true || render.fat.isFrozen;
  if (byMs !== undefined && byMs - nowMs > FURTHEST_DAYS * DAY_MS)
    return refusal('Too far ahead', 'A plan looks a year ahead at most. For example: by:"Saturday 6pm".');
  const heating = heatingOf(render);
  if (isRefusal(heating)) return heating;
  const coolDown = coolDownIn(render);
  const cooling = coolingOf(render, coolDown);
  if (isRefusal(cooling)) return cooling;
  const planned = {
    ...request,
    render,
    frozen,
    jarMl,
    jars: jarsFor({ tallowG: render.tallow.tallowHighG, jarMl }),
    byMs,
    heating,
    coolDown,
    coolToJar: coolToJarIn(render, values.smoke !== undefined),
    cooling,
    nights: nights(nowMs, byMs ?? nowMs, zone),
  };
  const timeline = timelineFor(planned);
  return timeline.ok ? { ...planned, timeline } : refuseTimeline(timeline, planned);
}

function timelineFor(planned: Omit<PlannedBatch, 'timeline'>): Timeline | TimelineProblem {
  const { values, frozen, heating, coolDown, coolToJar, cooling, jars, nowMs, byMs } = planned;
  const { fat, method, minutes, pot, tallow } = planned.render;
  return timelineOf({
    fatG: fat.fatG,
    waterMlEach: pot.loads.waterMlEach,
    tallowG: tallow.tallowHighG,
    jars,
    frozen,
    cut: fat.cut,
    method,
    loads: pot.loads.loads,
    heatUpMinutes: heating.minutes,
    renderMinutes: minutes,
    coolDownMinutes: coolDown.minutes,
    coolToJarMinutes: coolToJar.minutes,
    coolFirstMinutes: cooling?.firstMinutes ?? 0,
    coolLastMinutes: cooling?.lastMinutes ?? 0,
    onIce: (cooling?.iceG ?? 0) > 0,
    smokeMinutes: values.smoke === undefined ? 0 : SMOKE_HOURS[values.smoke].suggested * 60,
    nowMs,
    byMs,
    quiet: planned.nights,
    quietIfNeeded: values.night ?? false,
  });
}

/** Fat over water is no hotter than its boil; without water it is as hot as it may get. */
function coolDownIn({ water, pot, heat }: Render): CoolDown {
  const { altitudeM } = heat;
  const { fatGEach: fatG, waterMlEach: waterMl } = pot.loads;
  const fromC = water.kind === 'wet' ? boilingAt({ altitudeM }).boilC : HOTTEST_C.dry;
  return coolDownOf({ ...pot, fatG, waterMl: water.kind === 'wet' ? waterMl : 0, fromC, altitudeM });
}

function coolToJarIn({ tallow, pot, heat: { altitudeM } }: Render, isSmoked: boolean): CoolDown {
  const fromC = isSmoked ? HOTTEST_C.dry : HOTTEST_C.remelt;
  return coolDownOf({ ...pot, fatG: tallow.tallowHighG, waterMl: 0, fromC, altitudeM });
}

/** Tried in this order where no burner was named. Common powers, from memory. */
const ASSUMED_BURNERS: readonly [Burner, Burner] = [
  { powerW: 1800, kind: 'electric' },
  { powerW: 15_000, kind: 'outdoor gas' },
];

/** Of a burner that was named, else of the first common one that gets it hot; or of what brings its own heat. */
function heatingOf(render: Render): Heating | Refusal {
  const { method, heat } = render;
  const own = OWN_HEAT[method];
  if (own !== undefined) return { minutes: own.minutes, calculation: ownHeatCalculation(own.minutes) };
  if (heat.heatUp?.ok) return { minutes: heat.heatUp.minutes, calculation: undefined };
  if (heat.heatUp !== undefined) return refuseHeatUp(heat.heatUp, render);
  const [first, second] = ASSUMED_BURNERS;
  const burner = heatUpOf(render, first).ok ? first : second;
  const heatUp = heatUpOf(render, burner);
  if (!heatUp.ok) return refuseHeatUp(heatUp, render);
  const assumption = {
    text: `No burner was named: ${burner.kind === 'electric' ? 'an electric stove' : 'an outdoor gas burner'} of ${burner.powerW} W.`,
    sources: [],
  };
  const assumptions = [assumption, ...heatUp.calculation.assumptions];
  return { minutes: heatUp.minutes, calculation: { ...heatUp.calculation, assumptions } };
}

/** What is strained is the broth and, at the most, all the tallow; it starts at the boiling point without pressure. */
function coolingOf(
  { method, fat, water, pot, tallow, heat }: Render,
  { minutes: coolDownMinutes }: CoolDown,
): CoolingPlan | undefined | Refusal {
  if (water.kind !== 'wet') return undefined;
  const cooling = coolingPlanOf({
    contentsMl: pot.loads.waterMlEach + tallow.mostMl / pot.loads.loads,
    vesselMl: pot.vesselMl,
    potDiameterCm: pot.potDiameterCm,
    startC: boilingAt({ altitudeM: heat.altitudeM }).boilC,
    lateMinutes: minutesUntilStrained({ method, coolDownMinutes, fatG: fat.fatG, ...pot.loads }),
  });
  const { firstMinutes, lastMinutes } = FOOD_CODE_COOLING;
  return cooling.ok
    ? cooling
    : refuseCooling(
        `So much fat and broth is not cold within ${firstMinutes / 60} hours and ${(lastMinutes - firstMinutes) / 60} more in any way known here.`,
      );
}

const refuseCooling = (why: string): Refusal =>
  refusal('That cannot be cooled in time', `${why} Take smaller loads.`);

function refuseTooShort(minutes: number): Refusal {
  return refusal(
    'Too short a render',
    `${minutesWords(LEAST_RENDER_MINUTES)} is the least; ${minutesWords(minutes)} leaves tallow in the fat. Leave minutes out, or say more.`,
  );
}

const FIVE_MINUTES_MS = 300_000;

function refuseTimeline(
  problem: TimelineProblem,
  { byMs, zone, render }: Pick<PlannedBatch, 'byMs' | 'zone' | 'render'>,
): Refusal {
  if (problem.problem === 'in-quiet-hours') return refuseNight(problem.workMinutes, render);
  if (problem.problem === 'cools-too-slowly') {
    return refuseCooling(
      `It would be cold ${minutesWords(problem.lastMinutes)} after the render, and ${minutesWords(problem.mostLastMinutes)} is the most.`,
    );
  }
  const earliestMs = Math.ceil(problem.earliestFinishMs / FIVE_MINUTES_MS) * FIVE_MINUTES_MS;
  return refusal(
    'Too soon',
    `It cannot be ready by ${momentWords(byMs ?? earliestMs, zone)}: the earliest is ${momentWords(earliestMs, zone)}, with the nights left alone. For example: by:"${momentTyped(earliestMs, zone)}".`,
  );
}

/** Work that nobody can do by day; how short a render would fit, where that is long enough. */
function refuseNight(workMinutes: number, { minutes }: Render): Refusal {
  const mostMinutes = Math.floor((minutes - (workMinutes - DAY_MINUTES)) / 30) * 30;
  const shorter =
    mostMinutes >= LEAST_RENDER_MINUTES
      ? `Say minutes:"${minutesWords(mostMinutes)}" or less`
      : 'Take less fat';
  return refusal(
    'That goes on into the night',
    `It is ${minutesWords(workMinutes)} at the stove without a break. ${shorter}, or night:yes if somebody will be awake beside it all the time.`,
  );
}

const hourWords = (hour: number): string => `${String(hour).padStart(2, '0')}:00`;

/** The calculations of a plan that its render does not have. */
export function scheduleParts({ render, frozen, heating, coolDown, cooling }: PlannedBatch): readonly Part[] {
  const { pot, minutes, method } = render;
  const release = releaseMinutes(method);
  const night = `Nobody stands at the stove from ${hourWords(NIGHT.fromHour)} to ${hourWords(NIGHT.toHour)} unless night:yes says so.`;
  const times: Calculation = {
    formula:
      'counted back from when it must be ready, or on from now; loads follow one another, each cools as soon as it is strained, and the disc waits in the refrigerator',
    constants: [],
    assumptions: [
      ...TIMELINE_ASSUMPTIONS.filter(({ sources }) => frozen || !sources.includes('fsis-thawing')),
      ...(release > 0 ? [RELEASE_ASSUMPTION] : []),
      { text: night, sources: [] },
    ],
    steps: [
      { name: 'Loads', value: pot.loads.loads, unit: '' },
      { name: 'Heat-up and render of each', value: heating.minutes + minutes, unit: 'min' },
      ...(release > 0 ? [{ name: 'Fall of the pressure of each', value: release, unit: 'min' }] : []),
    ],
  };
  return [
    ...(heating.calculation ? [{ title: 'Heat-up', calculation: heating.calculation }] : []),
    { title: 'Cooling down', calculation: coolDown.calculation },
    ...(cooling ? [{ title: 'Cooling', calculation: cooling.calculation }] : []),
    { title: 'Times', calculation: times },
  ];
}
