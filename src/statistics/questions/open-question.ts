/** What a community knows worst, and the batch that would tell most of it. */

import type { MemberTotals, ModelSums } from '../model/sufficient-statistics.js';
import { levelSummaries } from './level-summaries.js';
import {
  bestNextBatches,
  type Candidate,
  type Comparison,
  comparisonsOf,
  type NextBatches,
} from './next-batch.js';
import type { Spread } from './spread.js';

/** Whoever is to cook it. */
export interface Cook<C extends Candidate = Candidate> {
  /** Undefined for one who has logged nothing. */
  readonly sums: MemberTotals | undefined;
  readonly candidates: readonly C[];
}

/**
 * The comparison that is known worst among the pairs of levels of these factors, and the batches of that cook that
 * narrow it, the best first. What the cook can cook neither side of is asked last. Undefined when no batch helps.
 */
export function openQuestion<C extends Candidate>(
  sums: ModelSums,
  factors: readonly string[],
  cook: Cook<C>,
  spread: Spread,
): NextBatches<C> | undefined {
  const wanted = factors.flatMap((factor) => comparisonsOf(factor, wantedLevels(sums, factor)));
  const reachable = wanted.filter((comparison) => isReachable(comparison, cook.candidates));
  return (
    bestNextBatches(sums, reachable, cook.sums, cook.candidates, spread) ??
    bestNextBatches(sums, wanted, cook.sums, cook.candidates, spread)
  );
}

/** Levels that somebody has used; with fewer than two, all of them. */
function wantedLevels(sums: ModelSums, factor: string): readonly string[] {
  const used = levelSummaries(sums, factor).map(({ level }) => level);
  return used.length > 1 ? used : (sums.design.factors.find(({ name }) => name === factor)?.levels ?? []);
}

function isReachable({ first, second }: Comparison, candidates: readonly Candidate[]): boolean {
  return candidates.some(({ levels }) => levels.includes(first) || levels.includes(second));
}
