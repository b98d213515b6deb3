import { describe, expect, it } from 'vitest';
import { batchCandidates, batchDesign, observationOf } from '../../../src/statistics/model/batch-design.js';
import type { Observation } from '../../../src/statistics/model/design.js';
import { differenceBetween } from '../../../src/statistics/model/linear-estimate.js';
import { fitMixedModel } from '../../../src/statistics/model/mixed-model.js';
import { memberTotals, modelSums } from '../../../src/statistics/model/sufficient-statistics.js';
import {
  bestNextBatches,
  type Candidate,
  comparisonError,
  comparisonsOf,
  rankNextBatches,
} from '../../../src/statistics/questions/next-batch.js';
import { spreadOf, USUAL_SPREAD } from '../../../src/statistics/questions/spread.js';
import { CUTS, METHODS, readReferenceBatches, relativeError } from '../reference-sets.js';

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

/** A batch as it is proposed: the same levels, weight and time. */
const asCandidate = ({ levels, covariates: [logFatKg = 0, hours = 0] }: Observation): Candidate => ({
  levels,
  covariates: { log_fat_kg: logFatKg, hours },
});

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
        [asCandidate(batch)],
        USUAL_SPREAD,
      );
      const afterwards = comparisonError(modelSums(DESIGN, [...SOME, batch]), POT_OR_PRESSURE, USUAL_SPREAD);
      expect(expected?.standardErrorAfter).toBeCloseTo(afterwards ?? Number.NaN, 12);
    }
  });

  it('is worth the same whether it is foretold or cooked, for every cook, way and weight', () => {
    const sums = modelSums(DESIGN, SOME);
    const [, , , ...others] = METHODS;
    for (const member of ['a', 'b', 'c', 'd', 'new'])
      for (const method of METHODS)
        for (const fatG of [700, 1700, 5000]) {
          const [batch] = cooked([[member, method, fatG]]);
          if (batch === undefined) throw new Error('expected a batch');
          const before = comparisonError(sums, POT_OR_PRESSURE, USUAL_SPREAD) ?? Number.NaN;
          const after =
            comparisonError(modelSums(DESIGN, [...SOME, batch]), POT_OR_PRESSURE, USUAL_SPREAD) ?? Number.NaN;
          const [foretold] = rankNextBatches(
            sums,
            POT_OR_PRESSURE,
            memberTotals(DESIGN, SOME).get(member),
            [asCandidate(batch)],
            USUAL_SPREAD,
          );
          expect(foretold?.standardErrorAfter ?? before).toBeCloseTo(after, foretold ? 12 : 4);
          // A way that nobody has tried yet says nothing of the two.
          if (others.some((other) => other === method)) expect(foretold).toBeUndefined();
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

  it('is for a comparison that it narrows noticeably, before one that is known worse', () => {
    const crowded = [...Array(60).keys()].map((at) => [`m${at % 6}`, POT, 900 + 31 * at] as const);
    const fewer = [...Array(12).keys()].map((at) => [`m${at % 6}`, PRESSURE, 1200 + 97 * at] as const);
    const one = [['m5', SLOW, 1800] as const];
    const batches = cooked([...crowded, ...fewer, ...one]);
    const sums = modelSums(DESIGN, batches);
    const candidates = batchCandidates([PRESSURE], ['ground'], [1500, 2000]);
    const wanted = comparisonsOf('method', [POT, PRESSURE, SLOW]);
    const falls = wanted.map((comparison) => {
      const [best] = rankNextBatches(sums, comparison, undefined, candidates, USUAL_SPREAD);
      const now = comparisonError(sums, comparison, USUAL_SPREAD) ?? Number.NaN;
      return { comparison, now, fall: 1 - (best?.standardErrorAfter ?? now) / now };
    });
    const best = bestNextBatches(sums, wanted, undefined, candidates, USUAL_SPREAD);
    const chosen = falls.find(({ comparison }) => comparison === best?.comparison);
    const wider = falls.filter(({ now }) => now > (chosen?.now ?? Number.NaN));
    expect(chosen?.fall).toBeGreaterThan(0.01);
    expect(wider.length).toBeGreaterThan(0);
    for (const { fall } of wider) expect(fall).toBeLessThan(0.01);
  });

  it('has no comparison to narrow when nobody cooked anything', () => {
    const nothing = modelSums(DESIGN, []);
    expect(comparisonError(nothing, POT_OR_PRESSURE, USUAL_SPREAD)).toBeUndefined();
    const candidates = batchCandidates([POT], ['ground'], [2000]);
    expect(bestNextBatches(nothing, [POT_OR_PRESSURE], undefined, candidates, USUAL_SPREAD)).toBeUndefined();
  });

  it('starts from the standard error of the fit', () => {
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
