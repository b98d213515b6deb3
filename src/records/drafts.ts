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
export async function saveDraft(db: Records, draft: Draft): Promise<void> {
  try {
    await insertDraft(db, draft);
  } catch (error) {
    // Nobody has to look whether it is there: it does no harm without its button.
    throw error instanceof SavingUnsure ? new Unavailable('away', { cause: error }) : error;
  }
}

async function insertDraft(db: Records, draft: Draft): Promise<void> {
  await rememberCommunity(db, draft.community, draft.now);
  await db
    .insertInto('drafts')
    .values({
      community_id: draft.community,
      draft_id: draft.id,
      member_id: draft.memberId,
      body: JSON.stringify(draft.body),
      created_at: draft.now,
    })
    .onConflict((c) => c.columns(['community_id', 'draft_id']).doNothing())
    .execute();
}

/** A draft by its id; whoever reads it checks its body. */
export async function findDraft(
  db: Records,
  community: string,
  id: string,
): Promise<{ readonly memberId: string; readonly body: unknown } | undefined> {
  const row = await db
    .selectFrom('drafts')
    .select(['member_id', 'body'])
    .where('community_id', '=', community)
    .where('draft_id', '=', id)
    .executeTakeFirst();
  return row && { memberId: row.member_id, body: row.body };
}

/** Forgets drafts from before `before`, in every community. */
export async function forgetDrafts(db: Records, before: Date): Promise<void> {
  await db.deleteFrom('drafts').where('created_at', '<', before).execute();
}
