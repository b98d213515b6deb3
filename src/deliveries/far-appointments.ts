import { appointmentsAfter, moveAppointment } from '../records/communities.js';
import type { Records } from '../records/database.js';
import { nextAppointment } from './appointments.js';

/** No appointment is further ahead than a week, and an hour where clocks go back. */
const FURTHEST_MS = 7 * 86_400_000 + 3_600_000;
const MOVED_AT_ONCE = 200;

/**
 * Brings back appointments that a clock which was ahead has moved too far, so that weekly posts go on once it was put
 * right; answers how many.
 */
export async function bringBackAppointments(db: Records, application: string, now: Date): Promise<number> {
  return db.transaction().execute(async (tx) => {
    const far = await appointmentsAfter(
      tx,
      application,
      new Date(now.getTime() + FURTHEST_MS),
      MOVED_AT_ONCE,
    );
    let moved = 0;
    for (const { community, weekly, next } of far) {
      const { at } = nextAppointment(weekly, now);
      if (at.getTime() >= next.getTime()) continue;
      await moveAppointment(tx, community, at);
      moved++;
    }
    return moved;
  });
}
