import type { Records } from './database.js';

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
}

/**
 * Writes down that a message must be sent. Belongs into the transaction of whatever causes it.
 * False when it was written down before. `folded` records a message that will not be sent because it came too late.
 */
export async function planDelivery(
  tx: Records,
  delivery: DeliveryKey & {
    readonly channel: string;
    readonly dueAt: Date;
    readonly nonce: string;
    readonly state: 'due' | 'folded';
  },
): Promise<boolean> {
  const inserted = await tx
    .insertInto('deliveries')
    .values({
      community_id: delivery.community,
      kind: delivery.kind,
      about: delivery.about,
      channel: delivery.channel,
      due_at: delivery.dueAt,
      nonce: delivery.nonce,
      state: delivery.state,
    })
    .onConflict((c) => c.columns(['community_id', 'kind', 'about']).doNothing())
    .returning('about')
    .executeTakeFirst();
  return inserted !== undefined;
}

/**
 * Takes up to `most` messages that are due, for `leaseMs` milliseconds: until then no other process is given them.
 * A process that dies leaves them to the next one once the lease has run out.
 */
export async function claimDeliveries(
  db: Records,
  claim: { readonly by: string; readonly now: Date; readonly leaseMs: number; readonly most: number },
): Promise<readonly Delivery[]> {
  const { now } = claim;
  const rows = await db
    .with('claimable', (q) =>
      q
        .selectFrom('deliveries')
        .select(['community_id', 'kind', 'about'])
        .where('state', '=', 'due')
        .where('due_at', '<=', now)
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
  }));
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
