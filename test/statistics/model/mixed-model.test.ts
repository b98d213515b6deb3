import { describe, expect, it } from 'vitest';
import type { Design, Observation } from '../../../src/statistics/model/design.js';
import { aliasesOf, differenceBetween, meanAt } from '../../../src/statistics/model/linear-estimate.js';
import { type Fit, fitMixedModel, type MixedFit } from '../../../src/statistics/model/mixed-model.js';
import { memberTotals, modelSums } from '../../../src/statistics/model/sufficient-statistics.js';
import { memberEffect } from '../../../src/statistics/questions/member-effects.js';
import { relativeError } from '../reference-sets.js';

const INTERCEPT_ONLY: Design = { factors: [], covariates: [], responseShift: 0 };

function groups(responses: readonly (readonly number[])[]): readonly Observation[] {
  return responses.flatMap((values, i) =>
    values.map((response) => ({ member: 'ABCDEF'[i] ?? '', levels: [], covariates: [], response })),
  );
}

function mixed(design: Design, observations: readonly Observation[]): MixedFit {
  const fit = fitMixedModel(modelSums(design, observations));
  if (fit.kind !== 'mixed') throw new Error(`expected a mixed fit, not ${JSON.stringify(fit)}`);
  return fit;
}

/** Yield of dyestuff from six batches of five (the Dyestuff example of lme4). */
const DYESTUFF = [
  [1545, 1440, 1440, 1520, 1580],
  [1540, 1555, 1490, 1560, 1495],
  [1595, 1550, 1605, 1510, 1560],
  [1445, 1440, 1595, 1465, 1545],
  [1595, 1630, 1515, 1635, 1625],
  [1520, 1455, 1450, 1480, 1445],
];

/** Travel times in six rails (the Rail example of nlme). */
const RAIL = [
  [55, 53, 54],
  [26, 37, 32],
  [78, 91, 85],
  [92, 100, 96],
  [49, 51, 50],
  [80, 85, 83],
];

describe('random intercepts alone', () => {
  const dyestuff = { ...INTERCEPT_ONLY, responseShift: 1500 };

  it('agree with lme4 on Dyestuff', () => {
    const fit = mixed(dyestuff, groups(DYESTUFF));
    expect(meanAt(fit, {}, 'satterthwaite')).toMatchObject({ estimate: expect.closeTo(1527.5, 8) });
    expect(fit.sigmaMember ** 2).toBeCloseTo(1764.05, 2);
    expect(fit.sigma ** 2).toBeCloseTo(2451.25, 2);
    expect(fit.criterion).toBeCloseTo(319.6542768, 6);
    const mean = meanAt(fit, {}, 'satterthwaite');
    if (mean.kind !== 'estimate') throw new Error('expected an estimate');
    expect(mean.standardError).toBeCloseTo(19.3834, 4);
    expect(mean.df).toBeCloseTo(5, 6);
  });

  it('predict the batches of Dyestuff as lme4 does', () => {
    const observations = groups(DYESTUFF);
    const fit = mixed(dyestuff, observations);
    const effects = [...memberTotals(dyestuff, observations).values()].map(
      (totals) => memberEffect(fit, totals).effect,
    );
    for (const [i, expected] of [-17.607, 0.391, 28.562, -23.085, 56.733, -44.995].entries())
      expect(effects[i]).toBeCloseTo(expected, 3);
  });

  it('agree with two independent computations on an unbalanced part of Dyestuff', () => {
    const kept = [5, 4, 3, 5, 2, 4];
    const fit = mixed(dyestuff, groups(DYESTUFF.map((values, i) => values.slice(0, kept[i]))));
    const mean = meanAt(fit, {}, 'satterthwaite');
    if (mean.kind !== 'estimate') throw new Error('expected an estimate');
    expect(mean.estimate).toBeCloseTo(1530.9699, 4);
    expect(mean.standardError).toBeCloseTo(20.1076, 4);
    expect(mean.df).toBeCloseTo(4.219, 3);
    expect(fit.sigmaMember ** 2).toBeCloseTo(1701.805, 3);
    expect(fit.sigma ** 2).toBeCloseTo(2599.0285, 3);
    expect(fit.criterion).toBeCloseTo(244.6788995, 6);
  });

  it('agree with nlme on Rail', () => {
    const fit = mixed({ ...INTERCEPT_ONLY, responseShift: 60 }, groups(RAIL));
    const mean = meanAt(fit, {}, 'satterthwaite');
    if (mean.kind !== 'estimate') throw new Error('expected an estimate');
    expect(mean.estimate).toBeCloseTo(66.5, 9);
    expect(mean.standardError).toBeCloseTo(10.17104, 5);
    expect(mean.df).toBeCloseTo(5, 6);
    expect(fit.sigmaMember).toBeCloseTo(24.80547, 5);
    expect(fit.sigma).toBeCloseTo(4.020779, 6);
    expect(fit.criterion).toBeCloseTo(122.177, 4);
  });

  it('give the same whatever constant is taken off first', () => {
    const [near, none] = [mixed(dyestuff, groups(DYESTUFF)), mixed(INTERCEPT_ONLY, groups(DYESTUFF))];
    expect(relativeError(none.theta, near.theta)).toBeLessThan(1e-8);
    expect(none.criterion).toBeCloseTo(near.criterion, 8);
  });
});

/** A design with two factors and a covariate, small enough to see through. */
const COOKING: Design = {
  factors: [
    { name: 'method', levels: ['pot', 'oven', 'smoker', 'pressure'] },
    { name: 'cut', levels: ['ground', 'cubed'] },
  ],
  covariates: [{ name: 'hours', shift: 4 }],
  responseShift: 0.5,
};

/** member, method, cut, hours, yield */
type Row = readonly [string, string, string, number, number];

function cooking(rows: readonly Row[]): readonly Observation[] {
  return rows.map(([member, method, cut, hours, response]) => ({
    member,
    levels: [method, cut],
    covariates: [hours],
    response,
  }));
}

const SOME: readonly Row[] = [
  ['a', 'pot', 'ground', 3, 0.52],
  ['a', 'oven', 'ground', 5, 0.49],
  ['a', 'pot', 'cubed', 4, 0.41],
  ['b', 'pot', 'ground', 2, 0.55],
  ['b', 'oven', 'cubed', 6, 0.4],
  ['b', 'oven', 'ground', 4, 0.53],
  ['c', 'pot', 'ground', 5, 0.47],
  ['c', 'oven', 'cubed', 3, 0.35],
  ['c', 'pot', 'cubed', 6, 0.38],
];

describe('a model that cannot answer everything', () => {
  it('describes one member by least squares and says so', () => {
    const fit = fitMixedModel(modelSums(COOKING, cooking(SOME.map(([, ...rest]) => ['a', ...rest]))));
    expect(fit).toMatchObject({ kind: 'least-squares', because: 'one-member', residualDf: 5 });
  });

  it('does not separate cooks from batches when each cooked once', () => {
    const fit = fitMixedModel(modelSums(COOKING, cooking(SOME.map(([, ...rest], i) => [`m${i}`, ...rest]))));
    expect(fit).toMatchObject({ kind: 'least-squares', because: 'one-batch-each', residualDf: 5 });
  });

  it('does not separate them either when whoever cooked twice changed the method', () => {
    const rows: readonly Row[] = [
      ['a', 'pot', 'ground', 4, 0.5],
      ['a', 'oven', 'ground', 4, 0.45],
      ['b', 'pot', 'ground', 4, 0.56],
      ['c', 'oven', 'ground', 4, 0.43],
    ];
    const fit = fitMixedModel(
      modelSums({ ...COOKING, covariates: [] }, cooking(rows).map(withoutCovariates)),
    );
    expect(fit).toMatchObject({ kind: 'least-squares', because: 'nothing-repeated' });
  });

  it('does not tell cooks from methods when each kept to their own', () => {
    const rows: readonly Row[] = [
      ['a', 'pot', 'ground', 4, 0.5],
      ['a', 'pot', 'ground', 4, 0.47],
      ['b', 'oven', 'ground', 4, 0.44],
      ['b', 'oven', 'ground', 4, 0.43],
      ['b', 'oven', 'ground', 4, 0.4],
    ];
    const fit = fitMixedModel(
      modelSums({ ...COOKING, covariates: [] }, cooking(rows).map(withoutCovariates)),
    );
    expect(fit).toMatchObject({ kind: 'least-squares', because: 'each-their-own-way', residualDf: 3 });
  });

  it('has no fit without batches, without spare batches, or without any spread', () => {
    expect(fitMixedModel(modelSums(COOKING, []))).toEqual({ kind: 'none', because: 'no-batches' });
    expect(fitMixedModel(modelSums(COOKING, cooking(SOME.slice(0, 3))))).toEqual({
      kind: 'none',
      because: 'no-residual-df',
    });
    expect(
      fitMixedModel(
        modelSums(
          COOKING,
          cooking(SOME.map(([member, method, cut, hours]) => [member, method, cut, hours, 0.37])),
        ),
      ),
    ).toEqual({
      kind: 'none',
      because: 'no-spread',
    });
  });

  it('has no fit when every member repeats exactly what they got before', () => {
    const observations = groups([
      [0.4, 0.4, 0.4],
      [0.5, 0.5],
      [0.47, 0.47],
    ]);
    expect(fitMixedModel(modelSums(INTERCEPT_ONLY, observations))).toEqual({
      kind: 'none',
      because: 'no-spread-within-members',
    });
  });

  it('leaves a factor with one level out and still answers the other', () => {
    const fit = fitted(
      SOME.filter(([, , cut]) => cut === 'ground').concat([['c', 'oven', 'ground', 4, 0.44]]),
    );
    expect(fit.columns.map(({ kind }) => kind)).toEqual(['intercept', 'level', 'covariate']);
    expect(differenceBetween(fit, { levels: { method: 'pot' } }, { levels: { method: 'oven' } }).kind).toBe(
      'estimate',
    );
    expect(meanAt(fit, { levels: { cut: 'cubed' } })).toEqual({
      kind: 'never-used',
      factor: 'cut',
      level: 'cubed',
    });
  });

  it('names what an aliased level is confounded with and answers what it can', () => {
    // cubed fat went into the smoker only, and nothing else did
    const rows: readonly Row[] = SOME.map(([member, method, , hours, response]) => [
      member,
      method,
      'ground',
      hours,
      response,
    ]);
    const fit = fitted([...rows, ['a', 'smoker', 'cubed', 7, 0.33], ['b', 'smoker', 'cubed', 5, 0.3]]);
    const [alias] = aliasesOf(fit);
    expect(alias?.column).toMatchObject({ kind: 'level', factor: 'cut', level: 'cubed' });
    expect(alias?.with).toMatchObject([{ kind: 'level', factor: 'method', level: 'smoker' }]);
    const contrast = (first: string, second: string) =>
      differenceBetween(fit, { levels: { method: first } }, { levels: { method: second } }).kind;
    expect(contrast('pot', 'oven')).toBe('estimate');
    expect(contrast('pot', 'smoker')).toBe('confounded');
    expect(meanAt(fit, { levels: { method: 'smoker', cut: 'cubed' } }).kind).toBe('estimate');
    expect(meanAt(fit, { levels: { method: 'smoker', cut: 'ground' } }).kind).toBe('confounded');
  });

  it('agrees with nothing but itself about levels that nobody used', () => {
    expect(meanAt(fitted(SOME), { levels: { method: 'pressure' } })).toEqual({
      kind: 'never-used',
      factor: 'method',
      level: 'pressure',
    });
  });
});

function fitted(rows: readonly Row[]): Fit {
  const fit = fitMixedModel(modelSums(COOKING, cooking(rows)));
  if (fit.kind === 'none') throw new Error(`expected a fit: ${fit.because}`);
  return fit;
}

function withoutCovariates(observation: Observation): Observation {
  return { ...observation, covariates: [] };
}
