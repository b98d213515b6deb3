import { wholeNumberIn } from '../../src/chat/action.js';
import type { Call } from '../../src/chat/call.js';
import type { Choice, Given } from '../../src/chat/option.js';
import { wholeNumber } from '../../src/chat/options.js';
import { type Batch, listBatches } from '../../src/records/batches.js';
import type { Records } from '../../src/records/database.js';
import { oneLineAbout } from './words.js';

const MOST_BATCHES = 100_000_000;

/** The option that names one batch. */
export const batchNumber = (description: string) =>
  wholeNumber({ description, required: true, least: 1, most: MOST_BATCHES, example: '17', suggests: true });

/** The same in the id of a button. */
export const batchNumberIn = wholeNumberIn(1, MOST_BATCHES);

const NEWEST_SUGGESTED = 25;

/**
 * Suggests the newest batches whose numbers begin as typed, or whose cook’s name has a word that does: everyone’s, or
 * those that the caller may change.
 */
export const suggestNumbers =
  (db: Records, whose: 'everyone' | 'own') =>
  async (_option: string, typed: string, _given: Given, call: Call): Promise<readonly Choice[]> => {
    const { batches } = await listBatches(
      db,
      call.community,
      { member: whose === 'own' && !call.member.mayManage ? call.member.id : undefined },
      NEWEST_SUGGESTED * 4,
    );
    return batches
      .filter((one) => isMeant(one, typed.trim().replace(/^#/, '').toLowerCase()))
      .slice(0, NEWEST_SUGGESTED)
      .map((one) => ({ value: String(one.number), label: oneLineAbout(one) }));
  };

function isMeant({ number, memberName }: Batch, typed: string): boolean {
  const names = memberName.toLowerCase();
  return (
    String(number).startsWith(typed) ||
    names.startsWith(typed) ||
    names.split(/[^\p{L}\p{M}\p{N}]+/u).some((word) => word.startsWith(typed))
  );
}
