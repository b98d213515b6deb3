import { wholeNumberIn } from '../chat/action.js';
import type { Call } from '../chat/call.js';
import type { Choice, Given } from '../chat/option.js';
import { wholeNumber } from '../chat/options.js';
import { type Refusal, refusal } from '../chat/reply.js';
import type { Records } from '../records/database.js';
import { storedFacts } from './facts.js';
import type { BatchFacts } from './fields.js';
import { oneLineAbout } from './words.js';

/** A finished batch as it stands. */
export interface Batch extends BatchFacts {
  readonly number: number;
  readonly memberId: string;
  readonly memberName: string;
  /** How often it was corrected. */
  readonly changes: number;
}

/** A batch that was not removed, or undefined. */
export async function findBatch(db: Records, community: string, number: number): Promise<Batch | undefined> {
  const row = await selectBatches(db, community).where('batches.number', '=', number).executeTakeFirst();
  return row && batchOf(row);
}

/** Batches of one member, or of everyone, with these values in their columns. */
export interface BatchFilter {
  readonly member?: string | undefined;
  readonly columns?: Readonly<Record<string, unknown>>;
}

/** The newest batches first, and how many there are in all. */
export async function listBatches(
  db: Records,
  community: string,
  { member, columns = {} }: BatchFilter,
  most: number,
): Promise<{ readonly batches: readonly Batch[]; readonly total: number }> {
  const rows = await selectBatches(db, community)
    .select((e) => e.fn.countAll<number>().over().as('total'))
    .$if(member !== undefined, (q) => q.where('batches.member_id', '=', member ?? ''))
    .where((e) =>
      e.and(
        Object.entries(columns).map(([column, value]) => e(db.dynamic.ref(`batches.${column}`), '=', value)),
      ),
    )
    .orderBy('batches.finished_at', 'desc')
    .orderBy('batches.number', 'desc')
    .limit(most)
    .execute();
  return { batches: rows.map(batchOf), total: rows[0]?.total ?? 0 };
}

function selectBatches(db: Records, community: string) {
  return db
    .selectFrom('batches')
    .innerJoin('members', (join) =>
      join
        .onRef('members.community_id', '=', 'batches.community_id')
        .onRef('members.member_id', '=', 'batches.member_id'),
    )
    .selectAll('batches')
    .select('members.name as member_name')
    .select((e) =>
      e
        .selectFrom('batch_changes')
        .select((c) => c.fn.countAll<number>().as('changes'))
        .whereRef('batch_changes.community_id', '=', 'batches.community_id')
        .whereRef('batch_changes.number', '=', 'batches.number')
        .as('changes'),
    )
    .where('batches.community_id', '=', community)
    .where('batches.state', '=', 'done')
    .where('batches.removed_at', 'is', null);
}

type BatchRow = Awaited<ReturnType<ReturnType<typeof selectBatches>['execute']>>[number];

const batchOf = (row: BatchRow): Batch => ({
  ...storedFacts.parse(row),
  number: row.number,
  memberId: row.member_id,
  memberName: row.member_name,
  changes: row.changes ?? 0,
});

const MOST_BATCHES = 100_000_000;

/** The option that names one batch. */
export const batchNumber = () =>
  wholeNumber({
    description: 'Which batch',
    required: true,
    least: 1,
    most: MOST_BATCHES,
    example: '17',
    suggests: true,
  });

/** The same in the id of a button. */
export const batchNumberIn = wholeNumberIn(1, MOST_BATCHES);

export function noSuchBatch(number: number): Refusal {
  return refusal('No such batch', `There is no batch ${number} here. /batch list shows the newest.`);
}

/** A batch that the caller may change, or why not. */
export async function findOwn(db: Records, number: number, call: Call): Promise<Batch | Refusal> {
  const found = await findBatch(db, call.community, number);
  if (!found) return noSuchBatch(number);
  if (found.memberId === call.member.id || call.member.mayManage) return found;
  return refusal(
    'Not your batch',
    `Batch ${number} was logged by ${found.memberName}. They, or somebody who may manage the community, can change it.`,
  );
}

const NEWEST_SUGGESTED = 25;

/**
 * Suggests the newest batches whose numbers begin as typed, or whose cook’s name has a word that does: everyone’s, or
 * those that the caller may change.
 */
export const suggestNumbers =
  (db: Records, whose: 'everyone' | 'own') =>
  async (_option: string, typed: string, _given: Given, call: Call): Promise<readonly Choice[]> => {
    const { batches } = await listBatches(
      db,
      call.community,
      { member: whose === 'own' && !call.member.mayManage ? call.member.id : undefined },
      NEWEST_SUGGESTED * 4,
    );
    return batches
      .filter((one) => isMeant(one, typed.trim().replace(/^#/, '').toLowerCase()))
      .slice(0, NEWEST_SUGGESTED)
      .map((one) => ({ value: String(one.number), label: oneLineAbout(one) }));
  };

function isMeant({ number, memberName }: Batch, typed: string): boolean {
  const names = memberName.toLowerCase();
  return (
    String(number).startsWith(typed) ||
    names.startsWith(typed) ||
    names.split(/[^\p{L}\p{M}\p{N}]+/u).some((word) => word.startsWith(typed))
  );
}
