import { rememberCommunity } from './communities.js';
import type { Records } from './database.js';

/** Keeps what a button will need until it is pressed, so that the button still works after a restart. */
export async function saveDraft(
  db: Records,
  draft: {
    readonly community: string;
    readonly id: string;
    readonly memberId: string;
    readonly body: unknown;
    readonly now: Date;
  },
): Promise<void> {
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
