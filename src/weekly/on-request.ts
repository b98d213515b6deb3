import type { Call } from '../chat/call.js';
import { communitySettings } from '../records/communities.js';
import type { Records } from '../records/database.js';
import {
  type DeliveryKey,
  newestWeekly,
  planDelivery,
  reopenDelivery,
  type WeeklyRow,
} from '../records/deliveries.js';
import { DAY_MS } from '../words/moments.js';
import { appointmentAt } from './appointments.js';

export type Requested =
  | { readonly kind: 'not-set' }
  /** Goes out within a minute or so: the scheduler sends it like any other. */
  | { readonly kind: 'on-its-way'; readonly kept: boolean }
  | { readonly kind: 'already-sent'; readonly post: WeeklyRow };

/** A closed post older than this is not sent any more: its news is in a later one. */
const KEPT_MS = 35 * DAY_MS;
const LOOKED_AT = 20;

/**
 * Has the weekly post sent now by the bot that was asked: one that it kept because its channel was closed, or else this
 * week's. One that went out already goes out a second time only when `again` says so, and tells of the same days.
 */
export async function requestWeekly(
  db: Records,
  { community, application, now }: Pick<Call, 'community' | 'application' | 'now'>,
  again: boolean,
): Promise<Requested> {
  return db.transaction().execute(async (tx) => {
    const { weekly } = await communitySettings(tx, community);
    if (!weekly) return { kind: 'not-set' };
    const rows = await newestWeekly(tx, community, LOOKED_AT);
    const kept = rows.filter(
      ({ state, dueAt }) => state === 'closed' && now.getTime() - dueAt.getTime() < KEPT_MS,
    );
    const asked = { at: now, channel: weekly.channel, application };
    for (const { about } of kept)
      if (await reopenDelivery(tx, keyOf(community, about), asked)) return { kind: 'on-its-way', kept: true };
    const { week } = appointmentAt(weekly, now);
    const ofThisWeek = rows.filter(({ about }) => about === week || about.startsWith(`${week}/`));
    if (ofThisWeek.some(({ state }) => state === 'due')) return { kind: 'on-its-way', kept: false };
    const sent = ofThisWeek.find(({ state }) => state === 'sent');
    if (sent && !again) return { kind: 'already-sent', post: sent };
    const about = ofThisWeek.length === 0 ? week : `${week}/${ofThisWeek.length + 1}`;
    await planDelivery(tx, {
      ...keyOf(community, about),
      application,
      channel: weekly.channel,
      dueAt: sent?.dueAt ?? now,
      state: 'due',
      askedAt: now,
    });
    return { kind: 'on-its-way', kept: false };
  });
}

const keyOf = (community: string, about: string): DeliveryKey => ({ community, kind: 'weekly', about });
