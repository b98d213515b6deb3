import { z } from 'zod';
import { actionId, button } from '../../src/chat/action.js';
import type { Call } from '../../src/chat/call.js';
import type { Handler } from '../../src/chat/command.js';
import { type Reply, refusal, reply } from '../../src/chat/reply.js';
import type { BatchFacts } from '../../src/records/batches.js';
import type { Records } from '../../src/records/database.js';
import { findDraft, saveDraft } from '../../src/records/drafts.js';
import { CUTS, METHODS } from '../../src/trade/methods.js';
import { percentWords, weightWords } from '../shared/words.js';
import { yieldOf } from './figures.js';
import { keep, type Weighed } from './keeping.js';

/** Lays weights that are seldom right aside as a draft, and asks the one who weighed them. */
export async function askWhetherRight(db: Records, weighed: Weighed, call: Call): Promise<Reply> {
  const { fatG, tallowG } = weighed.facts;
  const share = yieldOf(weighed.facts);
  await saveDraft(db, {
    community: call.community,
    id: call.interaction,
    memberId: call.member.id,
    body: weighed,
    now: call.now,
  });
  return reply({
    title: `${percentWords(share)}: is that right?`,
    audience: 'only you',
    lines: [
      `${weightWords(tallowG)} from ${weightWords(fatG)} is more than trimmings usually hold (about 71 %).`,
      'Most often the disc was still wet, or a weight was mistyped. Nothing is saved yet.',
      'If both weights are right, for example with clean suet, keep it.',
    ],
    sources: ['Separable fat and suet, raw: USDA, Standard Reference'],
    actions: [button('Keep it', actionId('batch.keep', call.interaction), 'main')],
    figures: { fatG, tallowG, yield: share },
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
        const { number, facts } = body.data;
        // The draft, not the press, names the batch: pressing twice keeps it once.
        return keep(db, { number, facts: factsOf(facts) }, { ...call, interaction: `draft-${id}` });
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
const draftBody = z.object({ number: z.number().optional(), facts: storedFacts });

/** Fields that were left out of a draft's JSON come back as absent; the facts name them. */
function factsOf(stored: z.output<typeof storedFacts>): BatchFacts {
  return {
    ...stored,
    waterMl: stored.waterMl,
    waterLeftMl: stored.waterLeftMl,
    minutes: stored.minutes,
    weighedAs: stored.weighedAs,
    note: stored.note,
  };
}
