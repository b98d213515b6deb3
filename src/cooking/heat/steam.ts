/**
 * The boiling line of water: which temperature goes with which pressure.
 * Source: IAPWS-IF97 (R7-97), section 8, region 4, equation 31 with the coefficients of table 34.
 */

import { assertWithin } from '../../words/numbers.js';
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

/**
 * Temperature in °C at which water boils under a pressure in kPa, absolute.
 * saturationTemperatureC(101.325) is 99.974, not 100.
 * Throws RangeError outside 0.6112 to 22,064 kPa.
 */
export function saturationTemperatureC(pressureKPa: number): number {
  assertWithin({ pressureKPa }, 0.6112, 22_064);
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
