/** How often cooks find a taste word in what a method gave them. */
import normalQuantile from '@stdlib/stats-base-dists-normal-quantile';
import { tQuantile } from '../algebra/distributions.js';
import type { MemberSums } from '../model/member-sums.js';
import { pooledYield } from '../questions/pooled-yield.js';
import type { Ranged } from './discrimination.js';
import { wilsonInterval } from './wilson.js';

/** One cook's batches that were tasted. */
interface CookWords {
  readonly batches: number;
  /** Those of them that were given the word. */
  readonly withWord: number;
}

interface WordShare extends Ranged {
  readonly batches: number;
  readonly withWord: number;
  readonly cooks: number;
  /** So many batches of as many cooks would say as much. */
  readonly effectiveBatches: number;
}

/**
 * Share of batches that were given a word, with Wilson's interval for the number of batches that they are worth: a cook
 * who finds the word once finds it again. The effective number is that of Korn and Graubard,
 *   n* = p(1 − p)/SE² · (z/t)²,
 * with the standard error and its degrees of freedom clustered by cook (CR2). It is held between what all batches would
 * be worth if every cook always said the same (Kish) and their number; the former stands where SE cannot be had.
 * Undefined without batches.
 * Sources: Korn, Graubard (1998), Survey Methodology 24, 193–201; Dean, Pagano (2015), J. Survey Statistics and
 * Methodology 3, 484–503; Kish (1965), Survey Sampling.
 * @throws RangeError unless 0 < level < 1 and every cook has batches, as many with the word at most.
 */
export function wordShare(cooks: Iterable<CookWords>, level = 0.95): WordShare | undefined {
  const sums = Array.from(cooks, asMemberSums);
  const pooled = pooledYield(sums, level);
  if (pooled.kind === 'no-batches') return undefined;
  const { estimate, interval, batches, effectiveMembers: fewest } = pooled;
  const worth =
    interval.kind === 'none'
      ? fewest
      : ((estimate * (1 - estimate)) / interval.standardError ** 2) *
        (normalQuantile((1 + level) / 2, 0, 1) / tQuantile((1 + level) / 2, interval.df)) ** 2;
  const effectiveBatches = Math.min(Math.max(worth, fewest), batches);
  return {
    estimate,
    ...wilsonInterval(estimate * effectiveBatches, effectiveBatches, level),
    batches,
    withWord: pooled.tallowG,
    cooks: pooled.members,
    effectiveBatches,
  };
}

/** A batch with the word as a gram of tallow from a gram of fat, one without as none: the pooled yield is the share. */
function asMemberSums({ batches, withWord }: CookWords): MemberSums {
  if (!(Number.isInteger(batches) && Number.isInteger(withWord) && withWord >= 0 && withWord <= batches))
    throw new RangeError(`withWord must be 0 to batches, both whole: ${withWord} of ${batches}`);
  return { batches, fatG: batches, fatG2: batches, tallowG: withWord, yieldSum: withWord };
}
