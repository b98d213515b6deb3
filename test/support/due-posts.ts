import { saveWeekly } from '../../src/records/communities.js';
import type { Records } from '../../src/records/database.js';
import { appointmentAt, nextAppointment } from '../../src/weekly/appointments.js';

const WEEK_MS = 7 * 86_400_000;

/** Gives every community a weekly post that came due at the last full hour; answers the week that they are about. */
export async function makePostsDue(
  db: Records,
  application: string,
  places: readonly { readonly community: string; readonly channel: string }[],
): Promise<string> {
  const now = new Date();
  const time = { day: ((now.getUTCDay() + 6) % 7) + 1, hour: now.getUTCHours(), zone: 'UTC' };
  const due = nextAppointment(time, new Date(now.getTime() - WEEK_MS)).at;
  for (const { community, channel } of places) {
    const weekly = { ...time, channel, skipsQuiet: false, units: undefined };
    await saveWeekly(db, community, weekly, application, due, now);
  }
  return appointmentAt(time, due).week;
}

/** As when the time is over for which a process that died had claimed posts, or for which they were put off. */
export async function giveUpClaims(db: Records, pid?: number): Promise<void> {
  await db
    .updateTable('deliveries')
    .set({ claimed_by: null, claimed_until: null })
    .where('state', '=', 'due')
    .$if(pid !== undefined, (q) => q.where('claimed_by', 'like', `${pid}-%`))
    .execute();
}
