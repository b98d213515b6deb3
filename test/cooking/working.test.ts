import { describe, expect, it } from 'vitest';
import { type Calculation, sourcesOfWorking, workingLines, workingOf } from '../../src/cooking/working.js';

const boiling: Calculation = {
  formula: 'boiling point = temperature at which the vapour pressure of water equals the air pressure',
  constants: [{ name: 'Sea-level pressure', value: 101.325, unit: 'kPa', source: 'iso-2533' }],
  assumptions: [
    { text: 'Standard weather.', sources: ['iso-2533', 'iapws-if97'] },
    { text: 'No salt in the water.', sources: [] },
  ],
  steps: [{ name: 'Boiling point', value: 94.61979, unit: '°C' }],
};

describe('the working of an answer', () => {
  const working = workingOf(
    'Boiling point',
    [
      { name: 'Altitude', value: 1609.344, unit: 'm', origin: 'you said' },
      { name: 'Lid', value: 'ajar', unit: '', origin: 'assumed' },
    ],
    boiling,
  );

  it('says the formula, who gave each input, each constant with its source, and what was assumed', () => {
    expect(workingLines(working)).toEqual([
      'boiling point = temperature at which the vapour pressure of water equals the air pressure',
      'Altitude: 1609 m (you said)',
      'Lid: ajar (assumed)',
      'Sea-level pressure: 101.3 kPa (Standard Atmosphere (ISO 2533:1975), ISO: layer below 11 km)',
      expect.stringMatching(
        /^Assumed: Standard weather. \(Standard Atmosphere.*; Industrial Formulation 1997/,
      ),
      'Assumed: No salt in the water.',
      'Boiling point: 94.62 °C',
    ]);
  });

  it('names each source once', () => {
    expect(sourcesOfWorking(working)).toEqual(['iso-2533', 'iapws-if97']);
  });

  it('refuses a figure that is not a finite number', () => {
    expect(() =>
      workingOf(
        'Boiling point',
        [{ name: 'Altitude', value: Number.NaN, unit: 'm', origin: 'you said' }],
        boiling,
      ),
    ).toThrow(/Altitude is NaN/);
  });
});
