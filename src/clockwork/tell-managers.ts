import type { Outbox } from '../chat/platform.js';
import { type Reply, reply } from '../chat/reply.js';
import { noteManagersUnreached } from '../records/communities.js';
import type { Records } from '../records/database.js';
import { claimUntoldClosed, untellClosed } from '../records/deliveries.js';
import { claimUntoldNearMisses, untellNearMisses } from '../records/near-misses.js';

type OnFailure = (error: unknown, doing: string) => void;

/**
 * Tells those who manage a community, once, that its channel is closed to the post or that a near miss was reported.
 * Where nobody can be reached that is recorded, and it is not tried again before there is something new to tell.
 */
export async function tellManagers(
  db: Records,
  outbox: Outbox,
  now: Date,
  onFailure: OnFailure,
): Promise<void> {
  const tell = async (community: string, news: Reply, takeBack: () => Promise<void>) => {
    let isReached: boolean;
    try {
      isReached = await outbox.tellManagers(community, news);
    } catch (error) {
      onFailure(error, `telling the managers of ${community}`);
      return takeBack();
    }
    await noteManagersUnreached(db, community, isReached ? undefined : now);
  };
  for (const [community, closed] of byCommunity(await claimUntoldClosed(db, now)))
    await tell(community, closedNews(closed), async () => {
      for (const post of closed) await untellClosed(db, post);
    });
  for (const { community, reports } of await claimUntoldNearMisses(db, now))
    await tell(community, nearMissNews(reports), () => untellNearMisses(db, community, now));
}

type ClosedPost = Awaited<ReturnType<typeof claimUntoldClosed>>[number];

function byCommunity(closed: readonly ClosedPost[]): ReadonlyMap<string, readonly ClosedPost[]> {
  const grouped = new Map<string, ClosedPost[]>();
  for (const post of closed) grouped.set(post.community, [...(grouped.get(post.community) ?? []), post]);
  return grouped;
}

const closedNews = (closed: readonly ClosedPost[]): Reply =>
  reply({
    title:
      closed.length === 1
        ? 'The weekly post could not be sent'
        : `${closed.length} weekly posts could not be sent`,
    lines: [
      `Why: ${[...new Set(closed.map(({ why }) => why))].join('; ')}.`,
      closed.length === 1 ? 'It is kept.' : 'They are kept.',
      'Let me into the channel again or choose another with /settings weekly, then send with /weekly post.',
    ],
  });

/** What was reported is for the managers alone, and others may read this message: it only says where to look. */
const nearMissNews = (reports: number): Reply =>
  reply({
    title: reports === 1 ? 'A near miss was reported' : `${reports} near misses were reported`,
    lines: ['Whoever manages this community can read it: /safety has a button for that.'],
  });
