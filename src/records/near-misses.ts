import type { Records } from './database.js';
import { rememberMember } from './members.js';
import { isOwn } from './own-rows.js';

export interface NearMiss {
  readonly topic: string | undefined;
  readonly report: string;
  readonly reportedAt: Date;
}

/** How many reports one member may hand in within a time, so that nobody can bury those of others. */
const MOST_FROM_ONE = [
  { withinMs: 3_600_000, reports: 3 },
  { withinMs: 86_400_000, reports: 10 },
] as const;

interface Reported {
  readonly community: string;
  readonly member: { readonly id: string; readonly name: string };
  readonly interaction: string;
  readonly topic: string | undefined;
  readonly report: string;
  /** The bot that was told, which tells the managers. */
  readonly application: string;
  readonly now: Date;
}

/** Stores what nearly went wrong, unless its member has reported much already; a report that arrives twice is stored once. */
export async function reportNearMiss(db: Records, entry: Reported): Promise<'stored' | 'too many'> {
  return db.transaction().execute(async (tx) => {
    // Updating the member's row first makes two of their requests wait for each other, so that the limits hold.
    await rememberMember(tx, entry.community, entry.member, entry.now);
    if (await hasReportedMuch(tx, entry)) return 'too many';
    await tx
      .insertInto('near_misses')
      .values({
        community_id: entry.community,
        interaction: entry.interaction,
        member_id: entry.member.id,
        topic: entry.topic ?? null,
        report: entry.report,
        application: entry.application,
        reported_at: entry.now,
      })
      .onConflict((c) => c.columns(['community_id', 'interaction']).doNothing())
      .execute();
    return 'stored';
  });
}

async function hasReportedMuch(db: Records, entry: Reported): Promise<boolean> {
  const longestMs = Math.max(...MOST_FROM_ONE.map(({ withinMs }) => withinMs));
  const reported = await db
    .selectFrom('near_misses')
    .select('reported_at')
    .where('community_id', '=', entry.community)
    .where('member_id', '=', entry.member.id)
    .where('interaction', '!=', entry.interaction)
    .where('reported_at', '>', new Date(entry.now.getTime() - longestMs))
    .execute();
  return MOST_FROM_ONE.some(({ withinMs, reports }) => {
    const since = entry.now.getTime() - withinMs;
    return reported.filter(({ reported_at }) => reported_at.getTime() > since).length >= reports;
  });
}

/** The topics of the near misses reported from `from` until before `until`; undefined where none was named. */
export async function nearMissTopics(
  db: Records,
  community: string,
  from: Date,
  until: Date,
): Promise<readonly (string | undefined)[]> {
  const rows = await db
    .selectFrom('near_misses')
    .select('topic')
    .where('community_id', '=', community)
    .where('reported_at', '>=', from)
    .where('reported_at', '<', until)
    .orderBy('reported_at')
    .execute();
  return rows.map(({ topic }) => topic ?? undefined);
}

/**
 * The newest near misses below the `skipped` newest, and how many there are in all, for those who manage the community.
 * Who reported them is not told.
 */
export async function newestNearMisses(
  db: Records,
  community: string,
  { most, skipped }: { readonly most: number; readonly skipped: number },
): Promise<{ readonly reports: readonly NearMiss[]; readonly all: number }> {
  const own = db.selectFrom('near_misses').where('community_id', '=', community);
  const [rows, { all }] = await Promise.all([
    own
      .select(['topic', 'report', 'reported_at'])
      .orderBy('reported_at', 'desc')
      .orderBy('interaction')
      .limit(most)
      .offset(skipped)
      .execute(),
    own.select((e) => e.fn.countAll<number>().as('all')).executeTakeFirstOrThrow(),
  ]);
  const reports = rows.map(({ topic, report, reported_at }) => ({
    topic: topic ?? undefined,
    report,
    reportedAt: reported_at,
  }));
  return { reports, all };
}

/**
 * Communities whose managers have not been told yet of reports to this bot, with how many; marked as told at once, so that
 * no other process tells them too.
 */
export async function claimUntoldNearMisses(
  db: Records,
  application: string,
  now: Date,
): Promise<readonly { readonly community: string; readonly reports: number }[]> {
  const rows = await db
    .updateTable('near_misses')
    .set({ managers_told_at: now })
    .where('managers_told_at', 'is', null)
    .where((e) => isOwn(e.ref('application'), application))
    .where('reported_at', '<=', now)
    .returning('community_id')
    .execute();
  const counts = new Map<string, number>();
  for (const { community_id } of rows) counts.set(community_id, (counts.get(community_id) ?? 0) + 1);
  return [...counts].map(([community, reports]) => ({ community, reports }));
}

/** Takes back what `claimUntoldNearMisses` marked at that moment, to be tried again. */
export async function untellNearMisses(db: Records, community: string, claimedAt: Date): Promise<void> {
  await db
    .updateTable('near_misses')
    .set({ managers_told_at: null })
    .where('community_id', '=', community)
    .where('managers_told_at', '=', claimedAt)
    .execute();
}
