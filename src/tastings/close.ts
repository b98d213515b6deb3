import { actionId, button } from '../chat/action.js';
import type { Call } from '../chat/call.js';
import type { Outcome } from '../chat/command.js';
import { refusal, reply } from '../chat/reply.js';
import type { Records } from '../records/database.js';
import { answersGiven } from '../records/tasting-seats.js';
import { closeTasting, findTasting } from '../records/tastings.js';
import { CLOSE } from './names.js';
import { noSuchTasting } from './refusals.js';
import { describeResult } from './result.js';

/** Closes a tasting and tells what came out; asks first where seats have not answered. */
export async function closeIt(db: Records, number: number, anyway: boolean, call: Call): Promise<Outcome> {
  const tasting = await findTasting(db, call.community, number);
  if (!tasting) return noSuchTasting(number);
  if (tasting.closed) return describeResult(tasting);
  const { member } = call;
  const may = [tasting.openedBy, tasting.servedBy].includes(member.id) || member.mayManage;
  if (!may)
    return refusal(
      'Not yours to close',
      'Who opened it, who serves or who manages the community can close it. A week after it was opened it closes by itself.',
    );
  const waiting = tasting.planned - (await answersGiven(db, call.community, number));
  if (waiting > 0 && !anyway)
    return reply({
      title: `${waiting} of ${tasting.planned} seats have not answered`,
      audience: 'only you',
      lines: ['Once it is closed no more answers are taken, and what came out is told to everyone.'],
      actions: [button('Close it now', actionId(CLOSE, number, 'now'), 'grave')],
      figures: { tasting: number, waiting },
    });
  const closed = await closeTasting(db, { ...call, number });
  if (!closed) return noSuchTasting(number);
  call.saved(`Tasting ${number} is closed`);
  return describeResult(closed);
}
