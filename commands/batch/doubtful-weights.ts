import { z } from 'zod';
import { actionId, button, readActionId } from '../../src/chat/action.js';
import type { Call } from '../../src/chat/call.js';
import type { Handler, Outcome } from '../../src/chat/command.js';
import { NOTHING_SAVED, type Reply, refusal, reply } from '../../src/chat/reply.js';
import { batchEntered } from '../../src/records/batch-changes.js';
import { type BatchFacts, findBatch } from '../../src/records/batches.js';
import type { Records } from '../../src/records/database.js';
import { findDraft, saveDraft } from '../../src/records/drafts.js';
import { CUTS, METHODS } from '../../src/trade/methods.js';
import { SCANT_YIELD } from '../../src/trade/tallow.js';
import { percentWords, weightWords } from '../shared/words.js';
import { yieldOf } from './figures.js';
import { describeKept, keep, type Weighed } from './keeping.js';

/** Lays weights that are seldom right aside as a draft, and asks the one who weighed them. */
export async function askWhetherRight(db: Records, weighed: Weighed, call: Call): Promise<Reply> {
  const { fatG, tallowG } = weighed.facts;
  const share = yieldOf(weighed.facts);
  await saveDraft(db, {
    community: call.community,
    id: call.interaction,
    memberId: call.member.id,
    body: { ...weighed, found: weighed.found && factsOf(weighed.found) },
    now: call.now,
  });
  return reply({
    title: `${percentWords(share)}: is that right?`,
    audience: 'only you',
    lines:
      share < SCANT_YIELD
        ? [
            `${weightWords(tallowG)} from ${weightWords(fatG)} is less than half of what even cubed fat gives (12 % and more).`,
            'Most often a weight was mistyped or is in the wrong unit. Nothing is saved yet.',
            'If both weights are right, for example with lean meat, keep it.',
          ]
        : [
            `${weightWords(tallowG)} from ${weightWords(fatG)} is more than trimmings usually hold (about 71 %).`,
            'Most often the disc was still wet, or a weight was mistyped. Nothing is saved yet.',
            'If both weights are right, for example with clean suet, keep it.',
          ],
    sources: [
      share < SCANT_YIELD
        ? 'Common practice, no source: what fat gives by its cut'
        : 'Separable fat and suet, raw: USDA, Standard Reference',
    ],
    actions: [button('Keep it', actionId('batch.keep', call.interaction), 'main')],
    figures: { fatG, tallowG, yield: share },
  });
}

/** Whether an outcome is the question, so that nothing is saved yet. */
export const isQuestion = (outcome: Outcome): boolean =>
  outcome.kind === 'reply' && outcome.actions.some(({ id }) => readActionId(id)?.name === 'batch.keep');

/** Whether somebody corrected the weights after the question: together with theirs the answer may be impossible. */
async function areWeightsCorrected(
  db: Records,
  number: number,
  found: BatchFacts,
  call: Call,
): Promise<boolean> {
  const now = await findBatch(db, call.community, number);
  return now !== undefined && (now.fatG !== found.fatG || now.tallowG !== found.tallowG);
}

function tellChanged(number: number): Reply {
  return reply({
    title: `Batch ${number} was changed meanwhile`,
    audience: 'only you',
    lines: ['Its weights were corrected after this question was asked.', NOTHING_SAVED],
    actions: [button('Correct it', actionId('batch.correct', number), 'main')],
  });
}

/** The button “Keep it”. */
export function doubtfulHandlers(db: Records): { readonly [action: string]: Handler } {
  return {
    'batch.keep': {
      who: 'anyone',
      audience: 'everyone',
      async press([id = ''], _fields, call) {
        const draft = await findDraft(db, call.community, id);
        const body = draftBody.safeParse(draft?.body);
        if (!draft || !body.success) {
          return refusal('That is too long ago', 'Log the batch again with /batch log.');
        }
        if (draft.memberId !== call.member.id) {
          return refusal('Not your batch', 'Only the one who weighed it can keep it.');
        }
        const { number, facts, found } = body.data;
        // The draft, not the press, names the batch: pressing twice keeps it once.
        const weighed = { number, facts: factsOf(facts), found: found && factsOf(found) };
        const interaction = `draft-${id}`;
        const kept = await batchEntered(db, call.community, interaction);
        if (kept !== undefined) return describeKept(db, kept, call);
        if (number !== undefined && found && (await areWeightsCorrected(db, number, factsOf(found), call)))
          return tellChanged(number);
        return keep(db, weighed, { ...call, interaction });
      },
    },
  };
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
