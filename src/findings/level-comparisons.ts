import type { BatchMark } from '../records/batch-marks.js';
import type { CommunitySums, ModelFactor } from '../records/model-sums.js';
import { type Estimate, type Interval, intervalOf } from '../statistics/model/linear-estimate.js';
import type { Fit } from '../statistics/model/mixed-model.js';
import { levelSummaries } from '../statistics/questions/level-summaries.js';
import type { Comparison } from '../statistics/questions/next-batch.js';
import {
  type Contrast,
  type ContrastTest,
  comparableMeans,
  pairwiseContrasts,
} from '../statistics/questions/pairwise.js';
import { SIGNIFICANCE, type Verdict, verdictOf } from '../statistics/questions/verdict.js';
import { capitalise, countWords } from '../words/lists.js';
import { isMethod, levelWords, methodLabel } from '../words/methods.js';
import {
  aroundNoneWords,
  clampYield,
  isPossibleYield,
  pointsIntervalWords,
  withoutSign,
} from '../words/yield-words.js';
import type { BatchModel } from './community-model.js';
import { finiteInterval } from './model-words.js';

/** Two methods or two cuts, all else alike. */
export interface LevelComparison extends Contrast {
  readonly factor: ModelFactor;
  /** First less second, of the plain averages. */
  readonly plain: number;
  /** Undefined where the two cannot be told apart. */
  readonly verdict: Verdict | undefined;
  /** The verdict with all comparisons of the factor allowed for: of many some look clear by chance. */
  readonly verdictOfAll: Verdict | undefined;
}

export interface EstimatedComparison extends LevelComparison {
  readonly difference: Estimate & ContrastTest;
}

export const isEstimated = (comparison: LevelComparison): comparison is EstimatedComparison =>
  comparison.difference.kind === 'estimate';

export const isClear = (verdict: Verdict | undefined): boolean => verdict === 'more' || verdict === 'less';

/** "method open-pot oven": the same for the same two levels. */
export const comparisonKey = ({ factor, first, second }: Comparison): string =>
  [factor, first, second].join(' ');

/** All comparisons between the levels of a factor. */
export function levelComparisons(
  factor: ModelFactor,
  community: CommunitySums,
  fit: Fit,
): readonly LevelComparison[] {
  const summaries = new Map(levelSummaries(community.sums, factor).map((one) => [one.level, one]));
  const meanOf = (level: string) => summaries.get(level)?.mean ?? 0;
  const sideOf = (level: string) => ({
    batches: summaries.get(level)?.batches ?? 0,
    members: community.membersByLevel[factor].get(level) ?? 0,
  });
  return pairwiseContrasts(fit, factor).map((contrast) => {
    const { first, second, difference } = contrast;
    const plain = meanOf(first) - meanOf(second);
    if (difference.kind !== 'estimate')
      return { ...contrast, factor, plain, verdict: undefined, verdictOfAll: undefined };
    const verdict = verdictOf(difference, [sideOf(first), sideOf(second)]);
    const verdictOfAll = isClear(verdict) && difference.pHolm >= SIGNIFICANCE ? 'unclear' : verdict;
    return { ...contrast, factor, plain, verdict, verdictOfAll };
  });
}

export const FACTORS: readonly ModelFactor[] = ['method', 'cut'];

/** Every pair of methods and of cuts that the batches can tell apart. */
export function allComparisons({ community, forecastModel }: BatchModel): readonly EstimatedComparison[] {
  const { fit } = forecastModel;
  if (fit === undefined) return [];
  return FACTORS.flatMap((factor) => levelComparisons(factor, community, fit)).filter(isEstimated);
}

/** What a sentence about a difference is made of. */
interface DifferenceParts {
  /** "Open pot and oven" */
  readonly name: string;
  /** "Oven gave 3 points more than open pot" */
  readonly clear: string;
  /** Whose the ends of the interval are where it is not clear: "open pot ". */
  readonly whose: string;
  /** How plain averages differ from it. */
  readonly explained: string;
  tooFew(): string;
}

/** What may be said of a difference. */
export function verdictWords(verdict: Verdict, difference: Estimate, parts: DifferenceParts): string {
  const interval = intervalOf(difference);
  switch (verdict) {
    case 'more':
    case 'less': {
      const ends = pointsIntervalWords(withoutSign(difference.estimate, interval));
      return `${parts.clear} (95 % interval ${ends}).${parts.explained}`;
    }
    case 'unclear': {
      const ends = `${parts.whose}${aroundNoneWords(interval)}`;
      return `${parts.name}: no clear difference yet (95 % interval: ${ends}).${parts.explained}`;
    }
    case 'too-few':
      return `${parts.name}: ${parts.tooFew()}.`;
  }
}

/** One method or cut with all else alike, as it is drawn. */
export interface LevelRow {
  readonly level: string;
  /** "Pressure cooker, wet" */
  readonly label: string;
  /** "3 batches, 2 cooks" */
  readonly note: string;
  /** Adjusted mean, a fraction; undefined where it cannot be told, or lies at weights so unlike its own that no yield can be that. */
  readonly mean: number | undefined;
  readonly interval: Interval | undefined;
}

/** @param fit undefined where there is too little to fit */
export function levelRows(
  by: ModelFactor,
  community: CommunitySums,
  fit: Fit | undefined,
): readonly LevelRow[] {
  const means = fit === undefined ? [] : comparableMeans(fit, by).means;
  return levelSummaries(community.sums, by).map(({ level, batches }) => {
    const found = means.find((one) => one.level === level)?.mean;
    const mean = found?.kind === 'estimate' && isPossibleYield(found.estimate) ? found : undefined;
    const members = community.membersByLevel[by].get(level) ?? 0;
    return {
      level,
      label: isMethod(level) ? methodLabel(level) : capitalise(levelWords(level)),
      note: `${countWords(batches, 'batch', 'batches')}, ${countWords(members, 'cook', 'cooks')}`,
      mean: mean?.estimate,
      interval: mean && finiteInterval(mean),
    };
  });
}

/** Those rows as a picture takes them, with single batches behind them. */
export const drawnRows = (by: ModelFactor, rows: readonly LevelRow[], marks: readonly BatchMark[]) =>
  rows.map(({ level, label, note, mean, interval }) => ({
    label,
    note,
    mean,
    low: interval && clampYield(interval.low),
    high: interval && clampYield(interval.high),
    batches: marks.filter((mark) => mark[by] === level),
  }));
