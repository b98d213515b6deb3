import type { Outbox, PlaceNames } from '../chat/platform.js';
import { type Reply, reply } from '../chat/reply.js';
import { noteManagersUnreached } from '../records/communities.js';
import { type ClosedDelivery, claimUntoldClosed, untellClosed } from '../records/deliveries.js';
import { claimUntoldNearMisses, untellNearMisses } from '../records/near-misses.js';
import { contentOf } from './content.js';
import type { DeliveryRun } from './deliver.js';

/**
 * Tells those who manage a community, once, that a channel is closed to what should go there or that a near miss was
 * reported. Where nobody can be reached that is recorded, and it is not tried again before there is something new to tell.
 */
export async function tellManagers(run: DeliveryRun, now: Date): Promise<void> {
  const { db, outbox, application, contents, onFailure } = run;
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
  for (const closed of alike(await claimUntoldClosed(db, application, now))) {
    const [{ community, kind }] = closed;
    await tell(
      community,
      async () => contentOf(contents, kind).closedNews(await placesOf(outbox, closed)),
      () => untellClosed(db, closed),
    );
  }
  for (const { community, reports } of await claimUntoldNearMisses(db, application, now))
    await tell(
      community,
      async () => nearMissNews(await outbox.names(community), reports),
      () => untellNearMisses(db, community, now),
    );
}

type Some<T> = readonly [T, ...T[]];

/** Those of one community and one kind together. */
function alike(closed: readonly ClosedDelivery[]): readonly Some<ClosedDelivery>[] {
  const groups = new Map<string, Some<ClosedDelivery>>();
  for (const one of closed) {
    const key = JSON.stringify([one.community, one.kind]);
    const others = groups.get(key);
    groups.set(key, others ? [...others, one] : [one]);
  }
  return [...groups.values()];
}

/** Whoever is told may look after several servers, so it says where. */
async function placesOf(outbox: Outbox, closed: readonly ClosedDelivery[]): Promise<readonly string[]> {
  return Promise.all(
    closed.map(
      async ({ community, channel, why }) => `${placeWords(await outbox.names(community, channel))}: ${why}.`,
    ),
  );
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
