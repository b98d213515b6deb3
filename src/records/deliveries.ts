import { createHash } from 'node:crypto';
import { DAY_MS } from '../words/moments.js';
import type { Records } from './database.js';
import { isOwn } from './own-rows.js';
import type { DeliveriesTable } from './schema.js';

export type DeliveryKind = DeliveriesTable['kind'];

export interface DeliveryKey {
  readonly community: string;
  readonly kind: DeliveryKind;
  /** What the message is about; with community and kind it is unique, so the message exists once. */
  readonly about: string;
}

export interface Delivery extends DeliveryKey {
  readonly channel: string;
  readonly dueAt: Date;
  readonly nonce: string;
  /** How often it was claimed, this time included. */
  readonly attempts: number;
  readonly firstClaimedAt: Date;
  /** When somebody asked for it; it is not too late then. */
  readonly askedAt: Date | null;
}

/**
 * Writes down that a message must be sent. Belongs into the transaction of whatever causes it.
 * False when it was written down before. `folded` records a message that will not be sent because it came too late; one
 * that is due now did not, whatever a wrong clock recorded.
 */
export async function planDelivery(
  tx: Records,
  delivery: DeliveryKey & {
    /** The bot that is to send it. */
    readonly application: string;
    readonly channel: string;
    readonly dueAt: Date;
    readonly state: 'due' | 'folded';
    /** No process takes it up before this. */
    readonly notBefore?: Date | undefined;
    readonly askedAt?: Date | undefined;
  },
): Promise<boolean> {
  const inserted = await tx
    .insertInto('deliveries')
    .values({
      community_id: delivery.community,
      kind: delivery.kind,
      about: delivery.about,
      application: delivery.application,
      channel: delivery.channel,
      due_at: delivery.dueAt,
      nonce: nonceOf(delivery),
      state: delivery.state,
      claimed_until: delivery.notBefore ?? null,
      asked_at: delivery.askedAt ?? null,
    })
    .onConflict((c) =>
      c
        .columns(['community_id', 'kind', 'about'])
        .doUpdateSet((e) => ({
          channel: e.ref('excluded.channel'),
          due_at: e.ref('excluded.due_at'),
          state: e.ref('excluded.state'),
          claimed_until: e.ref('excluded.claimed_until'),
          asked_at: e.ref('excluded.asked_at'),
          attempts: 0,
          first_claimed_at: null,
        }))
        .where('deliveries.state', '=', 'folded')
        .where('excluded.state', '=', 'due'),
    )
    .returning('about')
    .executeTakeFirst();
  return inserted !== undefined;
}

/** The same message always has the same nonce: 22 characters, of the 25 that Discord allows (Create Message, `nonce`). */
function nonceOf({ community, kind, about }: DeliveryKey): string {
  return createHash('sha256').update([community, kind, about].join('\n')).digest('base64url').slice(0, 22);
}

/**
 * Takes up to `most` messages of one bot that are due, for `leaseMs` milliseconds: until then no other process is given
 * them. A process that dies leaves them to the next one once the lease has run out.
 */
export async function claimDeliveries(
  db: Records,
  claim: {
    readonly by: string;
    readonly application: string;
    readonly now: Date;
    readonly leaseMs: number;
    readonly most: number;
  },
): Promise<readonly Delivery[]> {
  const { now } = claim;
  const rows = await db
    .with('claimable', (q) =>
      q
        .selectFrom('deliveries')
        .select(['community_id', 'kind', 'about'])
        .where('state', '=', 'due')
        .where('due_at', '<=', now)
        .where((e) => isOwn(e.ref('application'), claim.application))
        .where((e) => e.or([e('claimed_until', 'is', null), e('claimed_until', '<=', now)]))
        .orderBy('due_at')
        .limit(claim.most)
        .forUpdate()
        .skipLocked(),
    )
    .updateTable('deliveries')
    .from('claimable')
    .set((e) => ({
      claimed_by: claim.by,
      application: claim.application,
      claimed_until: new Date(now.getTime() + claim.leaseMs),
      first_claimed_at: e.fn.coalesce('first_claimed_at', e.val(now)),
      attempts: e('attempts', '+', 1),
    }))
    .whereRef('deliveries.community_id', '=', 'claimable.community_id')
    .whereRef('deliveries.kind', '=', 'claimable.kind')
    .whereRef('deliveries.about', '=', 'claimable.about')
    .returning([
      'deliveries.community_id as community',
      'deliveries.kind',
      'deliveries.about',
      'deliveries.channel',
      'deliveries.due_at as dueAt',
      'deliveries.nonce',
      'deliveries.attempts',
      'deliveries.first_claimed_at as firstClaimedAt',
      'deliveries.asked_at as askedAt',
    ])
    .execute();
  return rows.map((row) => ({ ...row, firstClaimedAt: row.firstClaimedAt ?? now }));
}

/** Due for longer than this is late: posts of the same hour are spread over a quarter of one. */
const LATE_MS = 20 * 60_000;

export interface DeliveriesDue {
  readonly due: number;
  readonly late: number;
  readonly oldestDueAt: Date | undefined;
}

/** A bot's messages that are due and not sent, in every community. */
export async function deliveriesDue(db: Records, application: string, now: Date): Promise<DeliveriesDue> {
  const { due, late, oldest } = await db
    .selectFrom('deliveries')
    .select((e) => [
      e.fn.countAll<number>().as('due'),
      e.fn
        .countAll<number>()
        .filterWhere('due_at', '<', new Date(now.getTime() - LATE_MS))
        .as('late'),
      e.fn.min<Date | null>('due_at').as('oldest'),
    ])
    .where('state', '=', 'due')
    .where('due_at', '<=', now)
    .where((e) => isOwn(e.ref('application'), application))
    .executeTakeFirstOrThrow();
  return { due, late, oldestDueAt: oldest ?? undefined };
}

/** Records that the message is out; final. A channel that is closed after it is news again. */
export async function markSent(
  db: Records,
  key: DeliveryKey,
  sent: { readonly at: Date; readonly message: string; readonly caution: string | undefined },
): Promise<void> {
  await db.transaction().execute(async (tx) => {
    await updateDue(tx, key)
      .set({
        ...RELEASED,
        state: 'sent',
        sent_at: sent.at,
        message: sent.message,
        caution: sent.caution ?? null,
        last_error: null,
      })
      .execute();
    await forgetClosedTold(tx, key.community);
  });
}

/** Records that the channel is gone or shut; it is not tried again by itself. */
export async function markClosed(db: Records, key: DeliveryKey, why: string): Promise<void> {
  await updateDue(db, key)
    .set({ ...RELEASED, state: 'closed', last_error: why })
    .execute();
}

/** Records that it came too late to be sent. */
export async function markFolded(db: Records, key: DeliveryKey): Promise<void> {
  await updateDue(db, key)
    .set({ ...RELEASED, state: 'folded' })
    .execute();
}

/** Gives a claimed message back, to be tried again at `retryAt`. */
export async function postponeDelivery(
  db: Records,
  key: DeliveryKey,
  why: string,
  retryAt: Date,
): Promise<void> {
  await updateDue(db, key).set({ claimed_by: null, claimed_until: retryAt, last_error: why }).execute();
}

const RELEASED = { claimed_by: null, claimed_until: null };

/** Of a message that is still to be sent. */
const updateDue = (db: Records, key: DeliveryKey) => update(db, key).where('state', '=', 'due');

const update = (db: Records, { community, kind, about }: DeliveryKey) =>
  db
    .updateTable('deliveries')
    .where('community_id', '=', community)
    .where('kind', '=', kind)
    .where('about', '=', about);

/** A weekly post on record. */
export interface WeeklyRow {
  /** The ISO week it is about; a later one about the same week has a number after it. */
  readonly about: string;
  readonly state: 'due' | 'sent' | 'closed' | 'folded';
  readonly channel: string;
  readonly dueAt: Date;
  readonly sentAt: Date | null;
  readonly message: string | null;
}

/** The newest weekly posts on record, the newest first. */
export async function newestWeekly(
  db: Records,
  community: string,
  most: number,
): Promise<readonly WeeklyRow[]> {
  return db
    .selectFrom('deliveries')
    .select(['about', 'state', 'channel', 'due_at as dueAt', 'sent_at as sentAt', 'message'])
    .where('community_id', '=', community)
    .where('kind', '=', 'weekly')
    .orderBy('due_at', 'desc')
    .orderBy('about', 'desc')
    .limit(most)
    .execute();
}

/** Lets a post of this bot whose channel was closed go out after all, to this channel; false when it was not waiting for that. */
export async function reopenDelivery(
  tx: Records,
  key: DeliveryKey,
  asked: { readonly at: Date; readonly channel: string; readonly application: string },
): Promise<boolean> {
  const { numUpdatedRows } = await update(tx, key)
    .set({
      state: 'due',
      channel: asked.channel,
      application: asked.application,
      asked_at: asked.at,
      claimed_until: null,
      last_error: null,
      managers_told_at: null,
    })
    .where('state', '=', 'closed')
    .where((e) => isOwn(e.ref('application'), asked.application))
    .executeTakeFirst();
  if (numUpdatedRows > 0n) await forgetClosedTold(tx, key.community);
  return numUpdatedRows > 0n;
}

/** A message that met a closed channel. */
export interface ClosedDelivery extends DeliveryKey {
  readonly channel: string;
  readonly why: string;
}

/**
 * Messages of this bot that met a closed channel and whose managers have not been told, marked as told at once, so that no
 * other process tells them too. Managers who were told are not told again before something has gone out.
 */
export async function claimUntoldClosed(
  db: Records,
  application: string,
  now: Date,
): Promise<readonly ClosedDelivery[]> {
  const rows = await db
    .with('untold', (q) =>
      q
        .updateTable('deliveries')
        .from('communities')
        .set({ managers_told_at: now })
        .whereRef('communities.community_id', '=', 'deliveries.community_id')
        .where('communities.closed_told_at', 'is', null)
        .where('deliveries.state', '=', 'closed')
        .where('deliveries.managers_told_at', 'is', null)
        .where((e) => isOwn(e.ref('deliveries.application'), application))
        .returning(['deliveries.community_id as community', 'kind', 'about', 'channel', 'last_error as why']),
    )
    .with('told', (q) =>
      q
        .updateTable('communities')
        .from('untold')
        .set({ closed_told_at: now })
        .whereRef('communities.community_id', '=', 'untold.community'),
    )
    .selectFrom('untold')
    .selectAll()
    .execute();
  return rows.map((row) => ({ ...row, why: row.why ?? 'the channel is closed to the bot' }));
}

/** Takes back what `claimUntoldClosed` marked in one community, to be tried again. */
export async function untellClosed(db: Records, closed: readonly ClosedDelivery[]): Promise<void> {
  for (const key of closed) {
    await update(db, key).set({ managers_told_at: null }).execute();
    await forgetClosedTold(db, key.community);
  }
}

async function forgetClosedTold(db: Records, community: string): Promise<void> {
  await db
    .updateTable('communities')
    .set({ closed_told_at: null })
    .where('community_id', '=', community)
    .execute();
}

/** Cautions that went out with a weekly post since `since`, newest first. */
export async function cautionsShownSince(
  db: Records,
  community: string,
  since: Date,
): Promise<readonly { readonly id: string; readonly shownAt: Date }[]> {
  return db
    .selectFrom('deliveries')
    .select((e) => [e.ref('caution').$notNull().as('id'), e.ref('sent_at').$notNull().as('shownAt')])
    .where('community_id', '=', community)
    .where('kind', '=', 'weekly')
    .where('state', '=', 'sent')
    .where('sent_at', '>=', since)
    .where('caution', 'is not', null)
    .orderBy('sent_at', 'desc')
    .execute();
}

/**
 * Where the week that ends at `dueAt` begins: at the last weekly post that went out, so that weeks which were folded
 * are told in the next; one week back when there was none within `furthestBack`.
 */
export async function weekCoveredFrom(
  db: Records,
  community: string,
  dueAt: Date,
  furthestBack: Date,
): Promise<Date> {
  const last = await db
    .selectFrom('deliveries')
    .select('due_at')
    .where('community_id', '=', community)
    .where('kind', '=', 'weekly')
    .where('state', '=', 'sent')
    .where('due_at', '<', dueAt)
    .where('due_at', '>=', furthestBack)
    .orderBy('due_at', 'desc')
    .executeTakeFirst();
  return last?.due_at ?? new Date(dueAt.getTime() - 7 * DAY_MS);
}
