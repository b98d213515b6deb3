import type { Records } from '../../../src/records/database.js';
import { deedOfFat, deedOfWords } from './cooks.js';

/** What the database holds. */
export interface Stored {
  readonly rows: readonly Row[];
  /** Numbers of batches, in order, and the last that the community gave out. */
  readonly numbers: readonly number[];
  readonly lastNumber: number;
  /** Corrections without the batch as corrected, and vessels without the altitude that was said with them. */
  readonly halves: number;
}

/** Something that was saved. */
export interface Row {
  readonly deed: number;
  /** The request that saved it, where that is kept. */
  readonly request?: string;
  /** The number of a batch that was logged. */
  readonly batch?: number;
}

export async function readStored(db: Records, community: string): Promise<Stored> {
  const batches = await db
    .selectFrom('batches')
    .select(['number', 'fat_g', 'note', 'logged_by_interaction'])
    .where('community_id', '=', community)
    .orderBy('number')
    .execute();
  const changes = await db
    .selectFrom('batch_changes')
    .select(['number', 'after', 'interaction'])
    .where('community_id', '=', community)
    .orderBy('change')
    .execute();
  const vessels = await db
    .selectFrom('vessels')
    .leftJoin('kitchens', (on) =>
      on
        .onRef('kitchens.community_id', '=', 'vessels.community_id')
        .onRef('kitchens.member_id', '=', 'vessels.member_id'),
    )
    .select(['vessels.member_id', 'name', 'altitude_m'])
    .where('vessels.community_id', '=', community)
    .execute();
  const given = await db
    .selectFrom('communities')
    .select('last_batch')
    .where('community_id', '=', community)
    .executeTakeFirst();
  const notes = new Map(changes.map(({ number, after }) => [number, after.note]));
  const latest = new Map<string, number>();
  for (const { member_id, name } of vessels)
    latest.set(member_id, Math.max(latest.get(member_id) ?? 0, deedOfWords(name)));
  return {
    rows: [
      ...batches.map(({ number, fat_g, logged_by_interaction }) => ({
        deed: deedOfFat(fat_g),
        request: logged_by_interaction,
        batch: number,
      })),
      ...changes.map(({ after, interaction }) => ({ deed: deedOfWords(after.note), request: interaction })),
      ...vessels.map(({ name }) => ({ deed: deedOfWords(name) })),
    ],
    numbers: batches.map(({ number }) => number),
    lastNumber: given?.last_batch ?? 0,
    halves:
      batches.filter(({ number, note }) => note !== (notes.get(number) ?? null)).length +
      vessels.filter(
        ({ member_id, name, altitude_m }) =>
          deedOfWords(name) === latest.get(member_id) && altitude_m !== deedOfWords(name),
      ).length,
  };
}
