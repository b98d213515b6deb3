import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type ReportValue, referenceReport } from '../../src/spreadsheet/reference-report.js';
import {
  type Batch,
  batchDesign,
  covariateRanges,
  observationOf,
} from '../../src/statistics/model/batch-design.js';
import { covariateEffect, intervalOf } from '../../src/statistics/model/linear-estimate.js';
import { memberSums } from '../../src/statistics/model/member-sums.js';
import { fitMixedModel } from '../../src/statistics/model/mixed-model.js';
import { memberTotals, modelSums } from '../../src/statistics/model/sufficient-statistics.js';
import { forecastModel, forecastYield } from '../../src/statistics/questions/forecast.js';
import { oddBatches } from '../../src/statistics/questions/odd-batches.js';
import { marginalMeans, pairwiseContrasts } from '../../src/statistics/questions/pairwise.js';
import { pooledYield } from '../../src/statistics/questions/pooled-yield.js';
import { CUTS, METHODS } from './reference-sets.js';

const DESIGN = batchDesign(METHODS, CUTS);

/** Few cooks, few ways, round weights and times: ties, gaps and confounding are the rule. */
const batch: fc.Arbitrary<Batch> = fc.record({
  member: fc.constantFrom('a', 'b', 'c', 'd'),
  method: fc.constantFrom(...METHODS.slice(0, 4)),
  cut: fc.constantFrom(...CUTS),
  fatG: fc.constantFrom(500, 1000, 2000, 4000),
  minutes: fc.constantFrom(60, 120, 240),
  tallowG: fc.integer({ min: 0, max: 4000 }),
});

/** Where each cook's yields are the same, or all are: spreads of exactly 0. */
const steady: fc.Arbitrary<Batch> = batch.map(({ tallowG, ...rest }) => ({
  ...rest,
  tallowG: rest.fatG * (tallowG % 2 === 0 ? 0.5 : 0.5 + 0.125 * (rest.member.charCodeAt(0) % 4)),
}));

const community = fc.oneof(
  fc.array(batch, { maxLength: 40 }),
  fc.array(steady, { maxLength: 25 }),
  fc.array(batch, { maxLength: 12 }).map((batches) => batches.map((one, i) => ({ ...one, member: `m${i}` }))),
);

function* numbers(value: ReportValue | undefined): Generator<number> {
  if (typeof value === 'number') yield value;
  else if (typeof value === 'object' && value !== null)
    for (const part of Object.values(value)) yield* numbers(part);
}

// Shrinking a community of forty batches takes minutes and seldom makes it simpler
const endOnFailure = true;

describe('any community', () => {
  it('gets an answer or a reason, and every number in it is one', () => {
    fc.assert(
      fc.property(community, (batches) => {
        const numbered = batches.map((one, i) => ({ ...one, batch: i + 1 }));
        const report = referenceReport(numbered, METHODS, CUTS, [
          { method: METHODS[0], cut: 'ground', fatG: 1500, minutes: 90 },
        ]);
        expect([...numbers(report)].filter((number) => !Number.isFinite(number))).toEqual([]);
      }),
      { numRuns: 300, seed: 4, endOnFailure },
    );
  });

  it('gets intervals with their estimates inside', () => {
    fc.assert(
      fc.property(community, (batches) => {
        const pooled = pooledYield(memberSums(batches).values());
        if (pooled.kind === 'pooled' && pooled.interval.kind === 'interval') {
          expect(pooled.interval.low).toBeLessThanOrEqual(pooled.estimate);
          expect(pooled.interval.high).toBeGreaterThanOrEqual(pooled.estimate);
          expect(pooled.interval.df).toBeLessThanOrEqual(pooled.members);
        }
        const fit = fitMixedModel(modelSums(DESIGN, batches.map(observationOf)));
        if (fit.kind === 'none') return;
        for (const method of ['kenward-roger', 'satterthwaite'] as const) {
          const estimates = [
            covariateEffect(fit, 'hours', 1, method),
            ...['method', 'cut'].flatMap((factor) => [
              ...marginalMeans(fit, factor, method).map(({ mean }) => mean),
              ...pairwiseContrasts(fit, factor, method).map(({ difference }) => difference),
            ]),
          ];
          for (const estimate of estimates) {
            if (estimate.kind !== 'estimate') continue;
            const { low, high } = intervalOf(estimate);
            expect(low).toBeLessThanOrEqual(estimate.estimate);
            expect(high).toBeGreaterThanOrEqual(estimate.estimate);
          }
        }
      }),
      { numRuns: 300, seed: 5, endOnFailure },
    );
  });

  it('gets forecasts between nothing and what raw fat can hold', () => {
    fc.assert(
      fc.property(community, (batches) => {
        const observations = batches.map(observationOf);
        const model = forecastModel(modelSums(DESIGN, observations), covariateRanges(DESIGN, observations));
        for (const member of [undefined, memberTotals(DESIGN, observations).get('a')])
          for (const method of METHODS) {
            const { low, expected, high } = forecastYield(
              model,
              { method, cut: 'ground', fatG: 1500, member },
              { commonPractice: { low: 0.36, high: 0.6 }, ceiling: 0.95 },
            );
            expect(low).toBeGreaterThanOrEqual(0);
            expect(expected).toBeGreaterThanOrEqual(low);
            expect(high).toBeGreaterThanOrEqual(expected);
            expect(high).toBeLessThanOrEqual(0.95);
          }
      }),
      { numRuns: 150, seed: 6, endOnFailure },
    );
  });

  it('is searched for odd batches whatever it holds', () => {
    fc.assert(
      fc.property(community, (batches) => {
        for (const { index } of oddBatches(DESIGN, batches.map(observationOf), 0.95))
          expect(batches[index]).toBeDefined();
      }),
      { numRuns: 100, seed: 7, endOnFailure },
    );
  });
});
