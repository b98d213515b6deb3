import type { Content } from '../deliveries/content.js';
import { appointmentsAfter, dueAppointments, moveAppointment } from '../records/communities.js';
import type { Records } from '../records/database.js';
import { planDelivery } from '../records/deliveries.js';
import { DAY_MS } from '../words/moments.js';
import { appointmentsUntil, nextAppointment } from './appointments.js';

const TAKEN_AT_ONCE = 200;

/** What is done for the weekly posts before any is sent. */
export const planWeekly: Content['plan'] = async (db, application, now) => {
  await bringBackAppointments(db, application, now);
  await planWeeklyPosts(db, application, now);
};

/** Writes down every weekly post of this bot that has come due by `now`; answers how many were new. */
export async function planWeeklyPosts(db: Records, application: string, now: Date): Promise<number> {
  let planned = 0;
  for (;;) {
    const due = await db.transaction().execute(async (tx) => {
      const appointments = await dueAppointments(tx, application, now, TAKEN_AT_ONCE);
      for (const { community, weekly, next } of appointments) {
        const { past, next: following } = appointmentsUntil(weekly, next, now);
        for (const { at, week, state } of past) {
          const waitMs = spreadWaitMs(planned);
          const isNew = await planDelivery(tx, {
            community,
            kind: 'weekly',
            about: week,
            application,
            channel: weekly.channel,
            dueAt: at,
            state,
            notBefore: waitMs > 0 ? new Date(now.getTime() + waitMs) : undefined,
          });
          if (isNew) planned++;
        }
        await moveAppointment(tx, community, following);
      }
      return appointments.length;
    });
    if (due < TAKEN_AT_ONCE) return planned;
  }
}

/** Ten thousand posts of the same hour go out over fifteen minutes. */
export const LONGEST_SPREAD_MS = 15 * 60_000;
const SPACING_MS = LONGEST_SPREAD_MS / 10_000;
/** The scheduler looks once a minute. */
const MINUTE_MS = 60_000;

/**
 * How long the post waits that comes after `others` of the same hour: whole minutes, from 0 to below fifteen. The first
 * do not wait; beyond ten thousand the minutes are gone through again.
 */
export function spreadWaitMs(others: number): number {
  const minutes = LONGEST_SPREAD_MS / MINUTE_MS;
  return MINUTE_MS * (Math.floor((others * SPACING_MS) / MINUTE_MS) % minutes);
}

/** No appointment is further ahead than a week, and an hour where clocks go back. */
const FURTHEST_MS = 7 * DAY_MS + 3_600_000;

/** Brings back appointments that a clock which was ahead has moved too far, so that posts go on once it was put right. */
async function bringBackAppointments(db: Records, application: string, now: Date): Promise<void> {
  await db.transaction().execute(async (tx) => {
    const furthest = new Date(now.getTime() + FURTHEST_MS);
    for (const { community, weekly, next } of await appointmentsAfter(
      tx,
      application,
      furthest,
      TAKEN_AT_ONCE,
    )) {
      const { at } = nextAppointment(weekly, now);
      if (at < next) await moveAppointment(tx, community, at);
    }
  });
}
