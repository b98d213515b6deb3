import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { saturationTemperatureC } from '../../../src/cooking/heat/steam.js';
import {
  latentHeatKJPerKg,
  liquidWaterDensityGPerMl,
  steamDensityKgPerM3,
  waterHeatKJPerKg,
} from '../../../src/cooking/heat/water-properties.js';

/** The boiling line is given as temperature by pressure: halving finds the pressure, and its slope is turned over. */
function slopeKPaPerK(temperatureC: number): number {
  let [low, high] = [1, 400];
  for (let step = 0; step < 60; step++) {
    const middle = (low + high) / 2;
    if (saturationTemperatureC(middle) < temperatureC) low = middle;
    else high = middle;
  }
  const by = low / 10_000;
  return (2 * by) / (saturationTemperatureC(low + by) - saturationTemperatureC(low - by));
}

describe('liquid water', () => {
  // CRC Handbook, density of water at one atmosphere (formula from memory).
  it.each([
    [20, 0.9982],
    [40, 0.9922],
    [60, 0.9832],
    [80, 0.9718],
    [98, 0.9598],
    [100, 0.9584],
  ])('at %d °C weighs %d g/mL', (temperatureC, gPerMl) => {
    expect(Math.abs(liquidWaterDensityGPerMl(temperatureC) - gPerMl)).toBeLessThan(0.0001);
  });

  it('takes about 4.18 kJ/kg for each degree near 20 °C (steam tables, from memory)', () => {
    expect(waterHeatKJPerKg(19.5, 20.5)).toBeCloseTo(4.18, 2);
  });

  // Steam tables: enthalpy of the saturated liquid at 100 °C less that at 0 °C is 419.1 kJ/kg (from memory).
  it('takes 419 kJ/kg from 0 to 100 °C', () => {
    expect(Math.abs(waterHeatKJPerKg(0, 100) - 419.1)).toBeLessThan(0.5);
  });

  it('gives back what it took', () => {
    expect(waterHeatKJPerKg(90, 15)).toBeCloseTo(-waterHeatKJPerKg(15, 90), 12);
  });
});

describe('steam', () => {
  // IAPWS SR1-86 (1992), table of check values at 373.1243 K, from memory: ρ′ 958.365, ρ″ 0.597586 kg/m³, and enthalpies
  // 419.05 and 2675.7 kJ/kg, whose difference is the heat of vaporisation.
  it('agrees with the check values of its own release', () => {
    expect(1000 * liquidWaterDensityGPerMl(373.1243 - 273.15)).toBeCloseTo(958.365, 3);
    expect(steamDensityKgPerM3(373.1243 - 273.15)).toBeCloseTo(0.597586, 6);
    expect(Math.abs(latentHeatKJPerKg(373.1243 - 273.15) - (2675.7 - 419.05))).toBeLessThan(0.1);
  });

  // Steam tables, from memory: about 2,256.4 kJ/kg at 100 °C, 2,501 at 0 °C.
  it('takes 2,256 kJ/kg to form at 100 °C and 2,501 at 0 °C', () => {
    expect(Math.abs(latentHeatKJPerKg(100) - 2256.4)).toBeLessThan(1);
    expect(Math.abs(latentHeatKJPerKg(0) - 2501)).toBeLessThan(1);
  });

  // Steam tables, from memory: 1.672 m³/kg at 100 °C.
  it('fills 1.672 m³/kg at 100 °C', () => {
    expect(1 / steamDensityKgPerM3(100)).toBeCloseTo(1.672, 3);
  });

  // The slope of IAPWS-IF97 region 4, a separate formulation, through the Clapeyron relation.
  it('costs what the slope of the IF97 boiling line says', () => {
    for (const temperatureC of [20, 60, 100, 125]) {
      const slopeKPa = slopeKPaPerK(temperatureC);
      const expansion =
        1 / steamDensityKgPerM3(temperatureC) - 0.001 / liquidWaterDensityGPerMl(temperatureC);
      const heat = (temperatureC + 273.15) * expansion * slopeKPa;
      expect(Math.abs(latentHeatKJPerKg(temperatureC) / heat - 1)).toBeLessThan(0.001);
    }
  });

  it('costs less the hotter the water is', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 129, noNaN: true }), (temperatureC) => {
        expect(latentHeatKJPerKg(temperatureC + 1)).toBeLessThan(latentHeatKJPerKg(temperatureC));
      }),
    );
  });
});

it('names its range when asked beyond it', () => {
  for (const temperatureC of [-0.1, 130.1, Number.NaN])
    for (const property of [latentHeatKJPerKg, liquidWaterDensityGPerMl, steamDensityKgPerM3])
      expect(() => property(temperatureC)).toThrow(/from 0 to 130/);
  expect(() => waterHeatKJPerKg(20, 131)).toThrow(/from 0 to 130/);
});
