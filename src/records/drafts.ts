import { SavingUnsure, Unavailable } from '../chat/fault.js';
import { rememberCommunity } from './communities.js';
import type { Records } from './database.js';

export interface Draft {
  readonly community: string;
  readonly id: string;
  readonly memberId: string;
  readonly body: unknown;
  readonly now: Date;
}

/** Keeps what a button will need until it is pressed, so that the button still works after a restart. */
export async function saveDraft(db: Records, { community, id, memberId, body, now }: Draft): Promise<void> {
  try {
    await rememberCommunity(db, community, now);
    await db
      .insertInto('drafts')
      .values({
        community_id: community,
        draft_id: id,
        member_id: memberId,
        body: JSON.stringify(body),
        created_at: now,
      })
      .onConflict((c) => c.columns(['community_id', 'draft_id']).doNothing())
      .execute();
  } catch (error) {
    // Nobody has to look whether it is there: it does no harm without its button.
    throw error instanceof SavingUnsure ? new Unavailable('away', { cause: error }) : error;
  }
}

/** A draft by its id; whoever reads it checks its body. */
export function findDraft(
  db: Records,
  community: string,
  id: string,
): Promise<Pick<Draft, 'memberId' | 'body'> | undefined> {
  return db
    .selectFrom('drafts')
    .select(['member_id as memberId', 'body'])
    .where('community_id', '=', community)
    .where('draft_id', '=', id)
    .executeTakeFirst();
}

/** Forgets drafts from before `before`, in every community. */
export async function forgetDrafts(db: Records, before: Date): Promise<void> {
  await db.deleteFrom('drafts').where('created_at', '<', before).execute();
}
