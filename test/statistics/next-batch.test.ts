import { describe, expect, it } from 'vitest';
import { batchCandidates, batchDesign, observationOf } from '../../src/statistics/batch-design.js';
import { differenceBetween } from '../../src/statistics/linear-estimate.js';
import { fitMixedModel } from '../../src/statistics/mixed-model.js';
import {
  bestNextBatches,
  comparisonError,
  comparisonsOf,
  rankNextBatches,
} from '../../src/statistics/next-batch.js';
import { spreadOf, USUAL_SPREAD } from '../../src/statistics/spread.js';
import { memberTotals, modelSums } from '../../src/statistics/sufficient-statistics.js';
import {
  CUTS,
  METHODS,
  readReferenceBatches,
  referenceSetsAreHere,
  relativeError,
} from './reference-sets.js';

const DESIGN = batchDesign(METHODS, CUTS);
const [POT, PRESSURE, SLOW] = METHODS;
const POT_OR_PRESSURE = { factor: 'method', first: POT, second: PRESSURE };

/** member, method, fat in g */
function cooked(batches: readonly (readonly [string, string, number])[]) {
  return batches.map(([member, method, fatG], i) =>
    observationOf({
      member,
      method,
      cut: 'ground',
      fatG,
      minutes: 180 + 10 * (i % 3),
      tallowG: fatG * (0.5 + 0.02 * (i % 4)),
    }),
  );
}

const SOME = cooked([
  ['a', POT, 1000],
  ['a', POT, 2000],
  ['a', PRESSURE, 1500],
  ['b', POT, 1200],
  ['b', POT, 2500],
  ['b', POT, 1800],
  ['c', PRESSURE, 3000],
  ['c', PRESSURE, 2200],
  ['d', POT, 1600],
]);

describe('one more batch', () => {
  it('is worth what it turns out to be worth once it is cooked', () => {
    const sums = modelSums(DESIGN, SOME);
    for (const member of ['b', 'new']) {
      const [batch] = cooked([[member, PRESSURE, 2000]]);
      if (batch === undefined) throw new Error('expected a batch');
      const [expected] = rankNextBatches(
        sums,
        POT_OR_PRESSURE,
        memberTotals(DESIGN, SOME).get(member),
        [batch],
        USUAL_SPREAD,
      );
      const afterwards = comparisonError(modelSums(DESIGN, [...SOME, batch]), POT_OR_PRESSURE, USUAL_SPREAD);
      expect(expected?.standardErrorAfter).toBeCloseTo(afterwards ?? Number.NaN, 12);
    }
  });

  it('narrows the comparison, the best first', () => {
    const sums = modelSums(DESIGN, SOME);
    const totals = memberTotals(DESIGN, SOME);
    const before = comparisonError(sums, POT_OR_PRESSURE, USUAL_SPREAD) ?? Number.NaN;
    const candidates = batchCandidates(METHODS, ['ground'], [1000, 2000, 4000]);
    const ranked = rankNextBatches(sums, POT_OR_PRESSURE, totals.get('b'), candidates, USUAL_SPREAD);
    expect(ranked.length).toBeGreaterThan(3);
    for (const { standardError, standardErrorAfter } of ranked) {
      expect(standardError).toBe(before);
      expect(standardErrorAfter).toBeLessThan(before);
    }
    expect(ranked.map(({ standardErrorAfter }) => standardErrorAfter)).toEqual(
      ranked.map(({ standardErrorAfter }) => standardErrorAfter).toSorted((x, y) => x - y),
    );
  });

  it('is best cooked by someone who knows the other way', () => {
    const sums = modelSums(DESIGN, SOME);
    const totals = memberTotals(DESIGN, SOME);
    const [best] = rankNextBatches(
      sums,
      POT_OR_PRESSURE,
      totals.get('b'),
      batchCandidates([POT, PRESSURE], ['ground'], [1800]),
      USUAL_SPREAD,
    );
    expect(best).toMatchObject({
      reason: 'same-cook-both-ways',
      candidate: { levels: [PRESSURE, 'ground'] },
    });
  });

  it('makes a comparison possible that was not', () => {
    const sums = modelSums(DESIGN, SOME);
    const candidates = batchCandidates([POT, SLOW], ['ground'], [2000]);
    const best = bestNextBatches(
      sums,
      comparisonsOf('method', [POT, PRESSURE, SLOW]),
      memberTotals(DESIGN, SOME).get('a'),
      candidates,
      USUAL_SPREAD,
    );
    expect(best?.comparison).toEqual({ factor: 'method', first: POT, second: SLOW });
    expect(best?.batches).toMatchObject([
      { reason: 'makes-it-possible', standardError: undefined, candidate: { levels: [SLOW, 'ground'] } },
    ]);
  });

  it('has no comparison to narrow when nobody cooked anything', () => {
    const nothing = modelSums(DESIGN, []);
    expect(comparisonError(nothing, POT_OR_PRESSURE, USUAL_SPREAD)).toBeUndefined();
    const candidates = batchCandidates([POT], ['ground'], [2000]);
    expect(bestNextBatches(nothing, [POT_OR_PRESSURE], undefined, candidates, USUAL_SPREAD)).toBeUndefined();
  });

  it.skipIf(!referenceSetsAreHere)('starts from the standard error of the fit', () => {
    const sums = modelSums(DESIGN, readReferenceBatches('typical').map(observationOf));
    const fit = fitMixedModel(sums);
    if (fit.kind === 'none') throw new Error('expected a fit');
    const difference = differenceBetween(
      fit,
      { levels: { method: POT } },
      { levels: { method: PRESSURE } },
      'satterthwaite',
    );
    if (difference.kind !== 'estimate') throw new Error('expected an estimate');
    const error = comparisonError(sums, POT_OR_PRESSURE, spreadOf(fit)) ?? Number.NaN;
    expect(relativeError(error, difference.standardError)).toBeLessThan(1e-9);
  });
});
