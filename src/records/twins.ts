import type { Records } from './database.js';

/** A batch that looks like one that is being logged. */
export interface Twin {
  readonly number: number;
  readonly loggedAt: Date;
}

/** What a batch has in common with its twin. */
export interface Likeness {
  readonly community: string;
  readonly memberId: string;
  readonly method: string;
  readonly cut: string;
  readonly fatG: number;
  readonly tallowG: number;
  readonly finishedAt: Date;
}

/** Who sends a batch again after a hitch does so soon; two alike that were cooked are weighed further apart. */
const LOGGED_WITHIN_MS = 3_600_000;
const FINISHED_WITHIN_MS = 3_600_000;
/** Kitchen scales show whole grams. */
const SAME_G = 0.5;

/**
 * The newest batch of the same member by the same method and cut, with the same weights and finished within an hour of
 * the same moment, that was logged within the hour before `now`; undefined when there is none.
 */
export async function findTwin(db: Records, like: Likeness, now: Date): Promise<Twin | undefined> {
  const around = (at: Date, ms: number) => new Date(at.getTime() + ms);
  const row = await db
    .selectFrom('batches')
    .select(['number', 'logged_at'])
    .where('community_id', '=', like.community)
    .where('member_id', '=', like.memberId)
    .where('method', '=', like.method)
    .where('cut', '=', like.cut)
    .where('fat_g', '>', like.fatG - SAME_G)
    .where('fat_g', '<', like.fatG + SAME_G)
    .where('tallow_g', '>', like.tallowG - SAME_G)
    .where('tallow_g', '<', like.tallowG + SAME_G)
    .where('finished_at', '>=', around(like.finishedAt, -FINISHED_WITHIN_MS))
    .where('finished_at', '<=', around(like.finishedAt, FINISHED_WITHIN_MS))
    .where('logged_at', '>', around(now, -LOGGED_WITHIN_MS))
    .where('removed_at', 'is', null)
    .orderBy('number', 'desc')
    .limit(1)
    .executeTakeFirst();
  return row && { number: row.number, loggedAt: row.logged_at };
}
