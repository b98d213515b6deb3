import type { CommunitySums, ModelFactor } from '../records/model-sums.js';
import { batchCandidates } from '../statistics/batch-design.js';
import { levelSummaries } from '../statistics/level-summaries.js';
import { type Interval, intervalOf } from '../statistics/linear-estimate.js';
import { type FitResult, fitMixedModel } from '../statistics/mixed-model.js';
import type { Comparison } from '../statistics/next-batch.js';
import { openQuestion } from '../statistics/open-question.js';
import { marginalMeans, pairwiseContrasts } from '../statistics/pairwise.js';
import { spreadOf } from '../statistics/spread.js';
import { type Verdict, verdictOf } from '../statistics/verdict.js';
import { CUTS, METHODS } from '../trade/methods.js';
import { PROPOSED_FATS_G } from '../trade/starting-weights.js';

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
  readonly method: string;
  readonly cut: string;
  readonly fatG: number;
}

const FACTORS: readonly ModelFactor[] = ['method', 'cut'];

const ANY_BATCH = batchCandidates(
  METHODS.map(({ value }) => value),
  CUTS.map(({ value }) => value),
  PROPOSED_FATS_G,
);

/** Every pair of methods and of cuts that the batches can tell apart. */
export function judgedPairs(from: CommunitySums, fit: FitResult): readonly Judged[] {
  if (fit.kind === 'none') return [];
  return FACTORS.flatMap((factor) => {
    const batches = new Map(levelSummaries(from.sums, factor).map((one) => [one.level, one.batches]));
    const side = (level: string) => ({
      batches: batches.get(level) ?? 0,
      members: from.membersByLevel[factor].get(level) ?? 0,
    });
    return pairwiseContrasts(fit, factor).flatMap(({ first, second, difference }): readonly Judged[] => {
      if (difference.kind !== 'estimate') return [];
      const { estimate, low, high } = difference;
      const verdict = verdictOf(difference, [side(first), side(second)]);
      return [{ factor, first, second, difference: estimate, low, high, verdict }];
    });
  });
}

export interface Changes {
  /** Differences that show now and did not before. */
  readonly clear: readonly Judged[];
  /** Differences that showed before and do not any more; as they stand now. */
  readonly unclear: readonly Judged[];
}

/** What became clear or unclear, the largest difference first. */
export function changesBetween(before: readonly Judged[], now: readonly Judged[]): Changes {
  const isClear = ({ verdict }: Judged): boolean => verdict === 'more' || verdict === 'less';
  const key = ({ factor, first, second }: Judged): string => [factor, first, second].join(' ');
  const clearBefore = new Set(before.filter(isClear).map(key));
  const largestFirst = (some: readonly Judged[]) =>
    [...some].sort((a, b) => Math.abs(b.difference) - Math.abs(a.difference));
  return {
    clear: largestFirst(now.filter((one) => isClear(one) && !clearBefore.has(key(one)))),
    unclear: largestFirst(now.filter((one) => !isClear(one) && clearBefore.has(key(one)))),
  };
}

/** Each method with everything else alike, in the order of the design. */
export function adjustedMeans(from: CommunitySums, fit: FitResult): readonly AdjustedMean[] {
  const means = fit.kind === 'none' ? [] : marginalMeans(fit, 'method');
  return levelSummaries(from.sums, 'method').map(({ level, batches }) => {
    const found = means.find((one) => one.level === level)?.mean;
    const interval = found?.kind === 'estimate' ? intervalOf(found) : undefined;
    return {
      method: level,
      batches,
      members: from.membersByLevel.method.get(level) ?? 0,
      mean: found?.kind === 'estimate' ? found.estimate : undefined,
      interval: interval && Number.isFinite(interval.high - interval.low) ? interval : undefined,
    };
  });
}

/** What `/yield next` asks of a cook who can cook anything and has logged nothing: the post does not know who reads it. */
export function communityQuestion({ sums }: CommunitySums, fit: FitResult): OpenQuestion | undefined {
  const found = openQuestion(sums, FACTORS, { sums: undefined, candidates: ANY_BATCH }, spreadOf(fit));
  const [method, cut] = found?.batches[0]?.candidate.levels ?? [];
  const logFatKg = found?.batches[0]?.candidate.covariates[0];
  if (!found || method === undefined || cut === undefined || logFatKg === undefined) return undefined;
  return { comparison: found.comparison, method, cut, fatG: Math.round(1000 * Math.exp(logFatKg)) };
}

export const fitOf = ({ sums }: CommunitySums): FitResult => fitMixedModel(sums);
