/** How hot the water of a render gets, where the cook is. */

import type { Calculation } from '../working.js';
import {
  ambientPressureKPa,
  isKitchenAltitude,
  KITCHEN_ALTITUDE_M,
  WEATHER_PRESSURE_SHARE,
} from './atmosphere.js';
import { HIGHEST_GAUGE_KPA, saturationTemperatureC } from './steam.js';

export interface Boiling {
  readonly ok: true;
  /** Boiling point of the water in an open pot, or the temperature in a pressure cooker. */
  readonly boilC: number;
  /** With the air pressure that weather brings. */
  readonly boilLowC: number;
  readonly boilHighC: number;
  readonly ambientKPa: number;
  /** 0 in an open pot. */
  readonly gaugeKPa: number;
  readonly calculation: Calculation;
}

export type BoilingProblem =
  | {
      readonly ok: false;
      readonly problem: 'altitude-out-of-range';
      readonly altitudeM: number;
      readonly lowM: number;
      readonly highM: number;
    }
  | {
      readonly ok: false;
      readonly problem: 'gauge-out-of-range';
      readonly gaugeKPa: number;
      readonly highestKPa: number;
    };

/**
 * The boiling point at an altitude in metres, under the gauge pressure of a cooker in kPa (0 for an open pot).
 * boilingAt({ altitudeM: 1609.344 }) is 94.6 °C (202.3 °F), 93.8 to 95.4 with the weather.
 */
export function boilingAt({
  altitudeM,
  gaugeKPa = 0,
}: {
  readonly altitudeM: number;
  readonly gaugeKPa?: number | undefined;
}): Boiling | BoilingProblem {
  if (!isKitchenAltitude(altitudeM)) {
    const { low, high } = KITCHEN_ALTITUDE_M;
    return { ok: false, problem: 'altitude-out-of-range', altitudeM, lowM: low, highM: high };
  }
  if (!(gaugeKPa >= 0 && gaugeKPa <= HIGHEST_GAUGE_KPA))
    return { ok: false, problem: 'gauge-out-of-range', gaugeKPa, highestKPa: HIGHEST_GAUGE_KPA };
  const ambientKPa = ambientPressureKPa(altitudeM);
  const boilC = saturationTemperatureC(ambientKPa + gaugeKPa);
  const inWeather = (share: number) => saturationTemperatureC(ambientKPa * (1 + share) + gaugeKPa);
  return {
    ok: true,
    boilC,
    boilLowC: inWeather(-WEATHER_PRESSURE_SHARE),
    boilHighC: inWeather(WEATHER_PRESSURE_SHARE),
    ambientKPa,
    gaugeKPa,
    calculation: {
      formula:
        gaugeKPa === 0
          ? 'boiling point = temperature at which the vapour pressure of water equals the air pressure'
          : 'temperature in the cooker = temperature at which the vapour pressure of water equals air pressure + gauge pressure',
      constants: [{ name: 'Air pressure at sea level', value: 101.325, unit: 'kPa', source: 'iso-2533' }],
      assumptions: [
        {
          text: 'A day of standard pressure; weather moves it by about 3 %, which is about 0.8 °C.',
          sources: ['iso-2533', 'us-standard-atmosphere'],
        },
        ...(gaugeKPa === 0
          ? []
          : [
              {
                text: 'All air has been vented and free water is left in the cooker.',
                sources: ['pnw-421'] as const,
              },
            ]),
        {
          text: 'While free water is left, the pot gets no hotter.',
          sources: ['iapws-if97', 'hot-fat-inference'],
        },
      ],
      steps: [
        { name: 'Air pressure here', value: ambientKPa, unit: 'kPa' },
        ...(gaugeKPa === 0 ? [] : [{ name: 'With the gauge', value: ambientKPa + gaugeKPa, unit: 'kPa' }]),
        { name: gaugeKPa === 0 ? 'Boiling point' : 'Temperature', value: boilC, unit: '°C' },
      ],
    },
  };
}
