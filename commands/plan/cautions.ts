import type { ShownCaution } from '../../src/chat/reply.js';
import type { StepKind } from '../../src/cooking/planning/timeline-steps.js';
import { cookOf, situationOf } from '../../src/kitchen/situation.js';
import { CAUTIONS } from '../../src/safety/cautions.js';
import { cautionShown } from '../../src/safety/choose.js';
import type { Activity, Circumstance } from '../../src/safety/occasion.js';
import { seasonAt } from '../../src/safety/season.js';
import type { PlannedBatch } from './planned-batch.js';

const DONE_AT: Readonly<Record<StepKind, Activity>> = {
  thaw: 'thaw',
  cut: 'grind',
  'heat-up': 'heat-up',
  render: 'render',
  release: 'release',
  'cool-down': 'cool-down',
  strain: 'strain',
  'cool-first': 'chill',
  'cool-last': 'chill',
  // While it sets there is time to clean up.
  set: 'clean-up',
  lift: 'lift',
  're-melt': 'remelt',
  smoke: 'smoke',
  'cool-to-jar': 'cool-down',
  jar: 'jar',
};

/** The caution of one step of a plan. */
export const cautionAt = (kind: StepKind, planned: PlannedBatch): ShownCaution =>
  cautionFor(DONE_AT[kind], planned);

/** The one that matters most: that of smoking where there is any, else of the render. */
export const mainCaution = (planned: PlannedBatch): ShownCaution =>
  cautionAt(planned.values.smoke === undefined ? 'render' : 'smoke', planned);

/**
 * What to be careful about at each kind of step, each thing once and not what the whole plan says, in the order of the
 * steps; `store` is what comes after, and `fry` where meals were asked for.
 */
export function cautionsAtSteps(
  planned: PlannedBatch,
): ReadonlyMap<StepKind | 'store' | 'fry', ShownCaution> {
  const kinds = [...new Set(planned.timeline.steps.map(({ kind }) => kind))];
  const all = [
    ...kinds.map((kind) => [kind, cautionAt(kind, planned)] as const),
    ['store', cautionFor('store', planned)] as const,
    ...(planned.values.meals === undefined ? [] : [['fry', cautionFor('fry', planned)] as const]),
  ];
  const told = new Set([mainCaution(planned).id]);
  return new Map(all.filter(([, { id }]) => !told.has(id) && told.add(id)));
}

/** More do not fit under a long plan. */
const MOST_BESIDES = 4;

/** Of those at the steps the gravest, still in the order of the steps. */
export function gravestAtSteps(planned: PlannedBatch): readonly ShownCaution[] {
  const all = [...cautionsAtSteps(planned).values()];
  const rank = ({ id }: ShownCaution) => CAUTIONS.findIndex((caution) => caution.id === id);
  const gravest = all.toSorted((one, other) => rank(one) - rank(other)).slice(0, MOST_BESIDES);
  return all.filter((one) => gravest.includes(one));
}

function cautionFor(activity: Activity, planned: PlannedBatch): ShownCaution {
  const { render, nowMs, zone } = planned;
  const situation = situationOf(render, activity, seasonAt(new Date(nowMs), zone), circumstancesOf(planned));
  // What was thawed is frozen no more.
  const circumstances = situation.circumstances?.filter(
    (one) => one !== 'frozen' || activity === 'thaw' || !planned.frozen,
  );
  return cautionShown({ ...situation, circumstances }, cookOf(render));
}

function circumstancesOf({ timeline, values }: PlannedBatch): readonly Circumstance[] {
  const isAtNight = timeline.steps.some(
    ({ kind, inQuietHours }) => inQuietHours && (kind === 'heat-up' || kind === 'render'),
  );
  return [
    ...(isAtNight ? (['overnight'] as const) : []),
    ...(values.smoke === undefined ? [] : (['smoked'] as const)),
  ];
}
