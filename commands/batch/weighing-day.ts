import type { Call } from '../../src/chat/call.js';
import { refuseUnreadable } from '../../src/chat/command.js';
import type { Refusal } from '../../src/chat/reply.js';
import { readPastDay } from '../../src/chat/when.js';
import type { Batch } from '../../src/records/batches.js';
import { communityZone } from '../../src/records/communities.js';
import type { Records } from '../../src/records/database.js';
import { dayWords } from '../../src/words/amount-words.js';

const LOG_LATER = 'log a batch once it is weighed';

/** The moment that stands for the day that was typed; the one it had `before` where the day is the same. */
export async function readWeighingDay(
  db: Records,
  text: string | undefined,
  call: Call,
  before?: Batch,
): Promise<{ readonly at: Date } | Refusal> {
  if (text === undefined) return { at: call.now };
  const zone = await communityZone(db, call.community);
  const read = readPastDay(text, call.now, zone, LOG_LATER);
  if (!read.ok) return refuseUnreadable([`date: ${read.problem}`]);
  const isSameDay = before !== undefined && dayWords(before.finishedAt, zone) === dayWords(read.value, zone);
  return { at: isSameDay ? before.finishedAt : read.value };
}

/** The day a batch was weighed, where it is another than today and so may have been misread. */
export function dayUnlessToday({ finishedAt }: Batch, zone: string, call: Call): readonly string[] {
  const day = dayWords(finishedAt, zone);
  return day === dayWords(call.now, zone) ? [] : [`Weighed on ${day}.`];
}
