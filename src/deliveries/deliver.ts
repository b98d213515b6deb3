import type { Outbox, Posted } from '../chat/platform.js';
import type { Records } from '../records/database.js';
import {
  claimDeliveries,
  type Delivery,
  markClosed,
  markFolded,
  markSent,
  postponeDelivery,
} from '../records/deliveries.js';
import { type Contents, contentOf } from './content.js';

export interface DeliveryRun {
  readonly db: Records;
  readonly outbox: Outbox;
  /** The bot whose messages are sent. */
  readonly application: string;
  /** Names this process among those of that bot. */
  readonly worker: string;
  readonly clock: () => Date;
  readonly contents: Contents;
  readonly onFailure: (error: unknown, doing: string) => void;
}

/** Longer than any post takes, so that a claim is never given away while its post is under way. */
const LEASE_MS = 5 * 60_000;
/** Taken up and sent side by side. */
const CLAIMED_AT_ONCE = 5;
/** One composes while the other sends. */
const LANES = 2;
const FIRST_RETRY_MS = 30_000;
const LONGEST_RETRY_MS = 30 * 60_000;
/** A post that was refused so often will be refused again: a few minutes of trying. */
const MOST_REFUSED = 4;

/**
 * Sends what is due, a few at a time, until nothing is left or `stopping` says so. Several processes may do so at the
 * same moment: each message is claimed by one of them.
 */
export async function deliverDue(run: DeliveryRun, stopping: () => boolean): Promise<void> {
  const lanes = Array.from({ length: LANES }, () => deliverInTurn(run, stopping));
  // None goes on unwatched when another fails.
  await Promise.allSettled(lanes);
  await Promise.all(lanes);
}

async function deliverInTurn(run: DeliveryRun, stopping: () => boolean): Promise<void> {
  while (!stopping()) {
    const claimed = await claimDeliveries(run.db, {
      by: run.worker,
      application: run.application,
      now: run.clock(),
      leaseMs: LEASE_MS,
      most: CLAIMED_AT_ONCE,
    });
    if (claimed.length === 0) return;
    await Promise.all(claimed.map((delivery) => deliver(run, delivery)));
  }
}

/** Sends one claimed message. A failure is noted and tried again later. */
async function deliver(run: DeliveryRun, delivery: Delivery): Promise<void> {
  try {
    await send(run, delivery);
  } catch (error) {
    note(run, error, delivery);
    await tryAgain(run, delivery, error instanceof Error ? error.message : 'unknown');
  }
}

async function send(run: DeliveryRun, delivery: Delivery): Promise<void> {
  const { db, outbox } = run;
  const { community, channel, nonce, askedAt, dueAt } = delivery;
  const now = run.clock();
  const content = contentOf(run.contents, delivery.kind);
  // An earlier claim may have died between sending and recording: look before sending a second time.
  const found =
    delivery.attempts > 1 ? await outbox.find(channel, nonce, delivery.firstClaimedAt) : undefined;
  if (found !== undefined) {
    // What it said is not known any more; composed again it has the same caution, unless somebody logged meanwhile.
    const { caution } = await content.compose(delivery, now);
    return markSent(db, delivery, { at: now, message: found, caution });
  }
  if (now.getTime() - (askedAt ?? dueAt).getTime() > content.latestMs) return markFolded(db, delivery);
  const { reply, caution, skip } = await content.compose(delivery, now);
  if (skip && askedAt === null) return markFolded(db, delivery);
  const posted = await outbox.post({ community, channel, nonce, reply });
  if (posted.kind !== 'posted') return noteNotPosted(run, delivery, posted);
  return markSent(db, delivery, { at: run.clock(), message: posted.message, caution });
}

async function noteNotPosted(
  run: DeliveryRun,
  delivery: Delivery,
  posted: Exclude<Posted, { kind: 'posted' }>,
): Promise<void> {
  if (posted.kind !== 'closed') note(run, new Error(posted.why), delivery);
  if (posted.kind === 'later') return tryAgain(run, delivery, posted.why, posted.waitMs);
  if (posted.kind === 'refused' && delivery.attempts < MOST_REFUSED)
    return tryAgain(run, delivery, posted.why);
  await markClosed(run.db, delivery, posted.why);
}

const note = (run: DeliveryRun, error: unknown, { kind, about, community }: Delivery): void =>
  run.onFailure(error, `sending ${kind} ${about} of ${community}`);

function tryAgain(run: DeliveryRun, delivery: Delivery, why: string, leastMs = 0): Promise<void> {
  const usual = Math.min(FIRST_RETRY_MS * 2 ** (delivery.attempts - 1), LONGEST_RETRY_MS);
  const at = new Date(run.clock().getTime() + Math.max(usual, leastMs));
  return postponeDelivery(run.db, delivery, why.slice(0, 300), at);
}
