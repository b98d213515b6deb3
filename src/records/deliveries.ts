import type { Records } from './database.js';
import { isOwn } from './own-rows.js';

export type DeliveryKind = 'weekly' | 'reminder';

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
  readonly askedAt: Date | undefined;
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
    readonly nonce: string;
    readonly state: 'due' | 'folded';
    /** No process takes it up before this. */
    readonly notBefore?: Date;
    readonly askedAt?: Date;
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
      nonce: delivery.nonce,
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
      'deliveries.community_id',
      'deliveries.kind',
      'deliveries.about',
      'deliveries.channel',
      'deliveries.due_at',
      'deliveries.nonce',
      'deliveries.attempts',
      'deliveries.first_claimed_at',
      'deliveries.asked_at',
    ])
    .execute();
  return rows.map((row) => ({
    community: row.community_id,
    kind: row.kind,
    about: row.about,
    channel: row.channel,
    dueAt: row.due_at,
    nonce: row.nonce,
    attempts: row.attempts,
    firstClaimedAt: row.first_claimed_at ?? now,
    askedAt: row.asked_at ?? undefined,
  }));
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

/** Records that the message is out; final. */
export async function markSent(
  db: Records,
  key: DeliveryKey,
  sent: { readonly at: Date; readonly message: string; readonly caution: string | undefined },
): Promise<void> {
  await update(db, key)
    .set({
      state: 'sent',
      sent_at: sent.at,
      message: sent.message,
      caution: sent.caution ?? null,
      claimed_by: null,
      claimed_until: null,
      last_error: null,
    })
    .execute();
}

/** Records that the channel is gone or shut; it is not tried again by itself. */
export async function markClosed(db: Records, key: DeliveryKey, why: string): Promise<void> {
  await update(db, key)
    .set({ state: 'closed', claimed_by: null, claimed_until: null, last_error: why })
    .execute();
}

/** Records that it came too late to be sent. */
export async function markFolded(db: Records, key: DeliveryKey): Promise<void> {
  await update(db, key).set({ state: 'folded', claimed_by: null, claimed_until: null }).execute();
}

/** Gives a claimed message back, to be tried again at `retryAt`. */
export async function postponeDelivery(
  db: Records,
  key: DeliveryKey,
  why: string,
  retryAt: Date,
): Promise<void> {
  await update(db, key).set({ claimed_by: null, claimed_until: retryAt, last_error: why }).execute();
}

/** A weekly post on record. */
export interface WeeklyRow {
  /** The ISO week it is about; a later one about the same week has a number after it. */
  readonly about: string;
  readonly state: 'due' | 'sent' | 'closed' | 'folded';
  readonly channel: string;
  readonly dueAt: Date;
  readonly sentAt: Date | undefined;
  readonly message: string | undefined;
}

/** The newest weekly posts on record, the newest first. */
export async function newestWeekly(
  db: Records,
  community: string,
  most: number,
): Promise<readonly WeeklyRow[]> {
  const rows = await db
    .selectFrom('deliveries')
    .select(['about', 'state', 'channel', 'due_at', 'sent_at', 'message'])
    .where('community_id', '=', community)
    .where('kind', '=', 'weekly')
    .orderBy('due_at', 'desc')
    .orderBy('about', 'desc')
    .limit(most)
    .execute();
  return rows.map(({ about, state, channel, due_at, sent_at, message }) => ({
    about,
    state,
    channel,
    dueAt: due_at,
    sentAt: sent_at ?? undefined,
    message: message ?? undefined,
  }));
}

/** Lets a post of this bot whose channel was closed go out after all, to this channel; false when it was not waiting for that. */
export async function reopenDelivery(
  db: Records,
  key: DeliveryKey,
  asked: { readonly at: Date; readonly channel: string; readonly application: string },
): Promise<boolean> {
  const { numUpdatedRows } = await db
    .updateTable('deliveries')
    .set({
      state: 'due',
      channel: asked.channel,
      application: asked.application,
      asked_at: asked.at,
      claimed_until: null,
      last_error: null,
      managers_told_at: null,
    })
    .where('community_id', '=', key.community)
    .where('kind', '=', key.kind)
    .where('about', '=', key.about)
    .where('state', '=', 'closed')
    .where((e) => isOwn(e.ref('application'), asked.application))
    .executeTakeFirst();
  return numUpdatedRows > 0n;
}

/**
 * Posts of this bot that met a closed channel and whose managers have not been told, each marked as told at once, so
 * that no other process tells them too. Where they were told already and nothing has gone out since, they are not told again; having
 * sought them without reaching anybody is not telling.
 */
export async function claimUntoldClosed(
  db: Records,
  application: string,
  now: Date,
): Promise<readonly (DeliveryKey & { readonly channel: string; readonly why: string })[]> {
  const rows = await db
    .updateTable('deliveries as closed')
    .set({ managers_told_at: now })
    .where('closed.state', '=', 'closed')
    .where('closed.managers_told_at', 'is', null)
    .where((e) => isOwn(e.ref('closed.application'), application))
    .where(({ not, exists, selectFrom }) =>
      not(
        exists(
          selectFrom('deliveries as told')
            .select('told.about')
            .whereRef('told.community_id', '=', 'closed.community_id')
            .whereRef('told.kind', '=', 'closed.kind')
            .where('told.managers_told_at', 'is not', null)
            .where('told.state', '=', 'closed')
            .where(({ not: no, exists: is, selectFrom: from }) =>
              no(
                is(
                  from('communities as sought')
                    .select('sought.community_id')
                    .whereRef('sought.community_id', '=', 'told.community_id')
                    .whereRef('sought.managers_unreached_at', '>=', 'told.managers_told_at'),
                ),
              ),
            )
            .where(({ not: no, exists: is, selectFrom: from }) =>
              no(
                is(
                  from('deliveries as sent')
                    .select('sent.about')
                    .whereRef('sent.community_id', '=', 'told.community_id')
                    .whereRef('sent.kind', '=', 'told.kind')
                    .where('sent.state', '=', 'sent')
                    .whereRef('sent.sent_at', '>', 'told.managers_told_at'),
                ),
              ),
            ),
        ),
      ),
    )
    .returning(['closed.community_id', 'closed.kind', 'closed.about', 'closed.channel', 'closed.last_error'])
    .execute();
  return rows.map(({ community_id, kind, about, channel, last_error }) => ({
    community: community_id,
    kind,
    about,
    channel,
    why: last_error ?? 'the channel is closed to the bot',
  }));
}

/** Takes back what `claimUntoldClosed` marked, to be tried again. */
export async function untellClosed(db: Records, key: DeliveryKey): Promise<void> {
  await db
    .updateTable('deliveries')
    .set({ managers_told_at: null })
    .where('community_id', '=', key.community)
    .where('kind', '=', key.kind)
    .where('about', '=', key.about)
    .execute();
}

function update(db: Records, key: DeliveryKey) {
  return db
    .updateTable('deliveries')
    .where('community_id', '=', key.community)
    .where('kind', '=', key.kind)
    .where('about', '=', key.about)
    .where('state', '=', 'due');
}

/** Cautions that went out with a weekly post since `since`, newest first. */
export async function cautionsShownSince(
  db: Records,
  community: string,
  since: Date,
): Promise<readonly { readonly id: string; readonly shownAt: Date }[]> {
  const rows = await db
    .selectFrom('deliveries')
    .select(['caution', 'sent_at'])
    .where('community_id', '=', community)
    .where('kind', '=', 'weekly')
    .where('state', '=', 'sent')
    .where('sent_at', '>=', since)
    .where('caution', 'is not', null)
    .orderBy('sent_at', 'desc')
    .execute();
  return rows.flatMap(({ caution, sent_at }) =>
    caution && sent_at ? [{ id: caution, shownAt: sent_at }] : [],
  );
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
  return last?.due_at ?? new Date(dueAt.getTime() - 7 * 86_400_000);
}
