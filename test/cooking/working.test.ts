import { describe, expect, it } from 'vitest';
import { type Calculation, type WorkingInput, workingOf } from '../../src/cooking/working.js';

const boiling: Calculation = {
  formula: 'boiling point = temperature at which the vapour pressure of water equals the air pressure',
  constants: [{ name: 'Sea-level pressure', value: 101.325, unit: 'kPa', source: 'iso-2533' }],
  assumptions: [
    { text: 'Standard weather.', sources: ['iso-2533', 'iapws-if97'] },
    { text: 'No salt in the water.', sources: [] },
  ],
  steps: [{ name: 'Boiling point', value: 94.61979, unit: '°C' }],
};

const yields: Calculation = {
  formula: 'tallow = raw fat × share',
  constants: [{ name: 'Least share', value: 0.36, unit: 'g/g', source: 'practice-yield' }],
  assumptions: [{ text: 'No salt in the water.', sources: [] }],
  steps: [
    { name: 'Tallow', value: 1234567.8, unit: 'g' },
    { name: 'Loads', value: 3, unit: '' },
  ],
};

const inputs: readonly WorkingInput[] = [
  { name: 'Altitude', value: '1609 m', origin: 'said' },
  { name: 'Lid', value: 'ajar', origin: 'assumed' },
  { name: 'Vessel', value: '12 qt', origin: 'kit' },
  { name: 'Cut', value: 'ground', origin: 'said' },
];

const parts = [
  { title: 'Boiling', calculation: boiling },
  { title: 'Tallow', calculation: yields },
];

describe('the working of an answer', () => {
  it('says who gave each input, the formula, each constant with its source, and what was assumed once', () => {
    expect(workingOf(inputs, parts)).toEqual({
      lines: [
        'Said: Altitude 1609 m; Cut ground.',
        'From the kit: Vessel 12 qt.',
        'Assumed, as nothing was said: Lid ajar.',
        'Boiling: boiling point = temperature at which the vapour pressure of water equals the air pressure.',
        'Given: Sea-level pressure 101.3 kPa [1].',
        'Assumed: Standard weather. [1, 2] No salt in the water.',
        'So: Boiling point 94.62 °C.',
        'Tallow: tallow = raw fat × share.',
        'Given: Least share 0.36 g/g [common practice].',
        'So: Tallow 1234568 g; Loads 3.',
      ],
      sources: [
        expect.stringMatching(/^\[1\] ISO, Standard Atmosphere/),
        expect.stringMatching(/^\[2\] .*Industrial Formulation 1997/),
      ],
    });
  });

  it('names what it leaves out, and where that is shown', () => {
    const left = [{ title: 'Top-ups', calculation: yields, alsoIn: '/water' }];
    expect(workingOf(inputs, parts, left).lines.at(-1)).toBe(
      'Left out for want of room: top-ups. /water shows that for the same amounts.',
    );
  });

  it('refuses a figure that is not a finite number', () => {
    const broken = { ...boiling, steps: [{ name: 'Boiling point', value: Number.NaN, unit: '°C' }] };
    expect(() => workingOf(inputs, [{ title: 'Boiling', calculation: broken }])).toThrow(
      /Boiling point is NaN/,
    );
  });
});
