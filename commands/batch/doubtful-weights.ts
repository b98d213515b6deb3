import { actionId, button, readActionId } from '../../src/chat/action.js';
import type { Call } from '../../src/chat/call.js';
import type { Outcome } from '../../src/chat/command.js';
import { type Reply, reply } from '../../src/chat/reply.js';
import { SCANT_YIELD } from '../../src/cooking/blends/tallow.js';
import type { Records } from '../../src/records/database.js';
import { percentWords, weightWords } from '../../src/words/amount-words.js';
import { yieldOf } from './figures.js';
import { layAside, type Weighed } from './laid-aside.js';

export const KEEP = 'batch.keep';

/** Lays weights that are seldom right aside as a draft, and asks the one who weighed them. */
export async function askWhetherRight(db: Records, weighed: Weighed, call: Call): Promise<Reply> {
  const { fatG, tallowG } = weighed.facts;
  const share = yieldOf(weighed.facts);
  const id = await layAside(db, weighed, call);
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
    actions: [button('Keep it', actionId(KEEP, id), 'main')],
    figures: { fatG, tallowG, yield: share },
  });
}

/** Whether an outcome is the question, so that nothing is saved yet. */
export const isQuestion = (outcome: Outcome): boolean =>
  outcome.kind === 'reply' && outcome.actions.some(({ id }) => readActionId(id)?.name === KEEP);
