import { communitySettings } from '../records/communities.js';
import type { Records } from '../records/database.js';
import { keptWhileUnchanged } from '../records/kept.js';
import { findOddBatches, type NumberedOddity } from '../records/odd-batches.js';
import type { PoolFilter } from '../records/pooled-sums.js';
import { countWords } from '../words/lists.js';

/** Which batches a figure rests on, and what a reply says of them. */
export interface Scope {
  readonly filter: PoolFilter;
  /** Where the batches come from, as a source is named. */
  readonly whose: string;
  /** Where comparisons are that a reply has no room for. */
  readonly rest: string;
  readonly odd: readonly NumberedOddity[];
  /** Whether the odd ones are in the figures. */
  readonly counted: boolean;
  /** What a reply says of odd ones; nothing when there is nothing to say. */
  readonly lines: readonly string[];
}

/** The batches that count here: those of the filter, without the odd ones where the community leaves them out. */
export async function scopeOf(db: Records, community: string, filter: PoolFilter = {}): Promise<Scope> {
  const { counted, found } = await oddBatchesOf(db, community);
  const own = { whose: 'This community’s batches', rest: 'the working' };
  if (found.kind === 'too-many') {
    const lines = counted ? [] : ['There are too many batches here to look for odd ones: all are counted.'];
    return { ...own, filter, odd: [], counted: true, lines };
  }
  const odd = found.odd.filter((batch) => isWithin(batch, filter));
  const exceptNumbers = counted ? undefined : odd.map(({ number }) => number);
  return { ...own, filter: { ...filter, exceptNumbers }, odd, counted, lines: oddLines(odd, counted) };
}

/** The odd batches of a community, and whether they count. */
export const oddBatchesOf = keptWhileUnchanged(async (db, community) => {
  const [{ countsOddBatches: counted }, found] = await Promise.all([
    communitySettings(db, community),
    findOddBatches(db, community),
  ]);
  return { counted, found };
});

function isWithin(batch: NumberedOddity, { method, cut, from, until }: PoolFilter): boolean {
  return (
    (method === undefined || batch.method === method) &&
    (cut === undefined || batch.cut === cut) &&
    (from === undefined || batch.finishedAt >= from) &&
    (until === undefined || batch.finishedAt < until)
  );
}

/** Numbers named in one line. */
const MOST_NAMED = 5;

function oddLines(odd: readonly NumberedOddity[], counted: boolean): readonly string[] {
  if (odd.length === 0) return [];
  const named = odd.slice(0, MOST_NAMED).map(({ number }) => `#${number}`);
  const more = odd.length > MOST_NAMED ? ` and ${odd.length - MOST_NAMED} more` : '';
  const count = countWords(odd.length, 'batch looks', 'batches look');
  const are = odd.length === 1 ? 'is' : 'are';
  return [
    `${count} odd (${named.join(', ')}${more}) and ${are} ${counted ? 'counted' : 'left out'}; /yield odd says why.`,
  ];
}

export const oddFigures = ({ odd, counted }: Scope) => ({
  oddBatches: odd.length,
  oddBatchesCounted: counted ? odd.length : 0,
});
