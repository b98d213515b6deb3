import normalCdf from '@stdlib/stats-base-dists-normal-cdf';
import normalQuantile from '@stdlib/stats-base-dists-normal-quantile';
import tCdf from '@stdlib/stats-base-dists-t-cdf';
import { describe, expect, it } from 'vitest';
import {
  type Batch,
  batchDesign,
  covariateRanges,
  observationOf,
} from '../../../src/statistics/model/batch-design.js';
import { memberTotals, modelSums } from '../../../src/statistics/model/sufficient-statistics.js';
import {
  type ForecastBounds,
  forecastModel,
  forecastYield,
} from '../../../src/statistics/questions/forecast.js';
import { predictNewMember } from '../../../src/statistics/questions/predictions.js';
import { CUTS, METHODS } from '../reference-sets.js';
import { normal, uniform } from '../seeded.js';

const DESIGN = batchDesign(METHODS, CUTS);
/** Ground fat gives 36 to 60 % (common practice, no source). */
const BOUNDS: ForecastBounds = { commonPractice: { low: 0.36, high: 0.6 }, ceiling: 0.95 };
const REQUEST = { method: 'open pot wet', cut: 'ground', fatG: 2000, minutes: 180 };

/** Cooks that get 0.70 by the pot on average, a tenth more or less each, two hundredths from batch to batch. */
function community(cooks: number, batchesEach: number, seed = 3): readonly Batch[] {
  const draw = normal(uniform(seed));
  return Array.from({ length: cooks }, (_, cook) => {
    const own = 0.7 + 0.1 * draw();
    return Array.from({ length: batchesEach }, (__, i) => {
      const fatG = 1000 + 400 * ((cook + i) % 5);
      return {
        member: `m${cook}`,
        method: METHODS[i % 2] ?? '',
        cut: CUTS[(i >> 1) % 2] ?? '',
        fatG,
        minutes: 120 + 30 * ((3 * cook + i) % 4),
        tallowG: fatG * (own + 0.02 * draw()),
      };
    });
  }).flat();
}

function modelOf(batches: readonly Batch[]) {
  const observations = batches.map(observationOf);
  return {
    model: forecastModel(modelSums(DESIGN, observations), covariateRanges(DESIGN, observations)),
    totals: memberTotals(DESIGN, observations),
  };
}

describe('a forecast', () => {
  it('is common practice, said as such, when there are no batches', () => {
    const forecast = forecastYield(modelOf([]).model, REQUEST, BOUNDS);
    expect(forecast).toMatchObject({ basis: 'common-practice', trust: 0, ownShare: 0 });
    expect(forecast.expected).toBeCloseTo(0.48, 12);
    expect(forecast.low).toBeCloseTo(0.36, 12);
    expect(forecast.high).toBeCloseTo(0.6, 12);
  });

  it('is common practice for a method that nobody used', () => {
    const { model } = modelOf(community(10, 8));
    expect(forecastYield(model, { ...REQUEST, method: 'smoker dry' }, BOUNDS).basis).toBe('common-practice');
  });

  it('lies between common practice and the batches when these are few, and says how it is mixed', () => {
    const { model } = modelOf(community(4, 4));
    const forecast = forecastYield(model, REQUEST, BOUNDS);
    expect(forecast.basis).toBe('blend');
    expect(forecast.trust).toBeGreaterThan(0);
    expect(forecast.trust).toBeLessThan(1);
    expect(forecast.expected).toBeGreaterThan(0.48);
    expect(forecast.expected).toBeLessThan(0.75);
  });

  it('knows a member better than a newcomer', () => {
    const { model, totals } = modelOf(community(12, 8));
    const newcomer = forecastYield(model, REQUEST, BOUNDS);
    const member = forecastYield(model, { ...REQUEST, member: totals.get('m3') }, BOUNDS);
    expect(newcomer).toMatchObject({ basis: 'community', trust: 1, ownShare: 0 });
    expect(member).toMatchObject({ basis: 'own-history', trust: 1 });
    expect(member.ownShare).toBeGreaterThan(0.9);
    expect(member.high - member.low).toBeLessThan((newcomer.high - newcomer.low) / 2);
  });

  it('draws a short history further towards everyone', () => {
    const batches = community(12, 8);
    const short = modelOf(batches.filter(({ member }, i) => member !== 'm3' || i % 8 === 0));
    const forecast = forecastYield(short.model, { ...REQUEST, member: short.totals.get('m3') }, BOUNDS);
    const long = modelOf(batches);
    const longer = forecastYield(long.model, { ...REQUEST, member: long.totals.get('m3') }, BOUNDS);
    expect(forecast.ownShare).toBeLessThan(longer.ownShare);
  });

  it('goes by the only cook for that cook, and hardly at all for another', () => {
    const { model, totals } = modelOf(community(1, 40));
    expect(forecastYield(model, { ...REQUEST, member: totals.get('m0') }, BOUNDS)).toMatchObject({
      basis: 'own-history',
      ownShare: 1,
    });
    expect(forecastYield(model, REQUEST, BOUNDS).basis).toBe('common-practice');
  });

  it('takes the time that the method usually takes when none is given', () => {
    const batches = community(12, 8);
    const { model } = modelOf(batches);
    const { minutes: _, ...timeless } = REQUEST;
    const own = batches.filter(({ method }) => method === REQUEST.method);
    const usual = own.reduce((sum, { minutes }) => sum + minutes, 0) / own.length;
    expect(forecastYield(model, timeless, BOUNDS).expected).toBeCloseTo(
      forecastYield(model, { ...REQUEST, minutes: usual }, BOUNDS).expected,
      10,
    );
  });

  /** Batches that differ in nothing but cook, method and yield, with some spread in weight and time. */
  const plain = (rows: readonly (readonly [string, string, number])[]): readonly Batch[] =>
    rows.map(([member, method, share], i) => {
      const fatG = 1000 + 150 * (i % 4);
      return { member, method, cut: 'ground', fatG, minutes: 150 + 15 * (i % 3), tallowG: fatG * share };
    });

  it('is hardly wider than common practice when it rests on little else', () => {
    const { model } = modelOf(
      plain([
        ['a', 'open pot wet', 0.44],
        ['a', 'open pot wet', 0.47],
        ['a', 'open pot wet', 0.45],
        ['b', 'open pot wet', 0.5],
        ['b', 'oven dry', 0.46],
      ]),
    );
    const forecast = forecastYield(model, REQUEST, BOUNDS);
    expect(forecast.basis).toBe('blend');
    expect(forecast.trust).toBeLessThan(0.1);
    expect(forecast.low).toBeGreaterThan(0.34);
    expect(forecast.high).toBeLessThan(0.62);
  });

  it('goes between the quantiles of the mixture that it is', () => {
    const { model } = modelOf(community(4, 4));
    const { low, high, trust } = forecastYield(model, REQUEST, BOUNDS);
    const { fit } = model;
    if (fit === undefined) throw new Error('expected a fit');
    const own = predictNewMember(fit, {
      levels: { method: REQUEST.method, cut: REQUEST.cut },
      covariates: { log_fat_kg: Math.log(2), hours: 3 },
    });
    if (own.kind !== 'prediction') throw new Error('expected a prediction');
    const usualSd = 0.12 / normalQuantile(0.9, 0, 1);
    const below = (y: number) =>
      trust * tCdf((y - own.estimate) / own.predictionSd, own.predictionDf) +
      (1 - trust) * normalCdf(y, 0.48, usualSd);
    expect(below(low)).toBeCloseTo(0.1, 9);
    expect(below(high)).toBeCloseTo(0.9, 9);
  });

  it('reckons with the heaviest and the longest that was logged, beyond that, and says so', () => {
    const batches = community(12, 8);
    const { model } = modelOf(batches);
    const most = { fatG: Math.max(...batches.map(({ fatG }) => fatG)), minutes: 210 };
    const edge = forecastYield(model, { ...REQUEST, ...most }, BOUNDS);
    const beyond = forecastYield(model, { ...REQUEST, fatG: 200_000, minutes: 2880 }, BOUNDS);
    expect(beyond).toMatchObject({ low: edge.low, expected: edge.expected, high: edge.high });
    expect(Math.exp(beyond.beyond.log_fat_kg ?? 0)).toBeCloseTo(most.fatG / 1000, 9);
    expect(beyond.beyond.hours).toBeCloseTo(3.5, 9);
    expect(edge.beyond).toEqual({});
  });

  it('leans on common practice where hardly any batch speaks for the method and the cut', () => {
    const batches = community(12, 8);
    const smoked = { ...batches[0], method: 'smoker dry', cut: 'cubed', tallowG: 700, fatG: 1000 };
    const rare = (copies: number) =>
      modelOf([
        ...batches,
        ...Array.from({ length: copies }, (_, i) => ({
          minutes: 150 + 20 * i,
          ...smoked,
          member: `m${i}`,
          tallowG: 700 + 13 * i,
        })),
      ]).model;
    const trustIn = (copies: number) =>
      forecastYield(rare(copies), { ...REQUEST, method: 'smoker dry', cut: 'cubed' }, BOUNDS).trust;
    expect(trustIn(1)).toBeLessThan(0.5);
    expect(trustIn(2)).toBeGreaterThan(trustIn(1));
    expect(trustIn(6)).toBe(1);
  });

  it('knows that cooks differ where each has a way of their own', () => {
    const rows = ['a', 'b', 'c', 'd', 'e', 'f'].flatMap((member, cook) =>
      [0, 1, 2, 3, 4, 5, 6, 7].map(
        (i) => [member, METHODS[cook] ?? '', 0.45 + 0.02 * cook + 0.01 * ((i * i + cook) % 4)] as const,
      ),
    );
    const { model, totals } = modelOf(plain(rows));
    expect(model.fit).toMatchObject({ kind: 'least-squares', because: 'each-their-own-way' });
    const newcomer = forecastYield(model, REQUEST, BOUNDS);
    const own = forecastYield(model, { ...REQUEST, member: totals.get('a') }, BOUNDS);
    const another = forecastYield(model, { ...REQUEST, member: totals.get('b') }, BOUNDS);
    expect(own).toMatchObject({ basis: 'own-history', ownShare: 1 });
    expect(newcomer.high - newcomer.low).toBeGreaterThan(0.15);
    expect(another.high - another.low).toBeGreaterThan(0.15);
    expect(own.high - own.low).toBeLessThan(0.05);
  });

  it('never leaves what raw fat can give', () => {
    const { model } = modelOf(community(12, 8));
    const forecast = forecastYield(model, REQUEST, { ...BOUNDS, ceiling: 0.71, level: 0.99 });
    expect(forecast.high).toBe(0.71);
    expect(forecast.low).toBeGreaterThanOrEqual(0);
    expect(forecast.expected).toBeLessThanOrEqual(0.71);
  });

  it('forecasts without the time when time cannot be told from the method', () => {
    const batches = community(12, 8).map((batch) => ({
      ...batch,
      minutes: batch.method === 'open pot wet' ? 180 : 60,
    }));
    const { model } = modelOf(batches);
    expect(model.choice.covariates).toEqual(['log_fat_kg']);
    expect(forecastYield(model, REQUEST, BOUNDS)).toMatchObject({ basis: 'community', trust: 1 });
  });

  it('refuses weights, levels and ceilings that cannot be', () => {
    const { model } = modelOf([]);
    expect(() => forecastYield(model, { ...REQUEST, fatG: 0 }, BOUNDS)).toThrow(RangeError);
    expect(() => forecastYield(model, REQUEST, { ...BOUNDS, level: 1 })).toThrow(RangeError);
    expect(() => forecastYield(model, REQUEST, { ...BOUNDS, ceiling: 1.1 })).toThrow(RangeError);
  });
});
