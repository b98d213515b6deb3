import { sql } from 'kysely';
import type { Records } from '../../src/records/database.js';

/** Fills a community with made-up batches inside the database. */
export async function fillCommunity(
  db: Records,
  community: string,
  batches: number,
  members: number,
): Promise<void> {
  await db
    .insertInto('communities')
    .values({ community_id: community, last_batch: batches, created_at: new Date() })
    .execute();
  await sql`
    insert into members (community_id, member_id, name, created_at)
    select ${community}, 'm' || i, 'm' || i, now() from generate_series(1, ${members}::int) i`.execute(db);
  await sql`
    insert into batches (community_id, number, member_id, method, cut, fat_g, tallow_g, minutes, state, finished_at,
                         logged_at, logged_by_interaction)
    select ${community}, i, 'm' || (1 + floor(${members}::int * power(random(), 2))),
           (array['open-pot', 'pressure', 'slow-cooker', 'stovetop-dry', 'oven', 'smoker'])[1 + floor(6 * random())],
           (array['ground', 'minced', 'cubed'])[1 + floor(3 * random())],
           fat, fat * (0.4 + 0.15 * random()), 120 + floor(180 * random()), 'done',
           now() - random() * interval '400 days', now(), 'filled-' || i
    from (select i, 500 + 4000 * random() as fat from generate_series(1, ${batches}::int) i) drawn`.execute(
    db,
  );
  await sql`analyze batches`.execute(db);
}
