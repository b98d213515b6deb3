import { describe, expect, it } from 'vitest';
import { type Batch, batchDesign, observationOf } from '../../../src/statistics/model/batch-design.js';
import { fitMixedModel } from '../../../src/statistics/model/mixed-model.js';
import { modelSums } from '../../../src/statistics/model/sufficient-statistics.js';
import {
  comparableMeans,
  comparedLevels,
  holmAdjusted,
  type LevelMean,
  marginalMeans,
  pairwiseContrasts,
} from '../../../src/statistics/questions/pairwise.js';

describe('pairwise contrasts', () => {
  it("adjust p values by Holm's steps, in the order given", () => {
    // By the definition: 0.01 × 4, then 0.02 × 3, then 0.03 × 2, which equals the one before, then 0.05 and not less
    for (const [i, adjusted] of holmAdjusted([0.03, 0.01, 0.05, 0.02]).entries())
      expect(adjusted).toBeCloseTo([0.06, 0.04, 0.06, 0.06][i] ?? Number.NaN, 12);
    expect(holmAdjusted([0.9, 0.8])).toEqual([1, 1]);
    expect(holmAdjusted([])).toEqual([]);
  });

  it('have nothing to compare when there is one level', () => {
    const batches = [0.5, 0.52, 0.47, 0.45].map((share, i) => ({
      member: i < 2 ? 'a' : 'b',
      method: 'pot',
      cut: i % 2 === 0 ? 'ground' : 'cubed',
      fatG: 1000 + 100 * i,
      minutes: 120,
      tallowG: (1000 + 100 * i) * share,
    }));
    const sums = modelSums(batchDesign(['pot', 'oven'], ['ground', 'cubed']), batches.map(observationOf));
    const fit = fitMixedModel(sums);
    if (fit.kind === 'none') throw new Error('expected a fit');
    expect(comparedLevels(fit, 'method')).toEqual(['pot']);
    expect(pairwiseContrasts(fit, 'method')).toEqual([]);
    expect(() => comparedLevels(fit, 'vessel')).toThrow(RangeError);
  });
});

describe('comparable means', () => {
  const METHODS = ['pot', 'oven', 'smoker'];
  const CUTS = ['ground', 'minced', 'cubed'];
  const regular = ['a', 'b', 'c', 'd'].flatMap((member, cook) =>
    [0, 1, 2, 3, 4, 5].map((i) => {
      const fatG = 1000 + 130 * ((i + cook) % 5);
      return {
        member,
        method: METHODS[i % 2] ?? '',
        cut: CUTS[(i >> 1) % 2] ?? '',
        fatG,
        minutes: 150 + 20 * ((i * i + cook) % 4),
        tallowG: fatG * (0.45 + 0.02 * ((3 * i + 2 * cook) % 5)),
      };
    }),
  );
  const smoked = {
    ...regular[0],
    member: 'e',
    method: 'smoker',
    cut: 'cubed',
    fatG: 1200,
    minutes: 200,
    tallowG: 500,
  };
  const fitOf = (batches: readonly Batch[]) => {
    const fit = fitMixedModel(modelSums(batchDesign(METHODS, CUTS), batches.map(observationOf)));
    if (fit.kind === 'none') throw new Error('expected a fit');
    return fit;
  };
  const estimates = (means: readonly LevelMean[]) =>
    means.map(({ level, mean }) => [level, mean.kind === 'estimate' ? mean.estimate : undefined] as const);

  it('are the adjusted means where these can be told', () => {
    const fit = fitOf(regular);
    expect(comparableMeans(fit, 'method')).toEqual({ means: marginalMeans(fit, 'method'), over: undefined });
  });

  it('leave out a cut that only one method was used with, rather than tell none', () => {
    const fit = fitOf([...regular, smoked]);
    expect(estimates(marginalMeans(fit, 'method')).every(([, mean]) => mean === undefined)).toBe(true);
    const { means, over } = comparableMeans(fit, 'method');
    expect(over).toEqual(['ground', 'minced']);
    const [pot, oven, smoker] = estimates(means);
    expect(smoker).toEqual(['smoker', undefined]);
    // The smoked batch says nothing of the others: what is left is their own mean at a slightly different average.
    const without = estimates(marginalMeans(fitOf(regular), 'method'));
    expect(pot?.[1]).toBeCloseTo(without[0]?.[1] ?? Number.NaN, 2);
    expect((pot?.[1] ?? 0) - (oven?.[1] ?? 0)).toBeCloseTo(
      (without[0]?.[1] ?? 0) - (without[1]?.[1] ?? 0),
      6,
    );
  });
});
