/** How hot the water of a render gets, where the cook is. */

import { assumed } from '../../safety/sources.js';
import { assertWithin } from '../../words/numbers.js';
import { KPA_PER_PSI } from '../../words/units.js';
import type { Calculation } from '../working.js';
import { ambientPressureKPa, KITCHEN_ALTITUDE_M, SEA_LEVEL_KPA } from './atmosphere.js';
import { saturationTemperatureC } from './steam.js';

/** More than any kitchen pressure cooker is built for: 20 psi, in kPa. A command refuses what lies above. */
export const HIGHEST_GAUGE_KPA = 20 * KPA_PER_PSI;

/** Local weather moves the pressure by about this share, and the boiling point by about 0.8 °C. */
const WEATHER_PRESSURE_SHARE = 0.03;

export interface Boiling {
  /** Boiling point of the water in an open pot, or the temperature in a pressure cooker. */
  readonly boilC: number;
  /** With the air pressure that weather brings. */
  readonly boilLowC: number;
  readonly boilHighC: number;
  /** 0 in an open pot. */
  readonly gaugeKPa: number;
  readonly calculation: Calculation;
}

/**
 * The boiling point at an altitude in metres, under the gauge pressure of a cooker in kPa (0 for an open pot). Home
 * gauges read against the air around them, so the same reading is cooler higher up.
 * boilingAt({ altitudeM: 1609.344 }) is 94.6 °C (202.3 °F), 93.8 to 95.4 with the weather.
 * Throws RangeError outside −500 to 6,000 m and 0 to 20 psi (137.9 kPa).
 */
export function boilingAt({
  altitudeM,
  gaugeKPa = 0,
}: {
  readonly altitudeM: number;
  readonly gaugeKPa?: number | undefined;
}): Boiling {
  assertWithin({ altitudeM }, KITCHEN_ALTITUDE_M.low, KITCHEN_ALTITUDE_M.high);
  assertWithin({ gaugeKPa }, 0, HIGHEST_GAUGE_KPA);
  const isOpen = gaugeKPa === 0;
  const ambientKPa = ambientPressureKPa(altitudeM);
  const inWeather = (share: number) => saturationTemperatureC(ambientKPa * (1 + share) + gaugeKPa);
  const boilC = inWeather(0);
  return {
    boilC,
    boilLowC: inWeather(-WEATHER_PRESSURE_SHARE),
    boilHighC: inWeather(WEATHER_PRESSURE_SHARE),
    gaugeKPa,
    calculation: {
      formula: isOpen
        ? 'boiling point = temperature at which the vapour pressure of water equals the air pressure'
        : 'temperature in the cooker = temperature at which the vapour pressure of water equals air pressure + gauge pressure',
      constants: [
        { name: 'Air pressure at sea level', value: SEA_LEVEL_KPA, unit: 'kPa', source: 'iso-2533' },
      ],
      assumptions: [
        assumed(
          'A day of standard pressure; weather moves it by about 3 %, which is about 0.8 °C.',
          'iso-2533',
          'us-standard-atmosphere',
        ),
        ...(isOpen
          ? []
          : [assumed('All air has been vented and free water is left in the cooker.', 'pnw-421')]),
        assumed('While free water is left, the pot gets no hotter.', 'iapws-if97', 'hot-fat-inference'),
      ],
      steps: [
        { name: 'Air pressure here', value: ambientKPa, unit: 'kPa' },
        ...(isOpen ? [] : [{ name: 'With the gauge', value: ambientKPa + gaugeKPa, unit: 'kPa' }]),
        { name: isOpen ? 'Boiling point' : 'Temperature', value: boilC, unit: '°C' },
      ],
    },
  };
}
