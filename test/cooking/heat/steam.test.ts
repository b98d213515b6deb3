import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { boilingPointC, saturationTemperatureC } from '../../../src/cooking/heat/steam.js';
import { fahrenheitFromCelsius, M_PER_FT } from '../../../src/words/units.js';

const boilingF = (feet: number) => fahrenheitFromCelsius(boilingPointC(feet * M_PER_FT));

describe('the boiling line of water', () => {
  // IAPWS R7-97, table 36, all printed digits.
  it.each([
    [0.1, '0.372755919e3'],
    [1, '0.453035632e3'],
    [10, '0.584149488e3'],
  ])('under %d MPa water boils at %s K', (pressureMPa, printed) => {
    const kelvin = saturationTemperatureC(pressureMPa * 1000) + 273.15;
    expect(Number(kelvin.toPrecision(9))).toBe(Number(printed));
  });

  it('puts the standard atmosphere at 99.974 °C, not at 100 (computed from IAPWS R7-97)', () => {
    expect(saturationTemperatureC(101.325)).toBeCloseTo(99.9743, 4);
    expect(fahrenheitFromCelsius(boilingPointC(0))).toBeLessThan(212);
  });

  it('names its range when asked beyond it', () => {
    for (const pressureKPa of [0, 22_065, Number.NaN])
      expect(() => saturationTemperatureC(pressureKPa)).toThrow(/0.6112 to 22064/);
  });
});

describe('boiling point by altitude', () => {
  it.each([
    [0, 212, 'all tables'],
    [2000, 208, 'USDA FSIS, high-altitude cooking'],
    [5000, 203, 'extension services, altitude-cooking table'],
    [7500, 198, 'FoodSafety.gov, high-altitude page'],
    [10_000, 194, 'extension services, altitude-cooking table'],
    [15_000, 185, 'extension services, altitude-cooking table'],
  ])('at %d ft it is %d °F within 0.6 (%s)', (feet, printedF) => {
    expect(Math.abs(boilingF(feet) - printedF)).toBeLessThanOrEqual(0.6);
  });

  it('is about 202.3 °F at a mile', () => {
    expect(boilingF(5280)).toBeCloseTo(202.3, 1);
  });

  it('falls as the altitude rises', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -500, max: 5900, noNaN: true }),
        fc.double({ min: 0.1, max: 100, noNaN: true }),
        (altitudeM, moreM) => {
          expect(boilingPointC(altitudeM + moreM)).toBeLessThan(boilingPointC(altitudeM));
        },
      ),
    );
  });

  it('refuses an altitude of 20 km by naming the range', () => {
    expect(() => boilingPointC(20_000)).toThrow(/-2000 to 11000/);
  });
});
