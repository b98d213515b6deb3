import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { boilingAt } from '../../../src/cooking/heat/boiling.js';
import { boilingPointC } from '../../../src/cooking/heat/steam.js';
import { workingOf } from '../../../src/cooking/working.js';
import { fahrenheitFromCelsius, KPA_PER_PSI, M_PER_FT } from '../../../src/words/units.js';

describe('how hot a render gets', () => {
  // Altitude-cooking table of extension services: 203 °F at 5,000 ft; a mile is a little higher.
  it('is about 202 °F at a mile, give or take the weather', () => {
    const boiling = boilingAt({ altitudeM: 5280 * M_PER_FT });
    expect(Math.round(fahrenheitFromCelsius(boiling.boilC))).toBe(202);
    expect(boiling.boilHighC - boiling.boilC).toBeCloseTo(0.8, 1);
  });

  // Common practice: a pressure cooker runs near 240 °F.
  it('is near 240 °F at 10 psi', () => {
    const boiling = boilingAt({ altitudeM: 0, gaugeKPa: 10 * KPA_PER_PSI });
    expect(Math.abs(fahrenheitFromCelsius(boiling.boilC) - 240)).toBeLessThan(1);
    const { lines } = workingOf([], [{ title: 'Cooker', calculation: boiling.calculation }]);
    expect(lines.join('\n')).toMatch(/With the gauge 170.3 kPa/);
  });

  it('is not said for 20 km up, nor for a gauge no cooker holds', () => {
    for (const altitudeM of [-600, 20_000, Number.NaN])
      expect(() => boilingAt({ altitudeM })).toThrow(/altitudeM must be from -500 to 6000/);
    for (const gaugeKPa of [-1, 200, 500])
      expect(() => boilingAt({ altitudeM: 0, gaugeKPa })).toThrow(/gaugeKPa/);
  });

  it('is in order for every kitchen', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -500, max: 6000, noNaN: true }),
        fc.double({ min: 0, max: 137, noNaN: true }),
        (altitudeM, gaugeKPa) => {
          const boiling = boilingAt({ altitudeM, gaugeKPa });
          expect(boiling.boilLowC).toBeLessThan(boiling.boilC);
          expect(boiling.boilC).toBeLessThan(boiling.boilHighC);
        },
      ),
    );
  });
});

describe('a pressure cooker', () => {
  const cookerC = (gaugeKPa: number, altitudeM: number) => boilingAt({ altitudeM, gaugeKPa }).boilC;
  const cookerF = (psi: number, feet: number) =>
    fahrenheitFromCelsius(cookerC(psi * KPA_PER_PSI, feet * M_PER_FT));

  // Nominal pairs of canning and cooker literature, printed to the nearest 10 °F or so.
  it.each([
    [10, 240],
    [15, 250],
  ])('at %d psi at sea level runs near %d °F', (psi, nominalF) => {
    expect(Math.abs(cookerF(psi, 0) - nominalF)).toBeLessThan(1);
  });

  // A stored extension answer puts a "10 lb" weight at 10.5 psi and 240 °F.
  it('reaches 240 °F at 10.5 psi', () => {
    expect(Math.abs(cookerF(10.5, 0) - 240)).toBeLessThan(0.6);
  });

  // USDA dial-gauge rule as given in PNW 421: 11 psi to 2,000 ft, 12 to 4,000, 13 to 6,000, 14 to 8,000.
  it.each([
    [0, 10, 11],
    [2000, 11, 12],
    [4000, 12, 13],
    [6000, 13, 14],
    [8000, 14, 15],
    [10_000, 14.5, 15.5],
  ])('at %d ft needs between %d and %d psi for 240 °F', (feet, low, high) => {
    expect(cookerF(low, feet)).toBeLessThan(240);
    expect(cookerF(high, feet)).toBeGreaterThan(240);
  });

  // The older canning rule adds half a psi for each 1,000 ft.
  it('needs about half a psi more for each 1,000 ft', () => {
    expect(Math.abs(cookerF(10.3 + 8 * 0.5, 8000) - cookerF(10.3, 0))).toBeLessThan(1);
  });

  it('is hotter at a higher gauge and cooler at a higher altitude', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 130, noNaN: true }),
        fc.double({ min: -400, max: 5900, noNaN: true }),
        (gaugeKPa, altitudeM) => {
          const here = cookerC(gaugeKPa, altitudeM);
          expect(cookerC(gaugeKPa + 5, altitudeM)).toBeGreaterThan(here);
          expect(cookerC(gaugeKPa, altitudeM + 50)).toBeLessThan(here);
        },
      ),
    );
  });

  it('at gauge zero is an open pot', () => {
    expect(cookerC(0, 1500)).toBe(boilingPointC(1500));
  });
});
