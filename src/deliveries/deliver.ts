import type { Outbox, Posted } from '../chat/platform.js';
import type { Reply } from '../chat/reply.js';
import type { Records } from '../records/database.js';
import {
  claimDeliveries,
  type Delivery,
  markClosed,
  markFolded,
  markSent,
  postponeDelivery,
} from '../records/deliveries.js';
import { LATEST_MS } from './appointments.js';

/** What goes out, and the caution it carries, so that the next one chooses another. */
export interface Composed {
  readonly reply: Reply;
  readonly caution: string | undefined;
  /** Whether it is not to be sent after all: what it tells is told in the next. */
  readonly skip: boolean;
}

/** Writes the weekly post of a community as it reads at `until`. */
export type Compose = (community: string, until: Date, now: Date) => Promise<Composed>;

export interface DeliveryRun {
  readonly db: Records;
  readonly outbox: Outbox;
  /** The bot whose messages are sent. */
  readonly application: string;
  /** Names this process among those of that bot. */
  readonly worker: string;
  readonly clock: () => Date;
  readonly compose: (delivery: Delivery, now: Date) => Promise<Composed>;
  readonly onFailure: (error: unknown, delivery: Delivery) => void;
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
export async function deliverDue(run: DeliveryRun, stopping: () => boolean): Promise<number> {
  const lanes = Array.from({ length: LANES }, () => deliverInTurn(run, stopping));
  // None goes on unwatched when another fails.
  await Promise.allSettled(lanes);
  return (await Promise.all(lanes)).reduce((sum, sent) => sum + sent, 0);
}

async function deliverInTurn(run: DeliveryRun, stopping: () => boolean): Promise<number> {
  let sent = 0;
  while (!stopping()) {
    const claimed = await claimDeliveries(run.db, {
      by: run.worker,
      application: run.application,
      now: run.clock(),
      leaseMs: LEASE_MS,
      most: CLAIMED_AT_ONCE,
    });
    if (claimed.length === 0) break;
    const outcomes = await Promise.all(claimed.map((delivery) => deliver(run, delivery)));
    sent += outcomes.filter((isSent) => isSent).length;
  }
  return sent;
}

/** Sends one claimed message; true when it is out. A failure is noted and tried again later. */
async function deliver(run: DeliveryRun, delivery: Delivery): Promise<boolean> {
  const now = run.clock();
  try {
    // An earlier claim may have died between sending and recording: look before sending a second time.
    const found =
      delivery.attempts > 1
        ? await run.outbox.find(delivery.channel, delivery.nonce, delivery.firstClaimedAt)
        : undefined;
    if (found !== undefined) {
      // What it said is not known any more; composed again it has the same caution, unless somebody logged meanwhile.
      const { caution } = await run.compose(delivery, now);
      await markSent(run.db, delivery, { at: now, message: found, caution });
      return true;
    }
    const wanted = delivery.askedAt ?? delivery.dueAt;
    if (now.getTime() - wanted.getTime() > LATEST_MS) {
      await markFolded(run.db, delivery);
      return false;
    }
    const { reply, caution, skip } = await run.compose(delivery, now);
    if (skip && delivery.askedAt === undefined) {
      await markFolded(run.db, delivery);
      return false;
    }
    const posted = await run.outbox.post({
      community: delivery.community,
      channel: delivery.channel,
      nonce: delivery.nonce,
      reply,
    });
    if (posted.kind === 'posted') {
      await markSent(run.db, delivery, { at: run.clock(), message: posted.message, caution });
      return true;
    }
    await noteNotPosted(run, delivery, posted);
    return false;
  } catch (error) {
    run.onFailure(error, delivery);
    await tryAgain(run, delivery, error instanceof Error ? error.message : 'unknown');
    return false;
  }
}

async function noteNotPosted(
  run: DeliveryRun,
  delivery: Delivery,
  posted: Exclude<Posted, { kind: 'posted' }>,
): Promise<void> {
  if (posted.kind !== 'closed') run.onFailure(new Error(posted.why), delivery);
  if (posted.kind === 'later') return tryAgain(run, delivery, posted.why, posted.waitMs);
  if (posted.kind === 'refused' && delivery.attempts < MOST_REFUSED)
    return tryAgain(run, delivery, posted.why);
  await markClosed(run.db, delivery, posted.why);
}

function tryAgain(run: DeliveryRun, delivery: Delivery, why: string, leastMs = 0): Promise<void> {
  const usual = Math.min(FIRST_RETRY_MS * 2 ** (delivery.attempts - 1), LONGEST_RETRY_MS);
  const at = new Date(run.clock().getTime() + Math.max(usual, leastMs));
  return postponeDelivery(run.db, delivery, why.slice(0, 300), at);
}
