import { type Selectable, sql } from 'kysely';
import type { MeasureSystem } from '../words/amounts.js';
import type { Records } from './database.js';
import { isOwn } from './own-rows.js';
import type { CommunitiesTable } from './schema.js';

export interface WeeklySettings {
  readonly channel: string;
  /** ISO 8601: Monday is 1. */
  readonly day: number;
  readonly hour: number;
  /** IANA time zone. */
  readonly zone: string;
  /** Whether a week without a batch goes by without a post. */
  readonly skipsQuiet: boolean;
  /** Units of the post; both where none is said. */
  readonly units: MeasureSystem | undefined;
}

export interface CommunitySettings {
  readonly weekly: WeeklySettings | undefined;
  /** The bot that sends the weekly post; undefined without one, and where it was set before bots were told apart. */
  readonly weeklyApplication: string | undefined;
  /** When managers were last sought without anybody being reached; undefined once somebody was. */
  readonly managersUnreachedAt: Date | undefined;
  /** Whether batches that look like mistakes count in the figures. */
  readonly countsOddBatches: boolean;
}

/** Makes sure that the community is known; its settings are left as they are. */
export async function rememberCommunity(db: Records, community: string, now: Date): Promise<void> {
  await db
    .insertInto('communities')
    .values({ community_id: community, created_at: now })
    .onConflict((c) => c.column('community_id').doNothing())
    .execute();
}

/** A community's settings; those that nobody made are as they are at first. */
export async function communitySettings(db: Records, community: string): Promise<CommunitySettings> {
  const row = await db
    .selectFrom('communities')
    .select([...WEEKLY_COLUMNS, 'weekly_application', 'managers_unreached_at', 'counts_odd_batches'])
    .where('community_id', '=', community)
    .executeTakeFirst();
  return {
    weekly: row && weeklyOf(row),
    weeklyApplication: row?.weekly_application ?? undefined,
    managersUnreachedAt: row?.managers_unreached_at ?? undefined,
    countsOddBatches: row?.counts_odd_batches ?? true,
  };
}

export async function setCountsOddBatches(
  db: Records,
  community: string,
  counts: boolean,
  now: Date,
): Promise<void> {
  const changed = { counts_odd_batches: counts, revision: sql<number>`nextval('revisions')` };
  await db
    .insertInto('communities')
    .values({ community_id: community, created_at: now, counts_odd_batches: counts })
    .onConflict((c) => c.column('community_id').doUpdateSet(changed))
    .execute();
}

/** Records that nobody could be reached at that moment, and so nobody was told of a closed channel, or that somebody was. */
export async function noteManagersUnreached(
  db: Records,
  community: string,
  at: Date | undefined,
): Promise<void> {
  await db
    .updateTable('communities')
    .set({ managers_unreached_at: at ?? null, ...(at && { closed_told_at: null }) })
    .where('community_id', '=', community)
    .execute();
}

/** The zone that a community's days are counted in: that of its weekly post, UTC without one. */
export async function communityZone(db: Records, community: string): Promise<string> {
  const { weekly } = await communitySettings(db, community);
  return weekly?.zone ?? 'UTC';
}

/** Sets when and where the weekly post goes out, by which bot, and the first appointment. */
export async function saveWeekly(
  db: Records,
  community: string,
  weekly: WeeklySettings,
  application: string,
  next: Date,
  now: Date,
): Promise<void> {
  const columns = {
    weekly_channel: weekly.channel,
    weekly_day: weekly.day,
    weekly_hour: weekly.hour,
    weekly_zone: weekly.zone,
    weekly_next: next,
    weekly_skips_quiet: weekly.skipsQuiet,
    weekly_units: weekly.units ?? null,
    weekly_application: application,
  };
  await db
    .insertInto('communities')
    .values({ community_id: community, created_at: now, ...columns })
    .onConflict((c) => c.column('community_id').doUpdateSet(columns))
    .execute();
}

/** Ends the weekly post; what was sent stays on record. */
export async function stopWeekly(db: Records, community: string): Promise<void> {
  await db
    .updateTable('communities')
    .set({
      weekly_channel: null,
      weekly_day: null,
      weekly_hour: null,
      weekly_zone: null,
      weekly_next: null,
      weekly_application: null,
    })
    .where('community_id', '=', community)
    .execute();
}

export interface WeeklyAppointment {
  readonly community: string;
  readonly weekly: WeeklySettings;
  readonly next: Date;
}

/** Communities of this bot whose next weekly post has come due and has no delivery yet, locked until the transaction ends. */
export const dueAppointments = (
  tx: Records,
  application: string,
  now: Date,
  most: number,
): Promise<readonly WeeklyAppointment[]> =>
  lockedAppointments(tx, application, (q) =>
    q.where('weekly_next', '<=', now).orderBy('weekly_next').limit(most),
  );

/** Communities of this bot whose next weekly post is later than a moment, the latest first, locked until the transaction ends. */
export const appointmentsAfter = (
  tx: Records,
  application: string,
  moment: Date,
  most: number,
): Promise<readonly WeeklyAppointment[]> =>
  lockedAppointments(tx, application, (q) =>
    q.where('weekly_next', '>', moment).orderBy('weekly_next', 'desc').limit(most),
  );

const appointments = (tx: Records, application: string) =>
  tx
    .selectFrom('communities')
    .select(['community_id', ...WEEKLY_COLUMNS, 'weekly_next'])
    .where((e) => isOwn(e.ref('weekly_application'), application))
    .forUpdate()
    .skipLocked();
type Appointments = ReturnType<typeof appointments>;

async function lockedAppointments(
  tx: Records,
  application: string,
  which: (query: Appointments) => Appointments,
): Promise<readonly WeeklyAppointment[]> {
  const rows = await which(appointments(tx, application)).execute();
  return rows.flatMap((row) => {
    const weekly = weeklyOf(row);
    return weekly && row.weekly_next ? [{ community: row.community_id, weekly, next: row.weekly_next }] : [];
  });
}

/** Moves a community's next weekly appointment. */
export async function moveAppointment(tx: Records, community: string, next: Date): Promise<void> {
  await tx
    .updateTable('communities')
    .set({ weekly_next: next })
    .where('community_id', '=', community)
    .execute();
}

const WEEKLY_COLUMNS = [
  'weekly_channel',
  'weekly_day',
  'weekly_hour',
  'weekly_zone',
  'weekly_skips_quiet',
  'weekly_units',
] as const;

type WeeklyColumns = Pick<Selectable<CommunitiesTable>, (typeof WEEKLY_COLUMNS)[number]>;

function weeklyOf(row: WeeklyColumns): WeeklySettings | undefined {
  const { weekly_channel: channel, weekly_day: day, weekly_hour: hour, weekly_zone: zone } = row;
  if (channel === null || day === null || hour === null || zone === null) return undefined;
  const { weekly_skips_quiet: skipsQuiet, weekly_units: units } = row;
  return { channel, day, hour, zone, skipsQuiet, units: units ?? undefined };
}

/** Removes a community with everything it holds. */
export async function eraseCommunity(db: Records, community: string): Promise<void> {
  await db.deleteFrom('communities').where('community_id', '=', community).execute();
}
