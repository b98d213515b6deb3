import { Matrix } from 'ml-matrix';
import { tQuantile } from '../algebra/distributions.js';
import { bilinear, dot } from '../algebra/matrix.js';
import { obstacles } from '../algebra/rank.js';
import { type ModelColumn, sameColumn, usedLevels } from './design.js';
import { kenwardRogerPrecision } from './kenward-roger.js';
import type { Fit } from './mixed-model.js';
import type { ModelFrame } from './model-frame.js';
import { contrastDf } from './satterthwaite.js';

/**
 * Which standard errors and degrees of freedom: Kenward and Roger's are what is shown, Satterthwaite's stand beside
 * them. A least-squares fit has one kind only, and so has a fit whose variances cannot be told apart.
 */
export type DfMethod = 'kenward-roger' | 'satterthwaite';

export interface Estimate {
  readonly kind: 'estimate';
  readonly estimate: number;
  readonly standardError: number;
  readonly df: number;
}

/** Why the data cannot say. */
export type NotEstimable =
  | { readonly kind: 'never-used'; readonly factor: string; readonly level: string }
  | { readonly kind: 'confounded'; readonly aliases: readonly Alias[] };

/** A column of the model that cannot be told apart from others. */
export interface Alias {
  readonly column: ModelColumn;
  /** The columns of which it is made up; none when it is always 0. */
  readonly with: readonly ModelColumn[];
}

export type LinearEstimate = Estimate | NotEstimable;

/** Where to look: a level for some factors, a value for some covariates. */
export interface Setting {
  /** Level by name of factor; over a factor that is not named all its levels count alike. */
  readonly levels?: Readonly<Record<string, string>>;
  /** Value by name of covariate, not shifted; one that is not named is at its mean over the batches. */
  readonly covariates?: Readonly<Record<string, number>>;
}

/** Multiples of the model's columns (aliased ones too), in order, that make up the mean at a setting. */
export function settingRow(frame: ModelFrame, setting: Setting): readonly number[] | NotEstimable {
  const { design, counts, columns, covariateMeans } = frame;
  const { levels = {}, covariates = {} } = setting;
  const shares = new Map<string, number>();
  for (const [f, { name }] of design.factors.entries()) {
    const used = usedLevels(design, f, counts);
    const asked = levels[name];
    if (asked !== undefined && !used.includes(asked))
      return { kind: 'never-used', factor: name, level: asked };
    shares.set(name, 1 / used.length);
  }
  const multiple = (column: ModelColumn): number => {
    switch (column.kind) {
      case 'intercept':
        return 1;
      case 'level': {
        const asked = levels[column.factor];
        if (asked === undefined) return shares.get(column.factor) ?? 0;
        return asked === column.level ? 1 : 0;
      }
      case 'covariate': {
        const position = design.covariates.findIndex(({ name }) => name === column.covariate);
        return (covariates[column.covariate] ?? covariateMeans[position] ?? Number.NaN) - column.shift;
      }
    }
  };
  return columns.map(multiple);
}

/** Multiples of the model's columns that make up one coefficient, the intercept being where covariates are 0. */
export function coefficientRow({ columns }: ModelFrame, wanted: ModelColumn): readonly number[] {
  return columns.map((column) => {
    if (sameColumn(column, wanted)) return 1;
    return wanted.kind === 'intercept' && column.kind === 'covariate' ? -column.shift : 0;
  });
}

/** The linear combination Σ l_j b_j with its precision, in the unit of the response. */
export function estimateOf(
  fit: Fit,
  row: readonly number[],
  method: DfMethod = 'kenward-roger',
): LinearEstimate {
  const blocking = obstacles(fit.rank, row);
  if (blocking.length > 0) {
    const columns = new Set(blocking.map(({ column }) => column));
    return {
      kind: 'confounded',
      aliases: aliasesOf(fit).filter((_, a) => columns.has(fit.rank.aliased[a]?.column ?? -1)),
    };
  }
  return estimateWithDroppedAtZero(fit, row, method);
}

/**
 * The same with the coefficients of aliased columns taken as 0, as statistics packages print them. Unless the
 * combination is estimable this depends on which columns came first: for a comparison of fits, not for people.
 */
export function estimateWithDroppedAtZero(fit: Fit, row: readonly number[], method: DfMethod): Estimate {
  const l = keptRow(fit, row);
  const estimate = dot(l, fit.coefficients) + (row[0] ?? 0) * fit.design.responseShift;
  return { kind: 'estimate', estimate, ...precisionOf(fit, l, method) };
}

function precisionOf(fit: Fit, l: Matrix, method: DfMethod): { standardError: number; df: number } {
  if (fit.kind === 'mixed' && method === 'kenward-roger' && fit.kenwardRoger !== undefined)
    return kenwardRogerPrecision(fit.kenwardRoger, l);
  return {
    standardError: Math.sqrt(bilinear(l, fit.covariance, l)),
    df: fit.kind === 'mixed' ? contrastDf(fit.satterthwaite, l) : fit.residualDf,
  };
}

/** The part of a row that belongs to the kept columns, as a column matrix. */
export function keptRow({ rank }: ModelFrame, row: readonly number[]): Matrix {
  return Matrix.columnVector(rank.kept.map((position) => row[position] ?? 0));
}

/** The mean response at a setting, over all cooks. */
export function meanAt(fit: Fit, setting: Setting, method?: DfMethod): LinearEstimate {
  const row = settingRow(fit, setting);
  return isRow(row) ? estimateOf(fit, row, method) : row;
}

/** Mean at one setting less mean at the other. */
export function differenceBetween(
  fit: Fit,
  first: Setting,
  second: Setting,
  method?: DfMethod,
): LinearEstimate {
  const [a, b] = [settingRow(fit, first), settingRow(fit, second)];
  if (!isRow(a)) return a;
  if (!isRow(b)) return b;
  return estimateOf(
    fit,
    a.map((value, k) => value - (b[k] ?? 0)),
    method,
  );
}

/** How much the response changes when a covariate grows by `by`, all else the same. */
export function covariateEffect(fit: Fit, covariate: string, by: number, method?: DfMethod): LinearEstimate {
  const row = fit.columns.map((column) =>
    column.kind === 'covariate' && column.covariate === covariate ? by : 0,
  );
  if (row.every((value) => value === 0)) throw new RangeError(`the model has no covariate ${covariate}`);
  return estimateOf(fit, row, method);
}

/** Columns that are sums of multiples of others, and of which. */
export function aliasesOf(fit: Fit): readonly Alias[] {
  return fit.rank.aliased.flatMap(({ column: position, coefficients }) => {
    const column = fit.columns[position];
    if (column === undefined) return [];
    const others = coefficients.flatMap((value, a) =>
      value === 0 ? [] : (fit.columns[fit.rank.kept[a] ?? -1] ?? []),
    );
    return [{ column, with: others.filter(({ kind }) => kind !== 'intercept') }];
  });
}

export interface Interval {
  readonly low: number;
  readonly high: number;
}

/** Two-sided t interval. With next to no degrees of freedom (below about 0.003) its ends are infinite. */
export function intervalOf({ estimate, standardError, df }: Omit<Estimate, 'kind'>, level = 0.95): Interval {
  const margin = tQuantile((1 + level) / 2, df) * standardError;
  return { low: estimate - margin, high: estimate + margin };
}

export function isRow(row: readonly number[] | NotEstimable): row is readonly number[] {
  return Array.isArray(row);
}
