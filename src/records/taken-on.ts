import type { Records } from './database.js';
import { rememberMember } from './members.js';

export interface BatchToCook {
  readonly method: string;
  readonly cut: string;
  readonly fatG: number;
}

/** Records that a member will cook this batch; false when they had said so before. */
export async function takeOn(
  db: Records,
  entry: BatchToCook & {
    readonly community: string;
    readonly member: { readonly id: string; readonly name: string };
    readonly now: Date;
  },
): Promise<boolean> {
  return db.transaction().execute(async (tx) => {
    await rememberMember(tx, entry.community, entry.member, entry.now);
    const inserted = await tx
      .insertInto('taken_on')
      .values({
        community_id: entry.community,
        member_id: entry.member.id,
        method: entry.method,
        cut: entry.cut,
        fat_g: entry.fatG,
        taken_at: entry.now,
      })
      .onConflict((c) => c.columns(['community_id', 'member_id', 'method', 'cut', 'fat_g']).doNothing())
      .returning('member_id')
      .executeTakeFirst();
    return inserted !== undefined;
  });
}

/** How many members have taken this batch on since `since`. */
export async function countTakers(
  db: Records,
  community: string,
  { method, cut, fatG }: BatchToCook,
  since: Date,
): Promise<number> {
  const row = await db
    .selectFrom('taken_on')
    .select((e) => e.fn.countAll<number>().as('takers'))
    .where('community_id', '=', community)
    .where('method', '=', method)
    .where('cut', '=', cut)
    .where('fat_g', '=', fatG)
    .where('taken_at', '>=', since)
    .executeTakeFirstOrThrow();
  return Number(row.takers);
}
