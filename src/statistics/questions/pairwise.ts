import { tTwoSided } from '../algebra/distributions.js';
import { studentizedRangeUpper } from '../algebra/studentized-range.js';
import { usedLevels } from '../model/design.js';
import {
  type DfMethod,
  differenceBetween,
  type Estimate,
  estimateOf,
  intervalOf,
  isRow,
  type LinearEstimate,
  meanAt,
  type NotEstimable,
  settingRow,
} from '../model/linear-estimate.js';
import type { Fit } from '../model/mixed-model.js';

export interface LevelMean {
  readonly level: string;
  readonly mean: LinearEstimate;
}

/** Levels of a factor that occur, in the order of the design; one or none when there is nothing to compare. */
export function comparedLevels(fit: Fit, factor: string): readonly string[] {
  const position = fit.design.factors.findIndex(({ name }) => name === factor);
  if (position < 0) throw new RangeError(`the model has no factor ${factor}`);
  return usedLevels(fit.design, position, fit.counts);
}

/**
 * Adjusted means: each level of a factor with the levels of the other factors counting alike and the covariates at
 * their mean over the batches.
 * Source: Searle, Speed, Milliken (1980), The American Statistician 34, 216–221.
 */
export function marginalMeans(fit: Fit, factor: string, method?: DfMethod): readonly LevelMean[] {
  return comparedLevels(fit, factor).map((level) => ({
    level,
    mean: meanAt(fit, { levels: { [factor]: level } }, method),
  }));
}

export interface ComparableMeans {
  readonly means: readonly LevelMean[];
  /** Levels of the other factor over which they are taken, where not over all that were used. */
  readonly over: readonly string[] | undefined;
}

/**
 * The adjusted means, or, where a level of the other factor that was used with one way only leaves none of them
 * estimable, means over the levels of the other factor that most ways were used with.
 */
export function comparableMeans(fit: Fit, factor: string): ComparableMeans {
  const whole = marginalMeans(fit, factor);
  const other = fit.design.factors.find(({ name }) => name !== factor);
  if (other === undefined || whole.some(({ mean }) => mean.kind === 'estimate'))
    return { means: whole, over: undefined };
  const columns = comparedLevels(fit, other.name).map((level) => {
    const told = whole.filter(
      (one) => meanAt(fit, { levels: { [factor]: one.level, [other.name]: level } }).kind === 'estimate',
    );
    return { level, told: told.map((one) => one.level).join('\n'), count: told.length };
  });
  const most = columns.reduce((best, one) => (one.count > best.count ? one : best), {
    told: '',
    count: 0,
  });
  const over = columns.filter(({ told }) => most.count > 0 && told === most.told).map(({ level }) => level);
  if (over.length === 0) return { means: whole, over: undefined };
  const means = whole.map(({ level }) => ({
    level,
    mean: meanOver(fit, { [factor]: level }, other.name, over),
  }));
  return { means, over };
}

/** The mean at some levels, those of the other factor counting alike. */
function meanOver(
  fit: Fit,
  levels: Readonly<Record<string, string>>,
  other: string,
  over: readonly string[],
): LinearEstimate {
  const rows = over.map((level) => settingRow(fit, { levels: { ...levels, [other]: level } }));
  const sum = fit.columns.map((_, k) =>
    rows.reduce((total, row) => total + (isRow(row) ? (row[k] ?? 0) : Number.NaN), 0),
  );
  return estimateOf(
    fit,
    sum.map((value) => value / over.length),
  );
}

export interface Contrast {
  /** The difference is first less second. */
  readonly first: string;
  readonly second: string;
  readonly difference: NotEstimable | (Estimate & ContrastTest);
}

export interface ContrastTest {
  readonly t: number;
  readonly low: number;
  readonly high: number;
  /** Two-sided, for this contrast alone. */
  readonly pUnadjusted: number;
  /** Holm's step-down adjustment over the estimable contrasts of the factor. */
  readonly pHolm: number;
  /** Tukey's, with all levels as the family; undefined below 2 degrees of freedom. */
  readonly pTukey: number | undefined;
}

/**
 * Every difference between two levels of a factor, all else the same, with the interval and the test of each.
 * Sources: Holm (1979), Scandinavian J. Statistics 6, 65–70; Tukey's range test by Copenhaver, Holland (1988).
 */
export function pairwiseContrasts(
  fit: Fit,
  factor: string,
  method?: DfMethod,
  level = 0.95,
): readonly Contrast[] {
  const levels = comparedLevels(fit, factor);
  const pairs = levels.flatMap((first, i) =>
    levels.slice(i + 1).map((second) => ({
      first,
      second,
      difference: differenceBetween(
        fit,
        { levels: { [factor]: first } },
        { levels: { [factor]: second } },
        method,
      ),
    })),
  );
  const pValues = pairs.flatMap(({ difference }) =>
    difference.kind === 'estimate' ? [unadjusted(difference)] : [],
  );
  const holm = holmAdjusted(pValues)[Symbol.iterator]();
  return pairs.map(({ first, second, difference }): Contrast => {
    if (difference.kind !== 'estimate') return { first, second, difference };
    const t = difference.estimate / difference.standardError;
    // Tukey's takes longer than all the rest, and few ask for it.
    let tukey: { readonly p: number | undefined } | undefined;
    return {
      first,
      second,
      difference: {
        ...difference,
        t,
        ...intervalOf(difference, level),
        pUnadjusted: unadjusted(difference),
        pHolm: holm.next().value ?? Number.NaN,
        get pTukey() {
          tukey ??= {
            p:
              difference.df < 2
                ? undefined
                : studentizedRangeUpper(Math.SQRT2 * Math.abs(t), levels.length, difference.df),
          };
          return tukey.p;
        },
      },
    };
  });
}

function unadjusted({ estimate, standardError, df }: Estimate): number {
  return tTwoSided(estimate / standardError, df);
}

/**
 * Holm's adjusted p values, in the order given: the k-th smallest of m is multiplied by m − k + 1, and none is below
 * a smaller one's or above 1.
 */
export function holmAdjusted(pValues: readonly number[]): readonly number[] {
  const order = pValues.map((p, index) => ({ p, index })).sort((a, b) => a.p - b.p);
  const adjusted = new Array<number>(pValues.length).fill(1);
  let largest = 0;
  for (const [k, { p, index }] of order.entries()) {
    largest = Math.max(largest, Math.min(1, p * (pValues.length - k)));
    adjusted[index] = largest;
  }
  return adjusted;
}
