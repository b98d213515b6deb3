import { sql } from 'kysely';
import { IMPOSSIBLE_YIELD } from '../cooking/blends/tallow.js';
import { observationOf } from '../statistics/model/batch-design.js';
import { type Oddity, oddBatches } from '../statistics/questions/odd-batches.js';
import type { Records } from './database.js';
import { MODEL_DESIGN } from './model-sums.js';
import { countedBatches } from './pooled-sums.js';

/** A batch that is probably a typing error or a wet disc. */
export interface NumberedOddity {
  readonly number: number;
  readonly memberId: string;
  readonly method: string;
  readonly cut: string;
  readonly fatG: number;
  readonly tallowG: number;
  readonly finishedAt: Date;
  readonly oddity: Oddity;
}

export type OddBatches =
  | { readonly kind: 'judged'; readonly odd: readonly NumberedOddity[] }
  /** More batches than are judged one by one while somebody waits. */
  | { readonly kind: 'too-many' };

/** Judging is the one thing here that looks at single batches; beyond so many it would take too long. */
export const MOST_JUDGED = 20_000;

/** What a batch without a time is taken to have taken when no other by its method says. */
const USUAL_MINUTES = 240;

/**
 * The batches of a community that look like mistakes, among those that count. All methods are judged together, each
 * batch against its own cook; one that says no time as if it had taken as long as its method usually does.
 */
export async function findOddBatches(db: Records, community: string): Promise<OddBatches> {
  const rows = await countedBatches(db, community, {})
    .select(['number', 'member_id as memberId', 'method', 'cut', 'fat_g as fatG', 'minutes'])
    .select((e) => e.ref('tallow_g').$notNull().as('tallowG'))
    // A thousand numbers are read in less time than a thousand dates.
    .select(sql<number>`(extract(epoch from finished_at) * 1000)::double precision`.as('finishedMs'))
    .limit(MOST_JUDGED + 1)
    .execute();
  if (rows.length > MOST_JUDGED) return { kind: 'too-many' };
  const usual = usualMinutes(rows);
  const observations = rows.map((row) =>
    observationOf({
      ...row,
      member: row.memberId,
      minutes: row.minutes ?? usual.get(row.method) ?? USUAL_MINUTES,
    }),
  );
  const odd = oddBatches(MODEL_DESIGN, observations, IMPOSSIBLE_YIELD).flatMap(({ index, oddity }) => {
    const row = rows[index];
    return row ? [{ ...row, finishedAt: new Date(row.finishedMs), oddity }] : [];
  });
  return { kind: 'judged', odd: odd.sort((one, other) => one.number - other.number) };
}

function usualMinutes(
  batches: readonly { readonly method: string; readonly minutes: number | null }[],
): ReadonlyMap<string, number> {
  const sums = new Map<string, { minutes: number; batches: number }>();
  for (const { method, minutes } of batches) {
    if (minutes === null) continue;
    const sum = sums.get(method) ?? { minutes: 0, batches: 0 };
    sums.set(method, { minutes: sum.minutes + minutes, batches: sum.batches + 1 });
  }
  return new Map([...sums].map(([method, sum]) => [method, sum.minutes / sum.batches]));
}
