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

/** Fills many communities alike, every one with a weekly post that is due at `due`, in a few statements. */
export async function fillDueCommunities(
  db: Records,
  communities: readonly { readonly id: string; readonly channel: string }[],
  each: { readonly batches: number; readonly members: number },
  due: Date,
): Promise<void> {
  const ids = communities.map(({ id }) => id);
  const channels = communities.map(({ channel }) => channel);
  await sql`
    insert into communities (community_id, last_batch, created_at, weekly_channel, weekly_day, weekly_hour,
                             weekly_zone, weekly_next)
    select id, ${each.batches}, now() - interval '500 days', channel, extract(isodow from ${due}::timestamptz),
           extract(hour from ${due}::timestamptz), 'UTC', ${due}
    from unnest(${ids}::text[], ${channels}::text[]) as filled (id, channel)`.execute(db);
  await sql`
    insert into members (community_id, member_id, name, created_at)
    select id, 'm' || i, 'm' || i, now() from unnest(${ids}::text[]) id, generate_series(1, ${each.members}::int) i`.execute(
    db,
  );
  for (let at = 0; at < ids.length; at += FILLED_AT_ONCE)
    await sql`
      insert into batches (community_id, number, member_id, method, cut, fat_g, tallow_g, minutes, state,
                           finished_at, logged_at, logged_by_interaction)
      select id, i, 'm' || (1 + floor(${each.members}::int * power(random(), 2))),
             (array['open-pot', 'pressure', 'oven'])[1 + floor(3 * random())],
             (array['ground', 'minced', 'cubed'])[1 + floor(3 * random())],
             fat, fat * (0.4 + 0.15 * random()), 120 + floor(180 * random()), 'done', at, at, 'filled-' || i
      from (select id, i, 500 + 4000 * random() as fat, ${due}::timestamptz - random() * interval '200 days' as at
            from unnest(${ids.slice(at, at + FILLED_AT_ONCE)}::text[]) id,
                 generate_series(1, ${each.batches}::int) i) drawn`.execute(db);
  await sql`vacuum analyze batches`.execute(db);
  await sql`vacuum analyze members`.execute(db);
}

const FILLED_AT_ONCE = 1000;
