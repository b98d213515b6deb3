/**
 * Air pressure by altitude.
 * Source: ISO 2533:1975 and the U.S. Standard Atmosphere, 1976 (same constants below 11 km).
 */

import { assertWithin } from '../../words/numbers.js';

export const SEA_LEVEL_KPA = 101.325;
const SEA_LEVEL_K = 288.15;
const LAPSE_K_PER_M = -0.0065;
const EARTH_RADIUS_M = 6_356_766;
const GRAVITY = 9.80665;
const AIR_KG_PER_MOL = 0.0289644;
/** The gas constant of 1976, in J/(mol K): the tables were made with it. */
const GAS_CONSTANT = 8.31432;
const EXPONENT = (-GRAVITY * AIR_KG_PER_MOL) / (GAS_CONSTANT * LAPSE_K_PER_M);

/** Heights at which people cook, with some room on both sides. A command refuses what lies outside. */
export const KITCHEN_ALTITUDE_M = { low: -500, high: 6000 } as const;

/**
 * Standard pressure in kPa at a height above sea level in metres. The height is geometric, as on a map, and is turned
 * into geopotential height first.
 * ambientPressureKPa(1609.344) is 83.44.
 * Throws RangeError outside −2,000 to 11,000 m.
 */
export function ambientPressureKPa(altitudeM: number): number {
  assertWithin({ altitudeM }, -2000, 11_000);
  const geopotentialM = (EARTH_RADIUS_M * altitudeM) / (EARTH_RADIUS_M + altitudeM);
  return SEA_LEVEL_KPA * (1 + (LAPSE_K_PER_M * geopotentialM) / SEA_LEVEL_K) ** EXPONENT;
}
