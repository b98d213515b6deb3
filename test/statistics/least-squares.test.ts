import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Design, Observation } from '../../src/statistics/model/design.js';
import { coefficientRow, estimateOf } from '../../src/statistics/model/linear-estimate.js';
import { type Fit, fitMixedModel } from '../../src/statistics/model/mixed-model.js';
import { modelSums } from '../../src/statistics/model/sufficient-statistics.js';
import { chooseTerms } from '../../src/statistics/model/term-choice.js';
import { relativeError } from './reference-sets.js';

/** Statistical Reference Datasets of NIST with their certified values. */
const FOLDER = new URL('../reference/nist-strd/', import.meta.url);

interface Certified {
  readonly estimate: string;
  readonly sd: string;
}

interface Regression {
  readonly certified: {
    readonly B0?: Certified;
    readonly B1?: Certified;
    readonly coefficients?: readonly Certified[];
    readonly residual_sd: string;
    readonly r_squared: string;
    readonly anova: { readonly regression: { readonly F: string } };
  };
  readonly columns: readonly string[];
  readonly data: readonly (readonly number[])[];
}

interface OneWay {
  readonly certified: {
    readonly between: { readonly df: number; readonly ss: string; readonly F: string };
    readonly within: { readonly df: number; readonly ss: string };
    readonly r_squared: string;
    readonly residual_sd: string;
  };
  readonly data: readonly (readonly [number, string])[];
}

function read<Shape>(name: string): Shape {
  return JSON.parse(readFileSync(new URL(`${name}.json`, FOLDER), 'utf8')) as Shape;
}

/** All observations by one member: the same code without a random effect. */
function sumsOf(design: Design, observations: readonly Omit<Observation, 'member'>[]) {
  return modelSums(
    design,
    observations.map((observation) => ({ member: 'one', ...observation })),
  );
}

function leastSquares(sums: ReturnType<typeof sumsOf>): Fit {
  const fit = fitMixedModel(sums);
  if (fit.kind !== 'least-squares') throw new Error('expected least squares');
  return fit;
}

function residualSquares(fit: Fit): number {
  return fit.sigma ** 2 * fit.residualDf;
}

/** Digits that agree with a certified value of 15. */
function digits(actual: number, certified: string): number {
  return Math.min(15, -Math.log10(relativeError(actual, Number(certified))));
}

describe('least squares from sums', () => {
  for (const { name, shifts, responseShift, least } of [
    { name: 'Norris', shifts: [430], responseShift: 430, least: 9 },
    { name: 'Longley', shifts: [100, 388_000, 3200, 2600, 117_000, 1954], responseShift: 65_000, least: 9 },
  ])
    it(`has at least ${least} certified digits of ${name}`, () => {
      const { certified, columns, data } = read<Regression>(name);
      const names = columns.filter((column) => column !== 'y');
      const value = (row: readonly number[], column: string) => row[columns.indexOf(column)] ?? Number.NaN;
      const sums = sumsOf(
        {
          factors: [],
          covariates: names.map((covariate, i) => ({ name: covariate, shift: shifts[i] ?? 0 })),
          responseShift,
        },
        data.map((row) => ({
          levels: [],
          covariates: names.map((covariate) => value(row, covariate)),
          response: value(row, 'y'),
        })),
      );
      const fit = leastSquares(sums);
      const nothing = leastSquares(chooseTerms(sums, { factors: [], covariates: [] }));
      const explained = residualSquares(nothing) - residualSquares(fit);
      expect(digits(fit.sigma, certified.residual_sd)).toBeGreaterThan(least);
      expect(digits(explained / residualSquares(nothing), certified.r_squared)).toBeGreaterThan(least);
      expect(digits(explained / names.length / fit.sigma ** 2, certified.anova.regression.F)).toBeGreaterThan(
        least,
      );
      const { B0, B1, coefficients = [B0, B1] } = certified;
      expect(coefficients).toHaveLength(fit.columns.length);
      for (const [i, column] of fit.columns.entries()) {
        const actual = estimateOf(fit, coefficientRow(fit, column));
        if (actual.kind !== 'estimate') throw new Error('expected an estimate');
        expect(digits(actual.estimate, coefficients[i]?.estimate ?? '')).toBeGreaterThan(least);
        expect(digits(actual.standardError, coefficients[i]?.sd ?? '')).toBeGreaterThan(least);
      }
    });

  for (const { name, responseShift, least } of [
    { name: 'SiRstv', responseShift: 196.2, least: 9 },
    { name: 'AtmWtAg', responseShift: 107.86815, least: 9 },
  ])
    it(`has at least ${least} certified digits of ${name}`, () => {
      const { certified, data } = read<OneWay>(name);
      const levels = [...new Set(data.map(([group]) => `${group}`))];
      const sums = sumsOf(
        { factors: [{ name: 'group', levels }], covariates: [], responseShift },
        data.map(([group, response]) => ({
          levels: [`${group}`],
          covariates: [],
          response: Number(response),
        })),
      );
      const fit = leastSquares(sums);
      const total = residualSquares(leastSquares(chooseTerms(sums, { factors: [], covariates: [] })));
      const within = residualSquares(fit);
      const { between } = certified;
      expect(fit.residualDf).toBe(certified.within.df);
      expect(digits(within, certified.within.ss)).toBeGreaterThan(least);
      expect(digits(total - within, between.ss)).toBeGreaterThan(least);
      expect(digits((total - within) / between.df / fit.sigma ** 2, between.F)).toBeGreaterThan(least);
      expect(digits((total - within) / total, certified.r_squared)).toBeGreaterThan(least);
      expect(digits(fit.sigma, certified.residual_sd)).toBeGreaterThan(least);
    });
});
