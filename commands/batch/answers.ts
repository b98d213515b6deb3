import { actionId, button } from '../../src/chat/action.js';
import type { Call } from '../../src/chat/call.js';
import type { Handler, Outcome } from '../../src/chat/command.js';
import { NOTHING_SAVED, type Reply, refusal, reply } from '../../src/chat/reply.js';
import { batchEntered } from '../../src/records/batch-changes.js';
import { type BatchFacts, findBatch } from '../../src/records/batches.js';
import type { Records } from '../../src/records/database.js';
import { KEEP } from './doubtful-weights.js';
import { type Answered, describeKept, interactionOf, keep } from './keeping.js';
import { findLaidAside } from './laid-aside.js';
import { ANOTHER, SAME } from './twin.js';
import { oneLineAbout } from './words.js';

/** The buttons that answer a question about what was weighed: “Keep it”, “Log it again”, “It is the same”. */
export function answerHandlers(db: Records): { readonly [action: string]: Handler } {
  return {
    [KEEP]: {
      who: 'anyone',
      audience: 'everyone',
      press: ([id = ''], _fields, call) => keepLaidAside(db, { laidAside: id }, call),
    },
    [ANOTHER]: {
      who: 'anyone',
      audience: 'everyone',
      press: ([id = ''], _fields, call) => keepLaidAside(db, { laidAside: id, isAnother: true }, call),
    },
    [SAME]: {
      who: 'anyone',
      audience: 'only you',
      press: ([id = '', number = ''], _fields, call) => leave(db, id, number, call),
    },
  };
}

async function keepLaidAside(
  db: Records,
  answered: Answered & { readonly laidAside: string },
  call: Call,
): Promise<Outcome> {
  const weighed = await findLaidAside(db, answered.laidAside, call);
  if ('kind' in weighed) return weighed;
  const kept = await batchEntered(db, call.community, interactionOf(answered.laidAside));
  if (kept !== undefined) return describeKept(db, kept, call);
  const { number, found } = weighed;
  if (number !== undefined && found && (await areWeightsCorrected(db, number, found, call)))
    return tellChanged(number);
  return keep(db, weighed, call, answered);
}

/** Nothing is stored: what was laid aside is the batch of that number. */
async function leave(db: Records, id: string, number: string, call: Call): Promise<Outcome> {
  const weighed = await findLaidAside(db, id, call);
  if ('kind' in weighed) return weighed;
  const twin = /^\d{1,9}$/.test(number) ? await findBatch(db, call.community, Number(number)) : undefined;
  if (!twin) return refusal('That button is out of date', 'See what is logged with /batch list.');
  return reply({
    title: `It stays at batch ${twin.number}`,
    audience: 'only you',
    lines: [
      oneLineAbout(twin),
      `Nothing more was saved. If a number is wrong: /batch correct number:${twin.number}`,
    ],
    figures: { batch: twin.number },
  });
}

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
