import { z } from 'zod';
import type { Call } from '../../src/chat/call.js';
import { type Refusal, refusal } from '../../src/chat/reply.js';
import type { BatchFacts } from '../../src/records/batches.js';
import type { Records } from '../../src/records/database.js';
import { findDraft, saveDraft } from '../../src/records/drafts.js';
import { CUTS, METHODS } from '../../src/words/methods.js';

/** What was weighed: a new batch, or the batch with a number as it should have been. */
export interface Weighed {
  readonly number: number | undefined;
  readonly facts: BatchFacts;
  /** As the batch was found when it was corrected. */
  readonly found: BatchFacts | undefined;
}

/** Lays what was weighed aside under the request's id until its cook has answered a question about it. */
export async function layAside(db: Records, weighed: Weighed, call: Call): Promise<string> {
  const id = call.interaction;
  await saveDraft(db, {
    community: call.community,
    id,
    memberId: call.member.id,
    body: { ...weighed, found: weighed.found && factsOf(weighed.found) },
    now: call.now,
  });
  return id;
}

/** What the caller laid aside, or why they cannot have it. */
export async function findLaidAside(db: Records, id: string, call: Call): Promise<Weighed | Refusal> {
  const draft = await findDraft(db, call.community, id);
  const body = draftBody.safeParse(draft?.body);
  if (!draft || !body.success) return refusal('That is too long ago', 'Log the batch again with /batch log.');
  if (draft.memberId !== call.member.id)
    return refusal('Not your batch', 'Only the one who weighed it can keep it.');
  const { number, facts, found } = body.data;
  return { number, facts: factsOf(facts), found: found && factsOf(found) };
}

const storedFacts = z.object({
  method: z.enum(METHODS.map(({ value }) => value)),
  cut: z.enum(CUTS.map(({ value }) => value)),
  fatG: z.number(),
  tallowG: z.number(),
  waterMl: z.number().optional(),
  waterLeftMl: z.number().optional(),
  minutes: z.number().optional(),
  weighedAs: z.enum(['disc', 're-melted']).optional(),
  taste: z.array(z.string()),
  note: z.string().optional(),
  finishedAt: z.iso.datetime().transform((text) => new Date(text)),
});
const draftBody = z.object({
  number: z.number().optional(),
  facts: storedFacts,
  found: storedFacts.optional(),
});

/** Fields that were left out of a draft's JSON come back as absent; the facts name them. */
function factsOf(stored: z.output<typeof storedFacts> | BatchFacts): BatchFacts {
  const { method, cut, fatG, tallowG, waterMl, waterLeftMl, minutes, weighedAs, taste, note, finishedAt } =
    stored;
  return { method, cut, fatG, tallowG, waterMl, waterLeftMl, minutes, weighedAs, taste, note, finishedAt };
}
