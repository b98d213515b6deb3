import type { Records } from '../records/database.js';
import { pooledSums } from '../records/pooled-sums.js';
import { pooledYield } from '../statistics/questions/pooled-yield.js';
import { countWords } from '../words/lists.js';
import { type Cut, cutLabel, type Method, methodLabel } from '../words/methods.js';
import { percentWords, pointsWords } from '../words/yield-words.js';

/** What the community's other batches of the same method and cut gave. */
export interface Standing {
  readonly batches: number;
  readonly members: number;
  readonly pooledYield: number | null;
}

/** The batch that stands. */
interface Batch {
  readonly number: number;
  readonly method: Method;
  readonly cut: Cut;
  readonly fatG: number;
  readonly tallowG: number;
}

export async function standingOf(db: Records, community: string, batch: Batch): Promise<Standing> {
  const { method, cut, number } = batch;
  const sums = await pooledSums(db, community, { method, cut, exceptNumbers: [number] });
  const pooled = pooledYield(sums);
  return pooled.kind === 'no-batches'
    ? { batches: 0, members: 0, pooledYield: null }
    : { batches: pooled.batches, members: pooled.members, pooledYield: pooled.estimate };
}

export function standingWords(batch: Batch, standing: Standing): string {
  const kind = `${methodLabel(batch.method)}, ${cutLabel(batch.cut).toLowerCase()}`;
  if (standing.pooledYield === null)
    return `${kind}: the first of its kind here, nothing to compare it with yet.`;
  const others = `${countWords(standing.batches, 'other batch', 'other batches')} from ${countWords(standing.members, 'member', 'members')}`;
  // Of the numbers as they are shown, so that a reader who subtracts them gets the same.
  const points = asPoints(batch.tallowG / batch.fatG) - asPoints(standing.pooledYield);
  return `${kind}: ${pointsWords(points / 100)} ${points === 0 ? 'as' : 'than'} the ${percentWords(standing.pooledYield)} of ${others}.`;
}

const asPoints = (fraction: number): number => Math.round(fraction * 100);
