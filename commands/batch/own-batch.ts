import type { Call } from '../../src/chat/call.js';
import { type Refusal, refusal } from '../../src/chat/reply.js';
import type { ChangeEntry } from '../../src/records/batch-changes.js';
import { type Batch, findBatch } from '../../src/records/batches.js';
import type { Records } from '../../src/records/database.js';

/** A batch that the caller may change, or why not. */
export async function findOwn(db: Records, number: number, call: Call): Promise<Batch | Refusal> {
  const found = await findBatch(db, call.community, number);
  if (!found) return noSuchBatch(number);
  if (found.memberId === call.member.id || call.member.mayManage) return found;
  return refusal(
    'Not your batch',
    `Batch ${number} was logged by ${found.memberName}. They, or somebody who may manage the community, can change it.`,
  );
}

export function noSuchBatch(number: number): Refusal {
  return refusal('No such batch', `There is no batch ${number} here. /batch list shows the newest.`);
}

/** A change by the caller, as the records enter it. */
export const changeBy = (call: Call, number: number): ChangeEntry => ({
  community: call.community,
  number,
  changedBy: call.member.id,
  interaction: call.interaction,
  now: call.now,
});
