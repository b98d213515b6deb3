import { isDeepStrictEqual } from 'node:util';
import type { Records } from '../records/database.js';
import { rememberMember } from '../records/members.js';
import { columnsOf, storedFacts } from './facts.js';
import type { BatchFacts } from './fields.js';
import { type Batch, findBatch } from './find.js';

/** Who enters something, and by which request: the same request enters it once. */
export interface Entry {
  readonly community: string;
  readonly member: { readonly id: string; readonly name: string };
  readonly interaction: string;
  readonly now: Date;
}

export type Logged =
  /** The batch is missing where a repeated entry finds it removed since. */
  | {
      readonly kind: 'logged';
      readonly number: number;
      readonly batch: Batch | undefined;
      readonly isRepeated: boolean;
    }
  /** It looks like this one. Nothing was stored. */
  | { readonly kind: 'twin'; readonly twin: Twin };

/**
 * Stores a finished batch under the community's next number, unless it looks like another from a moment ago and nobody
 * has said that it `isAnother`.
 */
export async function logBatch(
  db: Records,
  entry: Entry,
  facts: BatchFacts,
  isAnother: boolean,
): Promise<Logged> {
  const { community, member, interaction, now } = entry;
  return db.transaction().execute(async (tx) => {
    await rememberMember(tx, community, member, now);
    // This lock makes numbers consecutive and decides who of two entries that are the same, or look it, comes first.
    const { last_batch } = await tx
      .selectFrom('communities')
      .select('last_batch')
      .where('community_id', '=', community)
      .forNoKeyUpdate()
      .executeTakeFirstOrThrow();
    const known = await tx
      .selectFrom('batches')
      .select('number')
      .where('community_id', '=', community)
      .where('logged_by_interaction', '=', interaction)
      .executeTakeFirst();
    if (known) {
      const batch = await findBatch(tx, community, known.number);
      return { kind: 'logged', number: known.number, batch, isRepeated: true };
    }
    const twin = isAnother ? undefined : await findTwin(tx, entry, facts);
    if (twin) return { kind: 'twin', twin };
    const number = last_batch + 1;
    await tx
      .updateTable('communities')
      .set({ last_batch: number })
      .where('community_id', '=', community)
      .execute();
    await tx
      .insertInto('batches')
      .values({
        community_id: community,
        number,
        member_id: member.id,
        ...columnsOf(facts),
        state: 'done',
        logged_at: now,
        logged_by_interaction: interaction,
      })
      .execute();
    const batch = { ...facts, number, memberId: member.id, memberName: member.name, changes: 0 };
    return { kind: 'logged', number, batch, isRepeated: false };
  });
}

/** A batch that looks like one that is being logged. */
export interface Twin {
  readonly number: number;
  readonly loggedAt: Date;
}

/** Who sends a batch again after a hitch does so soon; two alike that were cooked are weighed further apart. */
const WITHIN_MS = 3_600_000;
/** Kitchen scales show whole grams. */
const SAME_G = 0.5;

/**
 * The newest batch of the same member by the same method and cut, with the same weights and finished within an hour of
 * the same moment, that was logged within the hour before now; undefined when there is none.
 */
export async function findTwin(
  db: Records,
  { community, member, now }: Entry,
  { method, cut, fatG, tallowG, finishedAt }: BatchFacts,
): Promise<Twin | undefined> {
  const later = (at: Date, ms: number) => new Date(at.getTime() + ms);
  const row = await db
    .selectFrom('batches')
    .select(['number', 'logged_at'])
    .where('community_id', '=', community)
    .where('member_id', '=', member.id)
    .where('method', '=', method)
    .where('cut', '=', cut)
    .where('fat_g', '>', fatG - SAME_G)
    .where('fat_g', '<', fatG + SAME_G)
    .where('tallow_g', '>', tallowG - SAME_G)
    .where('tallow_g', '<', tallowG + SAME_G)
    .where('finished_at', '>=', later(finishedAt, -WITHIN_MS))
    .where('finished_at', '<=', later(finishedAt, WITHIN_MS))
    .where('logged_at', '>', later(now, -WITHIN_MS))
    .where('removed_at', 'is', null)
    .orderBy('number', 'desc')
    .limit(1)
    .executeTakeFirst();
  return row && { number: row.number, loggedAt: row.logged_at };
}

/** What a batch said before and after a change. */
export interface Change {
  readonly before: BatchFacts;
  readonly after: BatchFacts;
}

export interface Changed {
  /** As it stands. */
  readonly batch: Batch;
  /** Undefined where the batch said all that already. */
  readonly change: Change | undefined;
  readonly isRepeated: boolean;
}

/**
 * Puts other facts in place of those of a batch that was corrected `since` times, or hides it from every list and figure;
 * what was there before is kept. Nothing is stored where it was corrected more often meanwhile. Undefined when there is no
 * such batch.
 */
export async function changeBatch(
  db: Records,
  { community, member, interaction, now }: Entry,
  number: number,
  to: { readonly facts: BatchFacts; readonly since: number } | 'removed',
): Promise<Changed | 'changed meanwhile' | undefined> {
  return db.transaction().execute(async (tx) => {
    await tx
      .selectFrom('batches')
      .select('number')
      .where('community_id', '=', community)
      .where('number', '=', number)
      .forUpdate()
      .execute();
    const batch = await findBatch(tx, community, number);
    if (!batch) return undefined;
    const repeated = await tx
      .selectFrom('batch_changes')
      .select(['before', 'after'])
      .where('community_id', '=', community)
      .where('interaction', '=', interaction)
      .executeTakeFirst();
    if (repeated) return { batch, change: changeOf(repeated), isRepeated: true };
    const isRemoved = to === 'removed';
    if (!isRemoved && to.since !== batch.changes) return 'changed meanwhile';
    const facts = isRemoved ? batch : to.facts;
    const [before, after] = [columnsOf(batch), columnsOf(facts)];
    if (!isRemoved && isDeepStrictEqual(before, after))
      return { batch, change: undefined, isRepeated: false };
    await tx
      .updateTable('batches')
      .set(isRemoved ? { removed_at: now } : after)
      .where('community_id', '=', community)
      .where('number', '=', number)
      .execute();
    await tx
      .insertInto('batch_changes')
      .values({
        community_id: community,
        number,
        change: batch.changes + 1,
        changed_by: member.id,
        changed_at: now,
        interaction,
        before: JSON.stringify(before),
        after: JSON.stringify(isRemoved ? { ...after, removed: true } : after),
      })
      .execute();
    const changed = { ...batch, ...facts, changes: batch.changes + 1 };
    return { batch: changed, change: { before: batch, after: facts }, isRepeated: false };
  });
}

const changeOf = ({ before, after }: { readonly before: unknown; readonly after: unknown }): Change => ({
  before: storedFacts.parse(before),
  after: storedFacts.parse(after),
});

/** What was changed in a batch, oldest first. */
export async function batchHistory(
  db: Records,
  community: string,
  number: number,
): Promise<readonly Change[]> {
  const rows = await db
    .selectFrom('batch_changes')
    .select(['before', 'after'])
    .where('community_id', '=', community)
    .where('number', '=', number)
    .orderBy('change')
    .execute();
  return rows.map(changeOf);
}
