import { describe, expect, it } from 'vitest';
import type { Design, Observation } from '../../../src/statistics/model/design.js';
import { differenceBetween, intervalOf } from '../../../src/statistics/model/linear-estimate.js';
import { fitMixedModel } from '../../../src/statistics/model/mixed-model.js';
import { modelSums } from '../../../src/statistics/model/sufficient-statistics.js';
import { batchesToShow, powerOf } from '../../../src/statistics/questions/power.js';
import type { Spread } from '../../../src/statistics/questions/spread.js';
import { normal, uniform } from '../seeded.js';

const DESIGN: Design = {
  factors: [{ name: 'method', levels: ['pot', 'pressure'] }],
  covariates: [],
  responseShift: 0.5,
};

/** Each of the members cooks by both methods in turn; pressure gives `difference` more. */
function simulate(members: number, each: number, difference: number, spread: Spread, draw: () => number) {
  return Array.from({ length: members }, (_, m): readonly Observation[] => {
    const own = 0.5 + spread.member * draw();
    return Array.from({ length: each }, (__, i) => ({
      member: `m${m}`,
      levels: [i % 2 === 0 ? 'pot' : 'pressure'],
      covariates: [],
      response: own + (i % 2) * difference + spread.batch * draw(),
    }));
  }).flat();
}

function shows(observations: readonly Observation[]): boolean {
  const fit = fitMixedModel(modelSums(DESIGN, observations));
  if (fit.kind === 'none') return false;
  const result = differenceBetween(fit, { levels: { method: 'pressure' } }, { levels: { method: 'pot' } });
  if (result.kind !== 'estimate') return false;
  const { low, high } = intervalOf(result);
  return low > 0 || high < 0;
}

describe('power', () => {
  it('agrees with a published value', () => {
    // Cohen (1988), Statistical Power Analysis, table 2.3.5, from memory: 64 in each of two groups show half a
    // standard deviation with probability 0.80
    expect(powerOf(0.5, Math.sqrt(2 / 64), 126)).toBeCloseTo(0.8, 2);
  });

  it('is the chance of a false alarm when there is no difference', () => {
    expect(powerOf(0, 0.1, 20)).toBeCloseTo(0.05, 10);
  });

  it('promises what simulated communities keep', () => {
    const draw = normal(uniform(5));
    for (const { difference, each, spread } of [
      { difference: 0.05, each: 4, spread: { batch: 0.05, member: 0.05 } },
      { difference: 0.08, each: 2, spread: { batch: 0.06, member: 0.1 } },
      { difference: 0.06, each: 3, spread: { batch: 0.05, member: 0.02 } },
    ]) {
      const plan = batchesToShow(difference, spread, { batchesEach: each });
      if (plan === undefined) throw new Error('expected a plan');
      const draws = 1500;
      let shown = 0;
      for (let k = 0; k < draws; k += 1)
        if (shows(simulate(plan.members, each, difference, spread, draw))) shown += 1;
      // Three standard errors of a simulated share are 0.03
      expect(Math.abs(shown / draws - plan.power)).toBeLessThan(0.03);
    }
  });

  it('asks for fewer batches the more is known, and for none when enough is', () => {
    const spread = { batch: 0.05 };
    const afresh = batchesToShow(0.05, spread)?.batches ?? Number.NaN;
    const further =
      batchesToShow(0.05, spread, { known: { standardError: 0.025, df: 30 } })?.batches ?? Number.NaN;
    expect(further).toBeLessThan(afresh);
    expect(batchesToShow(0.05, spread, { known: { standardError: 0.01, df: 60 } })?.batches).toBe(0);
  });

  it('gives up on differences too small to find, and refuses none at all', () => {
    expect(batchesToShow(0.0001, { batch: 0.05 })).toBeUndefined();
    expect(() => batchesToShow(0, { batch: 0.05 })).toThrow(RangeError);
    expect(() => batchesToShow(0.05, { batch: 0.05 }, { batchesEach: 1 })).toThrow(RangeError);
    expect(() => powerOf(0.1, 0, 5)).toThrow(RangeError);
  });
});
