import { type Kysely, sql } from 'kysely';

/** When managers were told that a channel is closed to what should go there; empty once something has gone out since. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await db.schema.alterTable('communities').addColumn('closed_told_at', 'timestamptz').execute();
  await sql`
    update communities c set closed_told_at = told.at
    from (
      select community_id, max(managers_told_at) as at from deliveries where state = 'closed' group by community_id
    ) told
    where told.community_id = c.community_id and told.at is not null
      and (c.managers_unreached_at is null or c.managers_unreached_at < told.at)
      and not exists (
        select from deliveries sent
        where sent.community_id = c.community_id and sent.state = 'sent' and sent.sent_at > told.at
      )
  `.execute(db);
}

export async function down(db: Kysely<unknown>): Promise<void> {
  await db.schema.alterTable('communities').dropColumn('closed_told_at').execute();
}
