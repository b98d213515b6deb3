import { PROPOSED_FATS_G } from '../cooking/starting-weights.js';
import type { CommunitySums, ModelFactor } from '../records/model-sums.js';
import { withoutAliasedCovariates } from '../statistics/model/aliased-covariates.js';
import { batchCandidates, candidateFatG, proposedFatsG } from '../statistics/model/batch-design.js';
import { type Interval, intervalOf } from '../statistics/model/linear-estimate.js';
import { type FitResult, fitMixedModel } from '../statistics/model/mixed-model.js';
import type { ModelSums } from '../statistics/model/sufficient-statistics.js';
import { chooseTerms } from '../statistics/model/term-choice.js';
import { levelSummaries } from '../statistics/questions/level-summaries.js';
import type { Comparison } from '../statistics/questions/next-batch.js';
import { openQuestion } from '../statistics/questions/open-question.js';
import { comparableMeans, pairwiseContrasts } from '../statistics/questions/pairwise.js';
import { spreadOf } from '../statistics/questions/spread.js';
import { SIGNIFICANCE, type Verdict, verdictOf } from '../statistics/questions/verdict.js';
import { CUTS, METHODS } from '../words/methods.js';

/** One comparison with what may be said of it. The difference is first less second, a fraction. */
export interface Judged extends Interval {
  readonly factor: ModelFactor;
  readonly first: string;
  readonly second: string;
  readonly difference: number;
  readonly verdict: Verdict;
}

export interface AdjustedMean {
  readonly method: string;
  readonly batches: number;
  readonly members: number;
  /** A fraction; undefined where it cannot be told apart from something else. */
  readonly mean: number | undefined;
  readonly interval: Interval | undefined;
}

/** The comparison that is known worst, and the batch that would narrow it most. */
export interface OpenQuestion {
  readonly comparison: Comparison;
  /** What may be said of it by now; undefined where it cannot be estimated. */
  readonly verdict: Verdict | undefined;
  readonly method: string;
  readonly cut: string;
  readonly fatG: number;
}

const FACTORS: readonly ModelFactor[] = ['method', 'cut'];

/** A community's batches with the model that they are compared in. */
export interface Compared {
  readonly community: CommunitySums;
  /** Without the covariates that cannot be told apart from the rest, such as the time of methods that always take as long. */
  readonly sums: ModelSums;
  /** The fit of these sums. */
  readonly fit: FitResult;
}

export function comparedWith(community: CommunitySums): Compared {
  const whole = fitMixedModel(community.sums);
  const bare = withoutAliasedCovariates(community.sums, whole);
  return bare === undefined || bare.fit.kind === 'none'
    ? { community, sums: community.sums, fit: whole }
    : { community, sums: chooseTerms(community.sums, bare.choice), fit: bare.fit };
}

/** Every pair of methods and of cuts that the batches can tell apart. */
export function judgedPairs({ community, sums, fit }: Compared): readonly Judged[] {
  if (fit.kind === 'none') return [];
  return FACTORS.flatMap((factor) => {
    const batches = new Map(levelSummaries(sums, factor).map((one) => [one.level, one.batches]));
    const side = (level: string) => ({
      batches: batches.get(level) ?? 0,
      members: community.membersByLevel[factor].get(level) ?? 0,
    });
    return pairwiseContrasts(fit, factor).flatMap(({ first, second, difference }): readonly Judged[] => {
      if (difference.kind !== 'estimate') return [];
      const { estimate, low, high, pHolm } = difference;
      const alone = verdictOf(difference, [side(first), side(second)]);
      // Of many comparisons some look clear by chance.
      const verdict = isClear(alone) && pHolm >= SIGNIFICANCE ? 'unclear' : alone;
      return [{ factor, first, second, difference: estimate, low, high, verdict }];
    });
  });
}

const isClear = (verdict: Verdict): boolean => verdict === 'more' || verdict === 'less';

const pairKey = ({ factor, first, second }: Comparison): string => [factor, first, second].join(' ');

export interface Changes {
  /** Differences that show now and did not before. */
  readonly clear: readonly Judged[];
  /** Differences that showed before and do not any more; as they stand now. */
  readonly unclear: readonly Judged[];
}

/** What became clear or unclear, the largest difference first. */
export function changesBetween(before: readonly Judged[], now: readonly Judged[]): Changes {
  const clearBefore = new Set(before.filter(({ verdict }) => isClear(verdict)).map(pairKey));
  const largestFirst = (some: readonly Judged[]) =>
    [...some].sort((a, b) => Math.abs(b.difference) - Math.abs(a.difference));
  return {
    clear: largestFirst(now.filter((one) => isClear(one.verdict) && !clearBefore.has(pairKey(one)))),
    unclear: largestFirst(now.filter((one) => !isClear(one.verdict) && clearBefore.has(pairKey(one)))),
  };
}

/** Each method with everything else alike, in the order of the design. */
export function adjustedMeans({ community, sums, fit }: Compared): readonly AdjustedMean[] {
  const means = fit.kind === 'none' ? [] : comparableMeans(fit, 'method').means;
  return levelSummaries(sums, 'method').map(({ level, batches }) => {
    const found = means.find((one) => one.level === level)?.mean;
    const interval = found?.kind === 'estimate' ? intervalOf(found) : undefined;
    return {
      method: level,
      batches,
      members: community.membersByLevel.method.get(level) ?? 0,
      mean: found?.kind === 'estimate' ? found.estimate : undefined,
      interval: interval && Number.isFinite(interval.high - interval.low) ? interval : undefined,
    };
  });
}

/** What `/yield next` asks of a cook who can cook anything and has logged nothing: the post does not know who reads it. */
export function communityQuestion(
  { community, sums, fit }: Compared,
  judged: readonly Judged[],
): OpenQuestion | undefined {
  const fatsG = proposedFatsG(sums, community.sums, PROPOSED_FATS_G);
  const candidates = batchCandidates(ALL_METHODS, ALL_CUTS, fatsG);
  const found = openQuestion(sums, FACTORS, { sums: undefined, candidates }, spreadOf(fit));
  const [best] = found?.batches ?? [];
  if (!found || !best) return undefined;
  const [method, cut] = best.candidate.levels;
  const { comparison } = found;
  const verdict = judged.find((one) => pairKey(one) === pairKey(comparison))?.verdict;
  return { comparison, verdict, method, cut, fatG: Math.round(candidateFatG(best.candidate)) };
}

const ALL_METHODS = METHODS.map(({ value }) => value);
const ALL_CUTS = CUTS.map(({ value }) => value);
