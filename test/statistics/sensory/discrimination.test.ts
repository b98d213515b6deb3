import { describe, expect, it } from 'vitest';
import { discrimination } from '../../../src/statistics/sensory/discrimination.js';
import { PAIR } from '../../../src/statistics/sensory/paired.js';
import type { Protocol } from '../../../src/statistics/sensory/protocol.js';
import { TRIANGLE } from '../../../src/statistics/sensory/triangle.js';
import sensr from '../../reference/sensory/sensr.json' with { type: 'json' };

const PROTOCOLS: Readonly<Record<string, Protocol>> = { triangle: TRIANGLE, pair: PAIR };

function protocolOf(method: string): Protocol {
  const protocol = PROTOCOLS[method];
  if (protocol === undefined) throw new Error(`no such method: ${method}`);
  return protocol;
}

describe('discrimination', () => {
  it("has the links between d' and the proportion correct of sensR", () => {
    for (const { method, dPrime, proportionCorrect } of sensr.links)
      expect(protocolOf(method).proportionCorrect(dPrime)).toBeCloseTo(proportionCorrect, 8);
    // sensR stops its search for d' at four digits
    for (const { method, dPrime, proportionCorrect } of sensr.inverseLinks)
      expect(protocolOf(method).dPrime(proportionCorrect)).toBeCloseTo(dPrime, 4);
  });

  it('agrees with discrim() of sensR on all three scales', () => {
    for (const expected of sensr.tastings) {
      const protocol = protocolOf(expected.method);
      const found = discrimination(protocol, expected);
      expect(found.p).toBeCloseTo(expected.p, 8);
      for (const end of ['estimate', 'low', 'high'] as const) {
        // sensR shows no proportion correct below guessing
        expect(Math.max(found.proportionCorrect[end], protocol.guessing)).toBeCloseTo(
          expected.proportionCorrect[end],
          8,
        );
        expect(found.discriminators[end]).toBeCloseTo(expected.discriminators[end], 8);
        expect(found.dPrime[end]).toBeCloseTo(expected.dPrime[end], 4);
      }
    }
  });

  it("finds d' 2.3214 and half who can tell in 10 of 15", () => {
    // the example of sensR's manual, from memory
    const found = discrimination(TRIANGLE, { correct: 10, assessors: 15 });
    expect(found.dPrime.estimate).toBeCloseTo(2.3214, 4);
    expect(found.discriminators.estimate).toBeCloseTo(0.5, 12);
  });

  it('covers the true share of discriminators at least as often as it says', () => {
    // exact, over every outcome of 24 assessors
    for (const truth of [0, 0.1, 0.3, 0.6, 0.9]) {
      const share = 1 / 3 + (2 / 3) * truth;
      let covered = 0;
      let term = (1 - share) ** 24;
      for (let correct = 0; correct <= 24; correct += 1) {
        const { low, high } = discrimination(TRIANGLE, { correct, assessors: 24 }).discriminators;
        if (low <= truth && truth <= high) covered += term;
        term *= ((24 - correct) / (correct + 1)) * (share / (1 - share));
      }
      expect(covered).toBeGreaterThanOrEqual(0.95);
    }
  });
});
