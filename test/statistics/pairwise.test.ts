import { describe, expect, it } from 'vitest';
import { batchDesign, observationOf } from '../../src/statistics/batch-design.js';
import { fitMixedModel } from '../../src/statistics/mixed-model.js';
import { comparedLevels, holmAdjusted, pairwiseContrasts } from '../../src/statistics/pairwise.js';
import { modelSums } from '../../src/statistics/sufficient-statistics.js';

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
