import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { boilingAt } from '../../../src/cooking/heat/boiling.js';
import { workingOf } from '../../../src/cooking/working.js';
import { fahrenheitFromCelsius, KPA_PER_PSI, M_PER_FT } from '../../../src/words/units.js';

describe('how hot a render gets', () => {
  // Altitude-cooking table of extension services: 203 °F at 5,000 ft; a mile is a little higher.
  it('is about 202 °F at a mile, give or take the weather', () => {
    const boiling = boilingAt({ altitudeM: 5280 * M_PER_FT });
    if (!boiling.ok) throw new Error(boiling.problem);
    expect(Math.round(fahrenheitFromCelsius(boiling.boilC))).toBe(202);
    expect(boiling.boilHighC - boiling.boilC).toBeCloseTo(0.8, 1);
  });

  // Common practice: a pressure cooker runs near 240 °F.
  it('is near 240 °F at 10 psi', () => {
    const boiling = boilingAt({ altitudeM: 0, gaugeKPa: 10 * KPA_PER_PSI });
    if (!boiling.ok) throw new Error(boiling.problem);
    expect(Math.abs(fahrenheitFromCelsius(boiling.boilC) - 240)).toBeLessThan(1);
    const { lines } = workingOf([], [{ title: 'Cooker', calculation: boiling.calculation }]);
    expect(lines.join('\n')).toMatch(/With the gauge 170.3 kPa/);
  });

  it('is not said for 20 km up, nor for a gauge no cooker holds', () => {
    expect(boilingAt({ altitudeM: 20_000 })).toEqual({
      ok: false,
      problem: 'altitude-out-of-range',
      altitudeM: 20_000,
      lowM: -500,
      highM: 6000,
    });
    expect(boilingAt({ altitudeM: 0, gaugeKPa: 500 })).toMatchObject({ problem: 'gauge-out-of-range' });
    expect(boilingAt({ altitudeM: Number.NaN }).ok).toBe(false);
  });

  it('is in order for every kitchen', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -500, max: 6000, noNaN: true }),
        fc.double({ min: 0, max: 137, noNaN: true }),
        (altitudeM, gaugeKPa) => {
          const boiling = boilingAt({ altitudeM, gaugeKPa });
          if (!boiling.ok) throw new Error(boiling.problem);
          expect(boiling.boilLowC).toBeLessThan(boiling.boilC);
          expect(boiling.boilC).toBeLessThan(boiling.boilHighC);
        },
      ),
    );
  });
});
