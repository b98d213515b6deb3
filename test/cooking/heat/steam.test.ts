import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  boilingPointC,
  gaugeKPaForC,
  pressureCookerC,
  saturationPressureKPa,
  saturationTemperatureC,
} from '../../../src/cooking/heat/steam.js';
import {
  celsiusFromFahrenheit,
  fahrenheitFromCelsius,
  KPA_PER_PSI,
  M_PER_FT,
} from '../../../src/words/units.js';

const boilingF = (feet: number) => fahrenheitFromCelsius(boilingPointC(feet * M_PER_FT));
const cookerF = (psi: number, feet: number) =>
  fahrenheitFromCelsius(pressureCookerC(psi * KPA_PER_PSI, feet * M_PER_FT));

describe('the boiling line of water', () => {
  // IAPWS R7-97, table 35, all printed digits.
  it.each([
    [300, '0.353658941e-2'],
    [500, '0.263889776e1'],
    [600, '0.123443146e2'],
  ])('at %d K water boils under %s MPa', (kelvin, printed) => {
    const pressureMPa = saturationPressureKPa(kelvin - 273.15) / 1000;
    expect(Number(pressureMPa.toPrecision(9))).toBe(Number(printed));
  });

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

  it('reads the same both ways', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 373.9, noNaN: true }), (temperatureC) => {
        expect(saturationTemperatureC(saturationPressureKPa(temperatureC))).toBeCloseTo(temperatureC, 4);
      }),
    );
  });

  it('names its range when asked beyond it', () => {
    for (const temperatureC of [-0.01, 374, Number.NaN])
      expect(() => saturationPressureKPa(temperatureC)).toThrow(/0 to 373.946 °C/);
    for (const pressureKPa of [0, 22_065, Number.NaN])
      expect(() => saturationTemperatureC(pressureKPa)).toThrow(/0.6112 to 22064 kPa/);
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
    expect(() => boilingPointC(20_000)).toThrow(/-2000 to 11000 m/);
  });
});

describe('a pressure cooker', () => {
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
    const psi = gaugeKPaForC(celsiusFromFahrenheit(240), feet * M_PER_FT) / KPA_PER_PSI;
    expect(psi).toBeGreaterThan(low);
    expect(psi).toBeLessThan(high);
  });

  // The older canning rule adds half a psi for each 1,000 ft.
  it('needs about half a psi more for each 1,000 ft', () => {
    const psiAt = (feet: number) => gaugeKPaForC(celsiusFromFahrenheit(240), feet * M_PER_FT) / KPA_PER_PSI;
    expect((psiAt(8000) - psiAt(0)) / 8).toBeCloseTo(0.5, 1);
  });

  it('is hotter at a higher gauge and cooler at a higher altitude', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 130, noNaN: true }),
        fc.double({ min: -400, max: 5900, noNaN: true }),
        (gaugeKPa, altitudeM) => {
          const here = pressureCookerC(gaugeKPa, altitudeM);
          expect(pressureCookerC(gaugeKPa + 5, altitudeM)).toBeGreaterThan(here);
          expect(pressureCookerC(gaugeKPa, altitudeM + 50)).toBeLessThan(here);
          expect(gaugeKPaForC(here, altitudeM)).toBeCloseTo(gaugeKPa, 3);
        },
      ),
    );
  });

  it('at gauge zero is an open pot', () => {
    expect(pressureCookerC(0, 1500)).toBe(boilingPointC(1500));
  });

  it('names its range when asked beyond it', () => {
    expect(() => pressureCookerC(-1, 0)).toThrow(/0 to 137.9 kPa/);
    expect(() => pressureCookerC(200, 0)).toThrow(/0 to 137.9 kPa/);
    expect(() => gaugeKPaForC(80, 0)).toThrow(/99.97 to 373.946 °C/);
  });
});
