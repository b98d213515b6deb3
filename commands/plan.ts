import type { Call } from '../src/chat/call.js';
import { command, subcommand } from '../src/chat/command.js';
import type { Choice } from '../src/chat/option.js';
import type { Refusal } from '../src/chat/reply.js';
import { suggestZones } from '../src/chat/when.js';
import { waterFor } from '../src/cooking/water/water.js';
import { type Asked, askedWithKit, suggestVessels } from '../src/kitchen/asked.js';
import { ASSUMED } from '../src/kitchen/render.js';
import { methodFor } from '../src/kitchen/vessel-method.js';
import { type Answer, showingWork } from '../src/kitchen/working.js';
import { communityZone } from '../src/records/communities.js';
import type { Records } from '../src/records/database.js';
import { kitOf } from '../src/records/kit.js';
import { agreedShare } from './plan/agreed-share.js';
import { amountsOf } from './plan/amounts.js';
import { PLAN_OPTIONS } from './plan/options.js';
import { plannedBatch } from './plan/planned-batch.js';
import { planReply } from './plan/reply.js';
import { planInputs, planParts } from './plan/working.js';

/** `/plan`: a whole batch, from the fat or from what is needed, with its clock times. */
export function plan(db: Records) {
  const work = showingWork(
    db,
    'plan',
    async (asked, call) =>
      answer(asked, asked.atMs ?? call.now.getTime(), await communityZone(db, call.community)),
    'long',
  );
  return command({
    name: 'plan',
    description: 'Plan a batch: what to gather, and what to do when',
    subcommands: subcommand({
      description: 'Plan a batch: what to gather, and what to do when',
      work: 'long',
      options: PLAN_OPTIONS,
      async run(typed, call, given) {
        const said = await methodFor(db, call, typed);
        if (said.kind === 'refusal') return said;
        const values = { ...typed, method: said.method };
        const amounts = amountsOf(values);
        if ('text' in amounts) return amounts;
        const { method = ASSUMED.method, cut = ASSUMED.cut } = values;
        const neededMl = waterFor({ fatG: amounts.fatG, method, cut }).vesselMl;
        const [asked, share] = await Promise.all([
          askedWithKit(db, call, given, { method, neededMl }),
          agreedShare(db, call, values, amounts),
        ]);
        if ('text' in asked) return asked;
        const kit = { ...asked.kit, ...said.kit };
        return work.say({ ...asked, kit, share, atMs: call.now.getTime() }, call);
      },
      suggest: (name, typed, _given, call) => suggest(db, name, typed, call),
    }),
    handlers: work.handlers,
  });
}

function answer(asked: Asked, nowMs: number, communityTimeZone: string): Answer | Refusal {
  const planned = plannedBatch(asked, nowMs, communityTimeZone);
  if (planned.kind === 'refusal') return planned;
  return {
    kind: 'answer',
    reply: planReply(planned),
    inputs: planInputs(planned),
    parts: planParts(planned),
  };
}

const ZONES_SUGGESTED = 25;

async function suggest(db: Records, name: string, typed: string, call: Call): Promise<readonly Choice[]> {
  if (name === 'vessel') return suggestVessels(await kitOf(db, call), typed);
  return suggestZones(typed, ZONES_SUGGESTED).map((value) => ({ value, label: value }));
}
