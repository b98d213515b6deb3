import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Design, Observation } from '../../../src/statistics/model/design.js';
import { fitMixedModel } from '../../../src/statistics/model/mixed-model.js';
import {
  type CellSums,
  crossProducts,
  crossProductsOfCells,
  groupBySize,
  type MemberCellSums,
  memberTotals,
  memberTotalsOfCells,
  modelSums,
} from '../../../src/statistics/model/sufficient-statistics.js';
import { chooseTerms } from '../../../src/statistics/model/term-choice.js';

const DESIGN: Design = {
  factors: [
    { name: 'method', levels: ['pot', 'oven', 'smoker'] },
    { name: 'cut', levels: ['ground', 'cubed'] },
  ],
  covariates: [
    { name: 'weight', shift: 1 },
    { name: 'hours', shift: 4 },
  ],
  responseShift: 0.5,
};

const observation: fc.Arbitrary<Observation> = fc.record({
  member: fc.constantFrom('a', 'b', 'c', 'd', 'e'),
  levels: fc.tuple(fc.constantFrom('pot', 'oven', 'smoker'), fc.constantFrom('ground', 'cubed')),
  covariates: fc
    .tuple(fc.integer({ min: -8, max: 24 }), fc.integer({ min: 0, max: 64 }))
    .map(([weight, hours]) => [weight / 8, hours / 8]),
  response: fc.integer({ min: 8, max: 50 }).map((sixtyFourths) => sixtyFourths / 64),
});

/** What a database would answer to `group by method, cut` and to `group by member, method, cut`. */
function cells(observations: readonly Observation[]): {
  total: readonly CellSums[];
  members: readonly MemberCellSums[];
} {
  const sum = (group: readonly Observation[], value: (observation: Observation) => number) =>
    group.reduce((total, one) => total + value(one), 0);
  const groups = (key: (observation: Observation) => string) =>
    [...new Set(observations.map(key))].map((wanted) => observations.filter((one) => key(one) === wanted));
  const weight = ({ covariates }: Observation) => (covariates[0] ?? 0) - 1;
  const hours = ({ covariates }: Observation) => (covariates[1] ?? 0) - 4;
  const y = ({ response }: Observation) => response - 0.5;
  const shared = (group: readonly Observation[]) => ({
    levels: group[0]?.levels ?? [],
    batches: group.length,
    covariates: [sum(group, weight), sum(group, hours)],
    response: sum(group, y),
  });
  return {
    total: groups(({ levels }) => levels.join()).map((group) => ({
      ...shared(group),
      covariateProducts: [
        sum(group, (one) => weight(one) ** 2),
        sum(group, (one) => weight(one) * hours(one)),
        sum(group, (one) => hours(one) ** 2),
      ],
      covariateResponses: [
        sum(group, (one) => weight(one) * y(one)),
        sum(group, (one) => hours(one) * y(one)),
      ],
      responseSquares: sum(group, (one) => y(one) ** 2),
    })),
    members: groups(({ member, levels }) => [member, ...levels].join()).map((group) => ({
      member: group[0]?.member ?? '',
      ...shared(group),
    })),
  };
}

describe('sums for the model', () => {
  it('are the same from single batches and from sums by level, exactly where numbers allow', () => {
    // Eighths and sixty-fourths add up without rounding
    fc.assert(
      fc.property(fc.array(observation, { maxLength: 40 }), (observations) => {
        const { total, members } = cells(observations);
        expect(crossProductsOfCells(DESIGN, total)).toEqual(crossProducts(DESIGN, observations));
        expect(memberTotalsOfCells(DESIGN, members)).toEqual(memberTotals(DESIGN, observations));
      }),
    );
  });

  it('lead to the same fit whatever the order of the batches', () => {
    fc.assert(
      fc.property(fc.array(observation, { minLength: 12, maxLength: 40 }), (observations) => {
        const fit = fitMixedModel(modelSums(DESIGN, observations));
        const again = fitMixedModel(modelSums(DESIGN, observations.toReversed()));
        expect(again.kind).toBe(fit.kind);
        if (fit.kind === 'none' || again.kind === 'none') return;
        expect(again.criterion).toBeCloseTo(fit.criterion, 6);
      }),
      { numRuns: 50 },
    );
  });

  it('never lead to a number that is none', () => {
    fc.assert(
      fc.property(fc.array(observation, { maxLength: 30 }), (observations) => {
        const fit = fitMixedModel(modelSums(DESIGN, observations));
        if (fit.kind === 'none') return;
        expect(Number.isFinite(fit.criterion)).toBe(true);
        expect(fit.coefficients.to1DArray().every(Number.isFinite)).toBe(true);
        expect(fit.covariance.to1DArray().every(Number.isFinite)).toBe(true);
        expect(fit.covariance.diagonal().every((variance) => variance > 0)).toBe(true);
      }),
    );
  });

  it('give up terms without adding up again', () => {
    fc.assert(
      fc.property(fc.array(observation, { maxLength: 20 }), (observations) => {
        const fewer = chooseTerms(modelSums(DESIGN, observations), {
          factors: ['cut'],
          covariates: ['hours'],
        });
        const afresh = modelSums(
          fewer.design,
          observations.map((one) => ({
            ...one,
            levels: one.levels.slice(1),
            covariates: one.covariates.slice(1),
          })),
        );
        expect(fewer).toEqual(afresh);
      }),
    );
  });

  it('keep members with the same number of batches together', () => {
    const observations = ['a', 'b', 'b', 'c', 'd', 'd'].map((member) => ({
      member,
      levels: ['pot', 'ground'],
      covariates: [1, 4],
      response: 0.5,
    }));
    const groups = groupBySize(DESIGN, memberTotals(DESIGN, observations).values());
    expect(groups.map(({ batches, members }) => [batches, members])).toEqual([
      [1, 2],
      [2, 2],
    ]);
  });

  it('refuse levels that the design does not have and numbers that are none', () => {
    const one = { member: 'a', levels: ['pot', 'ground'], covariates: [1, 4], response: 0.5 };
    expect(() => modelSums(DESIGN, [{ ...one, levels: ['pan', 'ground'] }])).toThrow(
      'factor method has no level pan',
    );
    expect(() => modelSums(DESIGN, [{ ...one, response: Number.NaN }])).toThrow(RangeError);
    expect(() => modelSums(DESIGN, [{ ...one, covariates: [1, Number.POSITIVE_INFINITY] }])).toThrow(
      RangeError,
    );
  });
});
