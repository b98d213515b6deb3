/**
 * The boiling line of water: which temperature goes with which pressure.
 * Source: IAPWS-IF97 (R7-97), section 8, region 4, equations 29 to 31 with the coefficients of table 34.
 */

import { KPA_PER_PSI } from '../../words/units.js';
import { ambientPressureKPa } from './atmosphere.js';

const N1 = 0.11670521452767e4;
const N2 = -0.72421316703206e6;
const N3 = -0.17073846940092e2;
const N4 = 0.1202082470247e5;
const N5 = -0.32325550322333e7;
const N6 = 0.1491510861353e2;
const N7 = -0.48232657361591e4;
const N8 = 0.40511340542057e6;
const N9 = -0.23855557567849;
const N10 = 0.65017534844798e3;

const ZERO_C_IN_K = 273.15;
const HIGHEST_C = 373.946;
const LOWEST_KPA = 0.6112;
const HIGHEST_KPA = 22_064;

/** The two directions of the formulation agree within this many kelvin, not exactly. */
const AGREEMENT_K = 1e-4;

/** More than any kitchen pressure cooker is built for: 20 psi, in kPa. A command refuses what lies above. */
export const HIGHEST_GAUGE_KPA = 20 * KPA_PER_PSI;

/**
 * Pressure in kPa at which water boils at a temperature in °C (equation 30).
 * saturationPressureKPa(120) is 198.67.
 * Throws RangeError outside 0 to 373.946 °C.
 */
export function saturationPressureKPa(temperatureC: number): number {
  if (!(temperatureC >= 0 && temperatureC <= HIGHEST_C))
    throw new RangeError(`temperature ${temperatureC} °C is outside 0 to ${HIGHEST_C} °C`);
  const temperatureK = temperatureC + ZERO_C_IN_K;
  const theta = temperatureK + N9 / (temperatureK - N10);
  const a = theta ** 2 + N1 * theta + N2;
  const b = N3 * theta ** 2 + N4 * theta + N5;
  const c = N6 * theta ** 2 + N7 * theta + N8;
  const pressureMPa = ((2 * c) / (-b + Math.sqrt(b ** 2 - 4 * a * c))) ** 4;
  return pressureMPa * 1000;
}

/**
 * Temperature in °C at which water boils under a pressure in kPa, absolute (equation 31).
 * saturationTemperatureC(101.325) is 99.974, not 100.
 * Throws RangeError outside 0.6112 to 22,064 kPa.
 */
export function saturationTemperatureC(pressureKPa: number): number {
  if (!(pressureKPa >= LOWEST_KPA && pressureKPa <= HIGHEST_KPA))
    throw new RangeError(`pressure ${pressureKPa} kPa is outside ${LOWEST_KPA} to ${HIGHEST_KPA} kPa`);
  const beta = (pressureKPa / 1000) ** 0.25;
  const e = beta ** 2 + N3 * beta + N6;
  const f = N1 * beta ** 2 + N4 * beta + N7;
  const g = N2 * beta ** 2 + N5 * beta + N8;
  const d = (2 * g) / (-f - Math.sqrt(f ** 2 - 4 * e * g));
  return (N10 + d - Math.sqrt((N10 + d) ** 2 - 4 * (N9 + N10 * d))) / 2 - ZERO_C_IN_K;
}

/**
 * Boiling point of water in °C at an altitude in metres, on a day of standard pressure.
 * Throws RangeError outside −2,000 to 11,000 m.
 */
export function boilingPointC(altitudeM: number): number {
  return saturationTemperatureC(ambientPressureKPa(altitudeM));
}

/**
 * Temperature in °C of wet steam in a pressure cooker: gauge pressure in kPa above the air outside, altitude in metres.
 * Home gauges read against the air around them, so the same reading is cooler higher up.
 * Throws RangeError for a gauge outside 0 to 20 psi (137.9 kPa) or an altitude outside −2,000 to 11,000 m.
 */
export function pressureCookerC(gaugeKPa: number, altitudeM: number): number {
  if (!(gaugeKPa >= 0 && gaugeKPa <= HIGHEST_GAUGE_KPA))
    throw new RangeError(`gauge ${gaugeKPa} kPa is outside 0 to ${HIGHEST_GAUGE_KPA.toFixed(1)} kPa`);
  return saturationTemperatureC(ambientPressureKPa(altitudeM) + gaugeKPa);
}

/**
 * Gauge pressure in kPa that a pressure cooker needs to reach a temperature in °C at an altitude in metres; it may be
 * more than a cooker can hold (HIGHEST_GAUGE_KPA).
 * 240 °F at sea level takes 70.9 kPa (10.29 psi).
 * Throws RangeError below the boiling point there, or above 373.946 °C.
 */
export function gaugeKPaForC(temperatureC: number, altitudeM: number): number {
  const boilC = boilingPointC(altitudeM);
  if (!(temperatureC >= boilC - AGREEMENT_K && temperatureC <= HIGHEST_C))
    throw new RangeError(`temperature ${temperatureC} °C is outside ${boilC.toFixed(2)} to ${HIGHEST_C} °C`);
  return Math.max(0, saturationPressureKPa(temperatureC) - ambientPressureKPa(altitudeM));
}
