import type { Call } from '../src/chat/call.js';
import { command, subcommand } from '../src/chat/command.js';
import { isRefusal, type Refusal, type Reply } from '../src/chat/reply.js';
import { suggestZones } from '../src/chat/when.js';
import { ASSUMED } from '../src/kitchen/options.js';
import { measuredLike, suggestVessels, withKit } from '../src/kitchen/with-kit.js';
import { withWorking, workingHandlers } from '../src/kitchen/working.js';
import { communityZone } from '../src/records/communities.js';
import type { Records } from '../src/records/database.js';
import { agreedAmounts, amountsOf, PLAN_OPTIONS, type PlanValues } from './plan/asked.js';
import { type PlannedBatch, plannedBatch } from './plan/planned-batch.js';
import { planReply } from './plan/reply.js';
import { planInputs, planParts } from './plan/working.js';

const DESCRIPTION = 'Plan a batch: what to gather, and what to do when';
const ZONES_SUGGESTED = 25;

/** `/plan`: a whole batch, from the fat or from what is needed, with its clock times. */
export function plan(db: Records) {
  return command({
    name: 'plan',
    description: DESCRIPTION,
    subcommands: subcommand({
      description: DESCRIPTION,
      work: 'long',
      options: PLAN_OPTIONS,
      run: (values, call) => planFor(db, values, call),
      suggest: async (name, typed, _given, call) =>
        name === 'vessel'
          ? suggestVessels(db, typed, call)
          : suggestZones(typed, ZONES_SUGGESTED).map((value) => ({ value, label: value })),
    }),
    handlers: workingHandlers(db, 'plan'),
  });
}

/** A batch as it was asked for, with what the kit and the batches of the community add to it. */
export async function plannedFor(
  db: Records,
  values: PlanValues,
  call: Call,
): Promise<PlannedBatch | Refusal> {
  const usual = amountsOf(values);
  if (isRefusal(usual)) return usual;
  const asked = await withKit(db, call, values, usual.fatG);
  if (isRefusal(asked)) return asked;
  const { method = ASSUMED.method } = asked.values;
  const [measured, amounts, communityTimeZone] = await Promise.all([
    measuredLike(db, call, asked),
    agreedAmounts(db, call, values, { method, fatG: usual.fatG }),
    communityZone(db, call.community),
  ]);
  if (isRefusal(amounts)) return amounts;
  const { fatG, share } = amounts;
  return plannedBatch({
    values,
    asked: { ...asked, fatG, measured, share },
    amounts,
    nowMs: call.now.getTime(),
    zone: values.zone ?? communityTimeZone,
  });
}

/** The plan of a batch, with a button that shows its working. */
export async function planFor(db: Records, values: PlanValues, call: Call): Promise<Reply | Refusal> {
  const planned = await plannedFor(db, values, call);
  if (isRefusal(planned)) return planned;
  const answer = {
    reply: planReply(planned),
    usesKit: planned.asked.kit.length > 0,
    inputs: planInputs(planned),
    parts: planParts(planned),
  };
  return withWorking(db, 'plan', answer, call);
}
