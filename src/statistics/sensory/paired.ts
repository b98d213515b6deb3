/** Paired comparison (ISO 5495): two cups; which has more of it, or which is liked better? */
import normalCdf from '@stdlib/stats-base-dists-normal-cdf';
import normalQuantile from '@stdlib/stats-base-dists-normal-quantile';
import { atLeast, clopperPearson, requireLevel } from './binomial.js';
import type { Ranged } from './discrimination.js';
import type { Protocol } from './protocol.js';
import { VERDICT_RULE, type VerdictRule } from './tasting-verdict.js';

/**
 * The pair with one right answer (2-AFC): Pc = Φ(d′/√2).
 * Source: Green, Swets (1966), Signal Detection Theory and Psychophysics.
 */
export const PAIR: Protocol = {
  guessing: 0.5,
  proportionCorrect(dPrime) {
    if (!(dPrime >= 0)) throw new RangeError(`dPrime must be 0 or more: ${dPrime}`);
    return normalCdf(dPrime / Math.SQRT2, 0, 1);
  },
  dPrime: (proportionCorrect) => Math.max(0, signedDPrime(proportionCorrect)),
};

/** How often each product was named, where no answer is the right one. */
interface PairCounts {
  readonly first: number;
  readonly second: number;
}

type PairVerdict =
  | { readonly kind: 'difference'; readonly favours: 'first' | 'second' }
  /** The votes for one less those for the other are, as a share of people, no more than `within`. */
  | { readonly kind: 'similar'; readonly within: number; readonly leadAtMost: number }
  /** Neither leads by more than chance explains, but one of them may lead by so much. */
  | { readonly kind: 'no-sign'; readonly leadAtMost: number };

export interface PairResult {
  /** Two-sided, exact. */
  readonly p: number;
  /** Share of people who name the first. */
  readonly shareOfFirst: Ranged;
  /** Above 0 when the first has more, in standard deviations; may be infinite. */
  readonly dPrime: Ranged;
  readonly verdict: PairVerdict;
}

/**
 * Two-sided reading of a pair without a right answer: which of the two has more, or is liked better.
 * @throws RangeError unless the counts are whole numbers of 0 or more, not both 0.
 */
export function comparePair(
  { first, second }: PairCounts,
  rule: VerdictRule = VERDICT_RULE,
  level = 0.95,
): PairResult {
  requireLevel(rule.significance);
  requireLevel(rule.confidence);
  const assessors = first + second;
  const { low, high } = clopperPearson(first, assessors, level);
  const shareOfFirst = { estimate: first / assessors, low, high };
  const p = twoSidedTail(Math.max(first, second), assessors);
  return {
    p,
    shareOfFirst,
    dPrime: {
      estimate: signedDPrime(shareOfFirst.estimate),
      low: signedDPrime(low),
      high: signedDPrime(high),
    },
    verdict: pairVerdict({ first, second }, p, rule),
  };
}

function pairVerdict({ first, second }: PairCounts, p: number, rule: VerdictRule): PairVerdict {
  if (p <= rule.significance) return { kind: 'difference', favours: first > second ? 'first' : 'second' };
  // two one-sided bounds, each with the confidence asked for
  const { low, high } = clopperPearson(first, first + second, 2 * rule.confidence - 1);
  const leadAtMost = Math.max(Math.abs(2 * low - 1), Math.abs(2 * high - 1));
  return leadAtMost <= rule.similarWithin
    ? { kind: 'similar', within: rule.similarWithin, leadAtMost }
    : { kind: 'no-sign', leadAtMost };
}

/** P that one of the two is named at least so often when neither is favoured. */
function twoSidedTail(more: number, assessors: number): number {
  return Math.min(1, 2 * atLeast(more, assessors, 0.5));
}

/**
 * Least number of answers for either product that chance reaches with a probability of at most `level`, two-sided
 * (ISO 5495). Undefined when even all are not enough.
 * @throws RangeError unless assessors is a whole number of 1 or more and 0 < level < 1.
 */
export function leastForEither(assessors: number, level = 0.05): number | undefined {
  requireLevel(level);
  for (let more = Math.ceil(assessors / 2); more <= assessors; more += 1)
    if (twoSidedTail(more, assessors) <= level) return more;
  return undefined;
}

/** √2 Φ⁻¹(share): below 0 where the share is below a half. */
function signedDPrime(share: number): number {
  if (!(share >= 0 && share <= 1)) throw new RangeError(`a share must be between 0 and 1: ${share}`);
  if (share === 0) return Number.NEGATIVE_INFINITY;
  return share === 1 ? Number.POSITIVE_INFINITY : Math.SQRT2 * normalQuantile(share, 0, 1);
}
