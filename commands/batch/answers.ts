import { z } from 'zod';
import { actionId, button, key } from '../../src/chat/action.js';
import type { Call } from '../../src/chat/call.js';
import { type Handler, handler, type Outcome, outOfDate } from '../../src/chat/command.js';
import { type Refusal, refusal, reply } from '../../src/chat/reply.js';
import { batchEntered } from '../../src/records/batch-changes.js';
import { type BatchFacts, findBatch } from '../../src/records/batches.js';
import type { Records } from '../../src/records/database.js';
import { batchNumberIn } from './batch-number.js';
import { KEEP } from './doubtful-weights.js';
import { type Answered, describeKept, interactionOf, keep } from './keeping.js';
import { findLaidAside } from './laid-aside.js';
import { ANOTHER, SAME } from './twin.js';
import { oneLineAbout } from './words.js';

/** The buttons that answer a question about what was weighed: “Keep it”, “Log it again”, “It is the same”. */
export function answerHandlers(db: Records): { readonly [action: string]: Handler } {
  return {
    [KEEP]: handler({
      audience: 'everyone',
      stores: true,
      args: z.tuple([key]),
      press: ([id], _fields, call) => keepLaidAside(db, { laidAside: id }, call),
    }),
    [ANOTHER]: handler({
      audience: 'everyone',
      stores: true,
      args: z.tuple([key]),
      press: ([id], _fields, call) => keepLaidAside(db, { laidAside: id, isAnother: true }, call),
    }),
    [SAME]: handler({
      audience: 'only you',
      args: z.tuple([key, batchNumberIn]),
      press: ([id, number], _fields, call) => leave(db, id, number, call),
    }),
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
async function leave(db: Records, id: string, number: number, call: Call): Promise<Outcome> {
  const weighed = await findLaidAside(db, id, call);
  if ('kind' in weighed) return weighed;
  const twin = await findBatch(db, call.community, number);
  if (!twin) return outOfDate();
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

function tellChanged(number: number): Refusal {
  return refusal(
    `Batch ${number} was changed meanwhile`,
    'Its weights were corrected after this question was asked.',
    [button('Correct it', actionId('batch.correct', number), 'main')],
  );
}
