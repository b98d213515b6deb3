import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { loadsFor, MOST_LOADS } from '../../../src/cooking/water/loads.js';
import { fillLimit } from '../../../src/cooking/water/packing.js';
import { CUTS, METHODS } from '../../../src/words/methods.js';
import { G_PER_LB, ML_PER_US_CUP, ML_PER_US_QUART } from '../../../src/words/units.js';

const fivePounds = { fatG: 5 * G_PER_LB, waterMl: 16 * ML_PER_US_CUP, cut: 'ground' } as const;

const request = fc.record({
  fatG: fc.integer({ min: 100, max: 60_000 }),
  waterMl: fc.integer({ min: 0, max: 60_000 }),
  cut: fc.constantFrom(...CUTS.map(({ value }) => value)),
  method: fc.constantFrom(...METHODS.map(({ value }) => value)),
  vesselMl: fc.integer({ min: 1000, max: 200_000 }),
});

describe('loads', () => {
  it('divides what does not fit at once into equal parts, one after the other', () => {
    expect(loadsFor(fivePounds, 'open-pot', 6 * ML_PER_US_QUART)).toMatchObject({
      ok: true,
      loads: 2,
      fatGEach: 2.5 * G_PER_LB,
      waterMlEach: 8 * ML_PER_US_CUP,
    });
  });

  it('leaves alone what fits', () => {
    expect(loadsFor(fivePounds, 'open-pot', 10 * ML_PER_US_QUART)).toMatchObject({ ok: true, loads: 1 });
  });

  it('takes no vessel that nobody renders in', () => {
    expect(() => loadsFor(fivePounds, 'open-pot', 10)).toThrow(/vesselMl/);
    expect(() => loadsFor(fivePounds, 'open-pot', 1e6)).toThrow(/vesselMl/);
  });

  it('refuses more loads than a day holds and says what vessel would do', () => {
    const much = { ...fivePounds, fatG: 60_000, waterMl: 100_000 };
    const problem = loadsFor(much, 'open-pot', 2000);
    if (problem.ok) throw new Error('expected too many loads');
    expect(loadsFor(much, 'open-pot', problem.vesselMl)).toMatchObject({ ok: true, loads: MOST_LOADS });
  });

  it('fills no load beyond the limit, uses as few as it can, and loses nothing', () => {
    fc.assert(
      fc.property(request, (any) => {
        const answer = loadsFor(any, any.method, any.vesselMl);
        if (!answer.ok) return;
        const limit = fillLimit(any.method);
        expect(answer.filled).toBeLessThanOrEqual(limit + 1e-9);
        if (answer.loads > 1)
          expect((answer.filled * answer.loads) / (answer.loads - 1)).toBeGreaterThan(limit - 1e-9);
        expect(answer.fatGEach * answer.loads).toBeCloseTo(any.fatG, 6);
        expect(answer.waterMlEach * answer.loads).toBeCloseTo(any.waterMl, 6);
      }),
    );
  });

  it('takes no fewer loads for more fat', () => {
    fc.assert(
      fc.property(request, (any) => {
        const some = loadsFor(any, any.method, any.vesselMl);
        const more = loadsFor({ ...any, fatG: any.fatG * 1.5 }, any.method, any.vesselMl);
        if (some.ok && more.ok) expect(more.loads).toBeGreaterThanOrEqual(some.loads);
      }),
    );
  });

  it('names what is wrong with an impossible figure', () => {
    expect(() => loadsFor({ ...fivePounds, fatG: -1 }, 'open-pot', 5000)).toThrow(/fatG/);
    expect(() => loadsFor(fivePounds, 'open-pot', Number.NaN)).toThrow(/vesselMl/);
  });
});
