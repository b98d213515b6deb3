/**
 * Properties of water from the ice point to the hottest pressure cooker.
 * Densities and heat of vaporisation: IAPWS SR1-86 (1992), supplementary equations for the saturation line,
 * numbers 1 to 3, with the heat from the Clapeyron relation between them.
 * Specific heat: ASHRAE Handbook, Refrigeration, thermal properties of foods.
 * All of them throw a RangeError outside 0 to 130 °C.
 */

import { assertWithin } from '../../words/numbers.js';
import type { WorkingConstant } from '../working.js';

const CRITICAL_K = 647.096;
const CRITICAL_PA = 22.064e6;
const CRITICAL_KG_PER_M3 = 322;
const ZERO_C_IN_K = 273.15;

/** Coefficient and power of τ, term by term. */
type Series = readonly (readonly [coefficient: number, power: number])[];

const PRESSURE: Series = [
  [-7.85951783, 1],
  [1.84408259, 1.5],
  [-11.7866497, 3],
  [22.6807411, 3.5],
  [-15.9618719, 4],
  [1.80122502, 7.5],
];
const LIQUID_DENSITY: Series = [
  [1.99274064, 1 / 3],
  [1.09965342, 2 / 3],
  [-0.510839303, 5 / 3],
  [-1.75493479, 16 / 3],
  [-45.5170352, 43 / 3],
  [-6.7469445e5, 110 / 3],
];
const STEAM_DENSITY: Series = [
  [-2.0315024, 2 / 6],
  [-2.6830294, 4 / 6],
  [-5.38626492, 8 / 6],
  [-17.2991605, 18 / 6],
  [-44.7586581, 37 / 6],
  [-63.9201063, 71 / 6],
];

/** Density of liquid water in g/mL at a temperature in °C. */
export function liquidWaterDensityGPerMl(temperatureC: number): number {
  const tau = tauAt(temperatureC);
  return (CRITICAL_KG_PER_M3 * (1 + sum(LIQUID_DENSITY, tau))) / 1000;
}

/** Density of saturated steam in kg/m³ at a temperature in °C. */
export function steamDensityKgPerM3(temperatureC: number): number {
  return CRITICAL_KG_PER_M3 * Math.exp(sum(STEAM_DENSITY, tauAt(temperatureC)));
}

/**
 * Heat in kJ/kg that turns water into steam at a temperature in °C: L = T (1/ρ″ − 1/ρ′) dp/dT.
 * latentHeatKJPerKg(99.974) is 2256.6.
 */
export function latentHeatKJPerKg(temperatureC: number): number {
  const expansionM3PerKg =
    1 / steamDensityKgPerM3(temperatureC) - 1 / (1000 * liquidWaterDensityGPerMl(temperatureC));
  return ((temperatureC + ZERO_C_IN_K) * expansionM3PerKg * pressureSlopePaPerK(temperatureC)) / 1000;
}

/** The heat of vaporisation as a working names it. */
export function latentHeatConstant(boilC: number): WorkingConstant {
  return {
    name: `Heat of vaporisation at ${boilC.toFixed(1)} °C`,
    value: latentHeatKJPerKg(boilC),
    unit: 'kJ/kg',
    source: 'iapws-sr1-86',
  };
}

/** Heat in kJ that warms one kilogram of water between two temperatures in °C. */
export function waterHeatKJPerKg(fromC: number, toC: number): number {
  assertLiquid(fromC);
  assertLiquid(toC);
  const heat = (t: number) => 4.1762 * t - (9.0864e-5 / 2) * t ** 2 + (5.4731e-6 / 3) * t ** 3;
  return heat(toC) - heat(fromC);
}

function pressureSlopePaPerK(temperatureC: number): number {
  const tau = tauAt(temperatureC);
  const temperatureK = temperatureC + ZERO_C_IN_K;
  const lnPressure = (CRITICAL_K / temperatureK) * sum(PRESSURE, tau);
  const slope = PRESSURE.reduce(
    (total, [coefficient, power]) => total + coefficient * power * tau ** (power - 1),
    0,
  );
  return (-CRITICAL_PA * Math.exp(lnPressure) * (lnPressure + slope)) / temperatureK;
}

function tauAt(temperatureC: number): number {
  assertLiquid(temperatureC);
  return 1 - (temperatureC + ZERO_C_IN_K) / CRITICAL_K;
}

function sum(series: Series, tau: number): number {
  return series.reduce((total, [coefficient, power]) => total + coefficient * tau ** power, 0);
}

function assertLiquid(temperatureC: number): void {
  assertWithin({ temperatureC }, 0, 130);
}
