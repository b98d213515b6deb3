import { z } from 'zod';
import type { Call } from '../chat/call.js';
import { type Refusal, refusal } from '../chat/reply.js';
import type { Records } from '../records/database.js';
import { findDraft, saveDraft } from '../records/drafts.js';
import { columnsOf, storedFacts } from './facts.js';
import type { BatchFacts } from './fields.js';

// What a button will need when it is pressed, for the one who typed it alone.

/** What was weighed: a new batch, or one that is corrected as it should have been. */
export interface Weighed {
  readonly facts: BatchFacts;
  /** The batch that is corrected, and how often it had been when its cook looked at it. */
  readonly corrects?: { readonly number: number; readonly since: number } | undefined;
}

const weighedBody = z.object({
  facts: storedFacts,
  corrects: z.object({ number: z.number(), since: z.number() }).optional(),
});

/** Lays what was weighed aside until its cook has answered a question about it; answers with the draft’s id. */
export const layAside = (db: Records, { facts, corrects }: Weighed, call: Call): Promise<string> =>
  save(db, call.interaction, { facts: columnsOf(facts), corrects }, call);

/** What the caller laid aside, or why they cannot have it. */
export const findLaidAside = (db: Records, id: string, call: Call): Promise<Weighed | Refusal> =>
  find(db, id, weighedBody, call, {
    gone: 'Log the batch again with /batch log.',
    notYours: refusal('Not your batch', 'Only the one who weighed it can keep it.'),
  });

/** What somebody typed into the form of a batch and was not saved. */
export interface HandedIn {
  readonly number: number;
  readonly typed: { readonly [field: string]: string };
}

const handedInBody = z.object({ number: z.number(), typed: z.record(z.string(), z.string()) });

/** Keeps what was typed; answers with the draft’s id. */
export const keepTyped = (db: Records, handedIn: HandedIn, call: Call): Promise<string> =>
  save(db, `form-${call.interaction}`, handedIn, call);

/** What the caller had typed, or why they cannot have it. */
export const findTyped = (db: Records, id: string, call: Call): Promise<HandedIn | Refusal> =>
  find(db, id, handedInBody, call, {
    gone: 'Ask again with /batch correct.',
    notYours: refusal('Not your form', 'Only the one who filled it in can open it again.'),
  });

async function save(db: Records, id: string, body: unknown, call: Call): Promise<string> {
  await saveDraft(db, { community: call.community, id, memberId: call.member.id, body, now: call.now });
  return id;
}

async function find<T>(
  db: Records,
  id: string,
  schema: z.ZodType<T>,
  call: Call,
  instead: { readonly gone: string; readonly notYours: Refusal },
): Promise<T | Refusal> {
  const draft = await findDraft(db, call.community, id);
  const body = schema.safeParse(draft?.body);
  if (!draft || !body.success) return refusal('That is too long ago', instead.gone);
  return draft.memberId === call.member.id ? body.data : instead.notYours;
}
