import { describe, expect, it } from 'vitest';
import { batchDesign, observationOf } from '../../../src/statistics/model/batch-design.js';
import { fitMixedModel } from '../../../src/statistics/model/mixed-model.js';
import { memberTotals, modelSums } from '../../../src/statistics/model/sufficient-statistics.js';
import { memberEffectInterval } from '../../../src/statistics/questions/member-effects.js';
import { normal, uniform } from '../seeded.js';

const DESIGN = batchDesign(['oven', 'smoker'], ['ground']);

/** Share of simulated communities in which the interval holds the first cook's true effect, of those that give one. */
function coverage(cooks: number, batchesEach: number, communities: number): number {
  const chance = uniform(41 * cooks + batchesEach);
  const drawn = normal(chance);
  let [given, held] = [0, 0];
  for (let one = 0; one < communities; one += 1) {
    const effects = Array.from({ length: cooks }, () => 0.04 * drawn());
    const batches = effects.flatMap((effect, cook) =>
      Array.from({ length: batchesEach }, () => {
        const fatG = 1000 * Math.exp(0.4 * drawn());
        return observationOf({
          member: `cook ${cook}`,
          method: chance() < 0.5 ? 'oven' : 'smoker',
          cut: 'ground',
          fatG,
          minutes: 180 + 60 * drawn(),
          tallowG: fatG * (0.48 + effect + 0.04 * drawn()),
        });
      }),
    );
    const fit = fitMixedModel(modelSums(DESIGN, batches));
    const totals = memberTotals(DESIGN, batches).get('cook 0');
    const [truth = Number.NaN] = effects;
    const interval = fit.kind === 'mixed' && totals ? memberEffectInterval(fit, totals) : undefined;
    if (interval === undefined) continue;
    given += 1;
    if (interval.low <= truth && truth <= interval.high) held += 1;
  }
  return held / given;
}

describe('the interval of a member’s effect', () => {
  it.each([
    [4, 6],
    [6, 5],
    [12, 5],
  ])('holds the truth 95 times in 100 with %i cooks of %i batches each', (cooks, batchesEach) => {
    const found = coverage(cooks, batchesEach, 2500);
    expect(found).toBeGreaterThan(0.93);
    expect(found).toBeLessThan(0.97);
  });

  it('is not given where no difference between cooks is detected', () => {
    const batches = [0, 1, 2, 3].flatMap((cook) =>
      [480, 500, 520].map((tallowG) =>
        observationOf({
          member: `cook ${cook}`,
          method: 'oven',
          cut: 'ground',
          fatG: 1000,
          minutes: 180,
          tallowG,
        }),
      ),
    );
    const fit = fitMixedModel(modelSums(DESIGN, batches));
    const totals = memberTotals(DESIGN, batches).get('cook 0');
    if (fit.kind !== 'mixed' || totals === undefined) throw new Error('expected a mixed fit');
    expect(memberEffectInterval(fit, totals)).toBeUndefined();
  });
});
