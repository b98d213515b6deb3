import type { Outbox } from '../chat/platform.js';
import { type Reply, reply } from '../chat/reply.js';
import type { Records } from '../records/database.js';
import { claimUntoldClosed, untellClosed } from '../records/deliveries.js';
import { claimUntoldNearMisses, untellNearMisses } from '../records/near-misses.js';

type OnFailure = (error: unknown, doing: string) => void;

/** Tells those who manage a community, once, that its channel is closed to the post or that a near miss was reported. */
export async function tellManagers(
  db: Records,
  outbox: Outbox,
  now: Date,
  onFailure: OnFailure,
): Promise<void> {
  const tell = async (community: string, news: Reply, takeBack: () => Promise<void>) => {
    try {
      await outbox.tellManagers(community, news);
    } catch (error) {
      onFailure(error, `telling the managers of ${community}`);
      await takeBack();
    }
  };
  for (const closed of await claimUntoldClosed(db, now))
    await tell(closed.community, closedNews(closed.why), () => untellClosed(db, closed));
  for (const { community, reports } of await claimUntoldNearMisses(db, now))
    await tell(community, nearMissNews(reports), () => untellNearMisses(db, community, now));
}

const closedNews = (why: string): Reply =>
  reply({
    title: 'The weekly post could not be sent',
    lines: [
      `Why: ${why}.`,
      'It is kept. Let me into the channel again or choose another with /settings weekly, then send it with /weekly post.',
    ],
  });

/** What was reported is for the managers alone, and others may read this message: it only says where to look. */
const nearMissNews = (reports: number): Reply =>
  reply({
    title: reports === 1 ? 'A near miss was reported' : `${reports} near misses were reported`,
    lines: ['Whoever manages this community can read it: /safety has a button for that.'],
  });
