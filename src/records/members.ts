import { rememberCommunity } from './communities.js';
import type { Records } from './database.js';

/** Makes sure that the member, and their community, is known under the name they go by now. */
export async function rememberMember(
  db: Records,
  community: string,
  member: { readonly id: string; readonly name: string },
  now: Date,
): Promise<void> {
  await rememberCommunity(db, community, now);
  await db
    .insertInto('members')
    .values({ community_id: community, member_id: member.id, name: member.name, created_at: now })
    .onConflict((c) => c.columns(['community_id', 'member_id']).doUpdateSet({ name: member.name }))
    .execute();
}
