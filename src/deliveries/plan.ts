import { createHash } from 'node:crypto';
import { dueAppointments, moveAppointment } from '../records/communities.js';
import type { Records } from '../records/database.js';
import { type DeliveryKey, planDelivery } from '../records/deliveries.js';
import { appointmentsUntil } from './appointments.js';
import { spreadWaitMs } from './spreading.js';

const PLANNED_AT_ONCE = 200;

/** Writes down every weekly post of this bot that has come due by `now`; answers how many were new. */
export async function planWeeklyPosts(db: Records, application: string, now: Date): Promise<number> {
  let planned = 0;
  for (;;) {
    const due = await db.transaction().execute(async (tx) => {
      const appointments = await dueAppointments(tx, application, now, PLANNED_AT_ONCE);
      for (const { community, weekly, next } of appointments) {
        const { past, next: following } = appointmentsUntil(weekly, next, now);
        for (const { at, week, state } of past) {
          const key: DeliveryKey = { community, kind: 'weekly', about: week };
          const waitMs = spreadWaitMs(planned);
          const isNew = await planDelivery(tx, {
            ...key,
            ...(waitMs > 0 ? { notBefore: new Date(now.getTime() + waitMs) } : {}),
            application,
            channel: weekly.channel,
            dueAt: at,
            nonce: nonceOf(key),
            state,
          });
          if (isNew) planned++;
        }
        await moveAppointment(tx, community, following);
      }
      return appointments.length;
    });
    if (due < PLANNED_AT_ONCE) return planned;
  }
}

/** The same message always has the same nonce: 22 characters, of the 25 that Discord allows (Create Message, `nonce`). */
export function nonceOf(key: DeliveryKey): string {
  const name = [key.community, key.kind, key.about].join('\n');
  return createHash('sha256').update(name).digest('base64url').slice(0, 22);
}
