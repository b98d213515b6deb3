import type { Records } from '../../src/records/database.js';
import { rememberMember } from '../../src/records/members.js';
import type { Method } from '../../src/words/methods.js';

/** A finished batch to put into the records as it is, past the checks of the command that logs one. */
export interface StoredBatch {
  readonly member: string;
  readonly method?: string;
  readonly cut?: string;
  readonly fatG: number;
  readonly tallowG: number;
  readonly minutes?: number | undefined;
  readonly at?: string;
}

/** The methods of the reference sets, by their names there. */
export const STORED_METHODS: Readonly<Record<string, Method>> = {
  'open pot wet': 'open-pot',
  'pressure cooker wet': 'pressure',
  'slow cooker dry-ish': 'slow-cooker',
  'stovetop dry': 'stovetop-dry',
  'smoker dry': 'smoker',
  'oven dry': 'oven',
};

const LOGGED = '2026-11-20T12:00:00Z';

/** Stores batches in order, numbered from 1 or on from `first`; their members become known by their names. */
export async function storeBatches(
  db: Records,
  community: string,
  batches: readonly StoredBatch[],
  first = 1,
): Promise<void> {
  for (const member of new Set(batches.map((batch) => batch.member)))
    await rememberMember(db, community, { id: member, name: member }, new Date(LOGGED));
  if (batches.length === 0) return;
  await db
    .insertInto('batches')
    .values(
      batches.map(({ member, method = 'open-pot', cut = 'ground', fatG, tallowG, minutes, at }, index) => ({
        community_id: community,
        number: first + index,
        member_id: member,
        method: STORED_METHODS[method] ?? method,
        cut,
        fat_g: fatG,
        tallow_g: tallowG,
        water_ml: null,
        water_left_ml: null,
        minutes: minutes ?? null,
        weighed_as: null,
        note: null,
        state: 'done' as const,
        finished_at: new Date(at ?? LOGGED),
        logged_at: new Date(LOGGED),
        logged_by_interaction: `stored-${first + index}`,
      })),
    )
    .execute();
  await db
    .updateTable('communities')
    .set({ last_batch: first + batches.length - 1 })
    .where('community_id', '=', community)
    .execute();
}
