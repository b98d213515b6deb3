import { actionId, button } from '../../src/chat/action.js';
import { type Reply, reply } from '../../src/chat/reply.js';
import type { BatchFacts } from '../../src/records/batches.js';
import type { Twin } from '../../src/records/twins.js';
import { countWords, weightWords } from '../../src/words/amount-words.js';
import { cutLabel, methodLabel } from '../../src/words/methods.js';

export const ANOTHER = 'batch.another';
export const SAME = 'batch.same';

/** Asks whether a batch that was laid aside under `id` is another than the one it looks like. */
export function askWhetherAnother(twin: Twin, facts: BatchFacts, id: string, now: Date): Reply {
  const minutes = Math.max(0, Math.floor((now.getTime() - twin.loggedAt.getTime()) / 60_000));
  return reply({
    title: `Looks like batch ${twin.number}, logged ${agoWords(minutes)}. Log it again?`,
    audience: 'only you',
    lines: [
      `${weightWords(facts.tallowG)} from ${weightWords(facts.fatG)}, ${methodLabel(facts.method)}, ${cutLabel(facts.cut).toLowerCase()}: the same cook, weights, method and cut.`,
      'Nothing more is saved yet. Log it again only if you cooked two alike.',
    ],
    actions: [
      button('Log it again', actionId(ANOTHER, id)),
      button('It is the same', actionId(SAME, id, twin.number), 'main'),
    ],
    figures: { twinOf: twin.number, loggedMinutesAgo: minutes },
  });
}

const agoWords = (minutes: number): string =>
  minutes === 0 ? 'just now' : `${countWords(minutes, 'minute', 'minutes')} ago`;
