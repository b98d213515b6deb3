import type { Outbox, PlaceNames } from '../chat/platform.js';
import { type Reply, reply } from '../chat/reply.js';
import { noteManagersUnreached } from '../records/communities.js';
import type { Records } from '../records/database.js';
import { claimUntoldClosed, untellClosed } from '../records/deliveries.js';
import { claimUntoldNearMisses, untellNearMisses } from '../records/near-misses.js';

export interface Telling {
  readonly db: Records;
  readonly outbox: Outbox;
  /** The bot whose news they are. */
  readonly application: string;
  readonly onFailure: (error: unknown, doing: string) => void;
}

/**
 * Tells those who manage a community, once, that its channel is closed to the post or that a near miss was reported.
 * Where nobody can be reached that is recorded, and it is not tried again before there is something new to tell.
 */
export async function tellManagers(
  { db, outbox, application, onFailure }: Telling,
  now: Date,
): Promise<void> {
  const tell = async (community: string, news: () => Promise<Reply>, takeBack: () => Promise<void>) => {
    let isReached: boolean;
    try {
      isReached = await outbox.tellManagers(community, await news());
    } catch (error) {
      onFailure(error, `telling the managers of ${community}`);
      return takeBack();
    }
    await noteManagersUnreached(db, community, isReached ? undefined : now);
  };
  for (const [community, closed] of byCommunity(await claimUntoldClosed(db, application, now)))
    await tell(
      community,
      () => closedNews(outbox, closed),
      async () => {
        for (const post of closed) await untellClosed(db, post);
      },
    );
  for (const { community, reports } of await claimUntoldNearMisses(db, application, now))
    await tell(
      community,
      async () => nearMissNews(await outbox.names(community), reports),
      () => untellNearMisses(db, community, now),
    );
}

type ClosedPost = Awaited<ReturnType<typeof claimUntoldClosed>>[number];

function byCommunity(closed: readonly ClosedPost[]): ReadonlyMap<string, readonly ClosedPost[]> {
  const grouped = new Map<string, ClosedPost[]>();
  for (const post of closed) grouped.set(post.community, [...(grouped.get(post.community) ?? []), post]);
  return grouped;
}

/** Whoever is told may look after several servers, so it says where. */
async function closedNews(outbox: Outbox, closed: readonly ClosedPost[]): Promise<Reply> {
  const places = await Promise.all(
    closed.map(
      async ({ community, channel, why }) => `${placeWords(await outbox.names(community, channel))}: ${why}.`,
    ),
  );
  return reply({
    title:
      closed.length === 1
        ? 'The weekly post could not be sent'
        : `${closed.length} weekly posts could not be sent`,
    lines: [
      ...new Set(places),
      closed.length === 1 ? 'It is kept.' : 'They are kept.',
      'Let me into the channel again or choose another with /settings weekly, then send with /weekly post.',
    ],
  });
}

const placeWords = ({ community, channel }: PlaceNames): string =>
  `${serverWords(community)}, ${channel === undefined ? 'in a channel that I cannot see' : `#${channel}`}`;

const serverWords = (name: string | undefined): string => `On ${name ?? 'a server that I cannot see'}`;

/** What was reported is for the managers alone, and others may read this message: it only says where to look. */
const nearMissNews = ({ community }: PlaceNames, reports: number): Reply =>
  reply({
    title: reports === 1 ? 'A near miss was reported' : `${reports} near misses were reported`,
    lines: [
      `${serverWords(community)}. Whoever manages it can read ${reports === 1 ? 'it' : 'them'}: use /safety there and press “Read near misses” below its answer.`,
    ],
  });
