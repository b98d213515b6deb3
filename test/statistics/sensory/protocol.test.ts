import { describe, expect, it } from 'vitest';
import { PAIR } from '../../../src/statistics/sensory/paired.js';
import { discriminatorsAt, proportionCorrectAt } from '../../../src/statistics/sensory/protocol.js';
import { TRIANGLE } from '../../../src/statistics/sensory/triangle.js';

describe('share of people who can tell', () => {
  it('is what is left when guessing is taken out', () => {
    // ISO 4120: p_c = 1/3 + 2/3 p_d; ISO 5495: p_c = 1/2 + 1/2 p_d
    expect(proportionCorrectAt(TRIANGLE, 0.4)).toBeCloseTo(0.6, 14);
    expect(proportionCorrectAt(PAIR, 0.4)).toBeCloseTo(0.7, 14);
    for (const protocol of [TRIANGLE, PAIR])
      for (const share of [0, 0.25, 1])
        expect(discriminatorsAt(protocol, proportionCorrectAt(protocol, share))).toBeCloseTo(share, 14);
  });

  it('is never below none', () => {
    expect(discriminatorsAt(TRIANGLE, 0.2)).toBe(0);
    expect(discriminatorsAt(PAIR, 0.5)).toBe(0);
  });

  it('must be a share', () => {
    expect(() => proportionCorrectAt(TRIANGLE, 1.1)).toThrow(RangeError);
    expect(() => proportionCorrectAt(TRIANGLE, -0.1)).toThrow(RangeError);
  });
});
