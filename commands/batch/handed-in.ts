import { z } from 'zod';
import { actionId, button } from '../../src/chat/action.js';
import type { Call } from '../../src/chat/call.js';
import type { Outcome } from '../../src/chat/command.js';
import type { Given } from '../../src/chat/option.js';
import { type Refusal, refusal } from '../../src/chat/reply.js';
import type { Records } from '../../src/records/database.js';
import { findDraft, saveDraft } from '../../src/records/drafts.js';

/** A correction form as it came in: of which batch, filled in after how many changes, and what was typed. */
interface HandedIn {
  readonly number: number;
  readonly changes: number;
  readonly fields: Given;
}

/**
 * The outcome of a form of which nothing was saved, with a button that opens the form again where it would be gone with
 * everything typed into it.
 */
export async function offerAgain(
  db: Records,
  outcome: Outcome,
  handedIn: HandedIn,
  call: Call,
): Promise<Outcome> {
  if (outcome.kind === 'form' || call.platform.losesForms !== true) return outcome;
  const id = `form-${call.interaction}`;
  await saveDraft(db, {
    community: call.community,
    id,
    memberId: call.member.id,
    body: handedIn,
    now: call.now,
  });
  const again = button('Open the form again', actionId('batch.again', id));
  return { ...outcome, actions: [...outcome.actions, again] };
}

/** What somebody handed in that was not saved, or why it cannot be had. */
export async function findHandedIn(db: Records, id: string, call: Call): Promise<HandedIn | Refusal> {
  const draft = await findDraft(db, call.community, id);
  const body = handedInBody.safeParse(draft?.body);
  if (!draft || !body.success) return refusal('That is too long ago', 'Ask again with /batch correct.');
  if (draft.memberId !== call.member.id)
    return refusal('Not your form', 'Only the one who filled it in can open it again.');
  return body.data;
}

const handedInBody = z.object({
  number: z.number(),
  changes: z.number(),
  fields: z.record(z.string(), z.string()),
});
