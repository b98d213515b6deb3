/** Whether a taste word goes with one method rather than another: a claim that may be looked at every week. */

/** A batch by one of two methods, tasted by its cook. */
export interface TastedBatch {
  readonly cook: string;
  readonly method: 'first' | 'second';
  readonly hasWord: boolean;
}

export interface WordDifference {
  /** Batches of one cook by either method, held against each other. */
  readonly pairs: number;
  /** Pairs whose batch by the first method alone has the word. */
  readonly onlyFirst: number;
  readonly onlySecond: number;
  /** log of the e-value; it may fall again, but a claim once made stands. */
  readonly logEValue: number;
  /** Which method has the word more often in the pairs; undefined when neither does. */
  readonly favours: 'first' | 'second' | undefined;
}

/** From this e-value on a difference is claimed; the chance that it is ever reached without one is at most 1 in 20. */
export const CLAIM_E_VALUE = 20;

/**
 * McNemar's comparison of the two methods within cooks, as an e-value that stays valid however often one looks.
 *
 * Once a cook has used both methods, the next batch opens a pair and their next batch by the other method closes it;
 * what lies between is left out. Without a difference a pair in which one batch alone has the word is as likely either
 * way, however the cook leans to the word. Of n such pairs, x for the first method, the e-value is the likelihood
 * averaged over all shares that might be true, over that of one half:
 *   E(x, n − x) = ∫₀¹ (2s)^x (2 − 2s)^(n − x) ds = 2ⁿ / ((n + 1) · n over x).
 *
 * An open pair counts as it could at worst end. So no habit of cooks makes a false claim more likely, such as trying the
 * other method only after a batch that tasted well: E lies below a martingale, in which an open pair counts with its
 * mean, whoever cooks what next (Ville's inequality). Several words or pairs of methods are to be allowed for, as e-Holm
 * does.
 *
 * Sources: McNemar (1947), Psychometrika 12, 153–157; beta-binomial mixture: Robbins (1970), Ann. Math. Statistics 41,
 * 1397–1409; blocks within strata: Turner, Ly, Grünwald (2024), J. Statistical Planning and Inference 230, 106116, and
 * Turner, Grünwald (2023), Safe sequential testing and effect estimation in stratified count data, AISTATS.
 * @param batches by these two methods, in the order in which they were cooked
 */
export function wordDifference(batches: Iterable<TastedBatch>): WordDifference {
  const cooks = new Map<string, CookState>();
  let [pairs, onlyFirst, onlySecond] = [0, 0, 0];
  for (const batch of batches) {
    const cook = cooks.get(batch.cook) ?? { methods: new Set(), open: undefined };
    cooks.set(batch.cook, cook);
    cook.methods.add(batch.method);
    if (cook.open === undefined) {
      if (cook.methods.size === 2) cook.open = batch;
    } else if (cook.open.method !== batch.method) {
      pairs += 1;
      if (cook.open.hasWord !== batch.hasWord) {
        const having = batch.hasWord ? batch.method : cook.open.method;
        if (having === 'first') onlyFirst += 1;
        else onlySecond += 1;
      }
      cook.open = undefined;
    }
  }
  const open = [...cooks.values()].flatMap((cook) => (cook.open === undefined ? [] : [cook.open]));
  const mayFavourFirst = open.filter(({ method, hasWord }) => (method === 'first') === hasWord).length;
  return {
    pairs,
    onlyFirst,
    onlySecond,
    logEValue: leastLogE(onlyFirst, onlySecond, mayFavourFirst, open.length - mayFavourFirst),
    favours: favoured(onlyFirst, onlySecond),
  };
}

interface CookState {
  readonly methods: Set<TastedBatch['method']>;
  open: TastedBatch | undefined;
}

function favoured(onlyFirst: number, onlySecond: number): WordDifference['favours'] {
  if (onlyFirst === onlySecond) return undefined;
  return onlyFirst > onlySecond ? 'first' : 'second';
}

/**
 * The smallest log E when up to so many more pairs may come out for either method. One more for the method behind
 * lowers E, until both are level; from there on only one more for each does.
 */
function leastLogE(first: number, second: number, moreFirst: number, moreSecond: number): number {
  if (first < second) return leastLogE(second, first, moreSecond, moreFirst);
  const gap = first - second;
  if (moreSecond <= gap) return logE(first, second + moreSecond);
  const each = Math.min(moreFirst, moreSecond - gap);
  return logE(first + each, first + each);
}

/** n log 2 − log(n + 1) − log(n over x) */
function logE(first: number, second: number): number {
  const n = first + second;
  let log = n * Math.LN2 - Math.log(n + 1);
  for (let k = 1; k <= Math.min(first, second); k += 1) log -= Math.log((n - k + 1) / k);
  return log;
}
