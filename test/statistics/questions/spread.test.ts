import { describe, expect, it } from 'vitest';
import { batchDesign, observationOf } from '../../../src/statistics/model/batch-design.js';
import { fitMixedModel } from '../../../src/statistics/model/mixed-model.js';
import { modelSums } from '../../../src/statistics/model/sufficient-statistics.js';
import { plannedSpread, spreadOf, USUAL_SPREAD } from '../../../src/statistics/questions/spread.js';
import { normal, uniform } from '../seeded.js';

const DESIGN = batchDesign(['open-pot'], ['ground']);

/** Cooks and batches that each spread by three points. */
function fitted(cooks: number, each: number) {
  const [draw, share] = [normal(uniform(5)), uniform(8)];
  const observations = Array.from({ length: cooks }, (_, cook) => {
    const own = 0.5 + 0.03 * draw();
    return Array.from({ length: each }, () => {
      const fatG = 1000 + 1000 * share();
      return observationOf({
        member: `m${cook}`,
        method: 'open-pot',
        cut: 'ground',
        fatG,
        minutes: 120 + 120 * share(),
        tallowG: fatG * (own + 0.03 * draw()),
      });
    });
  }).flat();
  return fitMixedModel(modelSums(DESIGN, observations));
}

describe('how much yields differ', () => {
  it('is what the fit found, and the usual before anything is logged', () => {
    const fit = fitted(40, 10);
    if (fit.kind !== 'mixed') throw new Error('expected a mixed fit');
    expect(spreadOf(fit)).toEqual({ batch: fit.sigma, member: fit.sigmaMember });
    expect(fit.sigma).toBeCloseTo(0.03, 2);
    expect(spreadOf({ kind: 'none', because: 'no-batches' })).toEqual(USUAL_SPREAD);
  });

  it('is parted between cooks and batches, not counted twice, where each cooked once', () => {
    const fit = fitted(60, 1);
    if (fit.kind !== 'least-squares') throw new Error('expected least squares');
    const { batch, member } = spreadOf(fit);
    expect(Math.hypot(batch, member)).toBeCloseTo(fit.sigma, 12);
  });

  it('is drawn towards the usual to plan with, the more the fewer batches found it', () => {
    const drawn = (cooks: number, each: number) => {
      const fit = fitted(cooks, each);
      const [found, planned] = [spreadOf(fit).batch, plannedSpread(fit).batch];
      return (planned - found) / (USUAL_SPREAD.batch - found);
    };
    expect(drawn(3, 3)).toBeGreaterThan(0.5);
    expect(drawn(40, 10)).toBeLessThan(0.05);
    expect(drawn(40, 10)).toBeGreaterThan(0);
  });
});
