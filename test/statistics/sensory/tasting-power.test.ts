import { describe, expect, it } from 'vitest';
import { discrimination } from '../../../src/statistics/sensory/discrimination.js';
import { PAIR } from '../../../src/statistics/sensory/paired.js';
import { type Protocol, proportionCorrectAt } from '../../../src/statistics/sensory/protocol.js';
import {
  assessorsForDifference,
  assessorsForEither,
  assessorsForSimilarity,
  differencePower,
  eitherPower,
  similarityPower,
} from '../../../src/statistics/sensory/tasting-power.js';
import { TRIANGLE } from '../../../src/statistics/sensory/triangle.js';
import sensr from '../../reference/sensory/sensr.json' with { type: 'json' };
import { normal, uniform } from '../seeded.js';
import { namesTheOdd, namesTheStronger } from './thurstone-assessors.js';

const protocolOf = (method: string): Protocol => (method === 'triangle' ? TRIANGLE : PAIR);

/** The fewest assessors that reach the power once, from below. */
function first(protocol: Protocol, proportionCorrect: number, power: number): number {
  let assessors = 1;
  while (differencePower(protocol, proportionCorrect, assessors) < power) assessors += 1;
  return assessors;
}

describe('power of a tasting', () => {
  it('agrees with discrimPwr() and d.primePwr() of sensR', () => {
    for (const { method, discriminators, assessors, power } of sensr.power) {
      const protocol = protocolOf(method);
      expect(differencePower(protocol, proportionCorrectAt(protocol, discriminators), assessors)).toBeCloseTo(
        power,
        9,
      );
    }
    for (const { method, dPrime, assessors, power } of sensr.powerOfDPrime) {
      const protocol = protocolOf(method);
      expect(differencePower(protocol, protocol.proportionCorrect(dPrime), assessors)).toBeCloseTo(power, 8);
    }
    for (const { method, discriminators, similarWithin, assessors, power } of sensr.similarityPower) {
      const protocol = protocolOf(method);
      const truth = proportionCorrectAt(protocol, discriminators);
      expect(similarityPower(protocol, truth, assessors, similarWithin)).toBeCloseTo(power, 9);
    }
  });

  it('reaches the wanted power first where discrimSS() and d.primeSS() of sensR do', () => {
    for (const { method, discriminators, power, firstAssessors } of sensr.firstAssessors) {
      const protocol = protocolOf(method);
      expect(first(protocol, proportionCorrectAt(protocol, discriminators), power)).toBe(firstAssessors);
    }
    for (const { method, dPrime, power, firstAssessors } of sensr.firstAssessorsForDPrime) {
      const protocol = protocolOf(method);
      expect(first(protocol, protocol.proportionCorrect(dPrime), power)).toBe(firstAssessors);
    }
  });

  it('asks for as many assessors as it takes never to fall below again', () => {
    const { dPrime, power, first: once, stays, powers } = sensr.sawTooth;
    const truth = TRIANGLE.proportionCorrect(dPrime);
    for (const { assessors, power: printed } of powers)
      expect(differencePower(TRIANGLE, truth, assessors)).toBeCloseTo(printed, 3);
    expect(first(TRIANGLE, truth, power)).toBe(once);
    expect(assessorsForDifference(TRIANGLE, truth, { power })).toBe(stays);
  });

  it('keeps that promise', () => {
    for (const protocol of [TRIANGLE, PAIR])
      for (const discriminators of [0.2, 0.35, 0.5, 0.8])
        for (const power of [0.8, 0.95]) {
          const truth = proportionCorrectAt(protocol, discriminators);
          const enough = assessorsForDifference(protocol, truth, { power }) ?? Number.NaN;
          expect(differencePower(protocol, truth, enough - 1)).toBeLessThan(power);
          for (let more = enough; more < 3 * enough + 50; more += 1)
            expect(differencePower(protocol, truth, more)).toBeGreaterThanOrEqual(power);
        }
  });

  it('does so for similarity too', () => {
    for (const within of [0.3, 0.5]) {
      const enough = assessorsForSimilarity(TRIANGLE, within) ?? Number.NaN;
      expect(similarityPower(TRIANGLE, 1 / 3, enough - 1, within)).toBeLessThan(0.8);
      for (let more = enough; more < 3 * enough; more += 1)
        expect(similarityPower(TRIANGLE, 1 / 3, more, within)).toBeGreaterThanOrEqual(0.8);
    }
  });

  it('plans no tasting of more than a thousand, and none for what is not there', () => {
    expect(assessorsForDifference(TRIANGLE, proportionCorrectAt(TRIANGLE, 0.05))).toBeUndefined();
    expect(assessorsForSimilarity(TRIANGLE, 0.02)).toBeUndefined();
    expect(() => assessorsForDifference(TRIANGLE, 1 / 3)).toThrow(RangeError);
    expect(() => assessorsForSimilarity(TRIANGLE, 0)).toThrow(RangeError);
  });

  it('is 0 where even all correct would not show it', () => {
    expect(differencePower(TRIANGLE, 0.9, 2)).toBe(0);
  });

  it('raises no more false alarms than it says, and finds what is there as often, in 10 000 tastings of 24', () => {
    const taste = normal(uniform(24));
    for (const [protocol, answers] of [
      [TRIANGLE, namesTheOdd],
      [PAIR, namesTheStronger],
    ] as const) {
      // the verdict depends on the count alone
      const shows = Array.from(
        { length: 25 },
        (_, correct) => discrimination(protocol, { correct, assessors: 24 }).p <= 0.05,
      );
      for (const dPrime of [0, 1, 1.5]) {
        let found = 0;
        for (let tasting = 0; tasting < 10_000; tasting += 1) {
          let correct = 0;
          for (let assessor = 0; assessor < 24; assessor += 1) if (answers(taste, dPrime)) correct += 1;
          if (shows[correct]) found += 1;
        }
        const exact = differencePower(protocol, protocol.proportionCorrect(dPrime), 24);
        expect(Math.abs(found / 10_000 - exact)).toBeLessThan(0.01);
        if (dPrime === 0) expect(found / 10_000).toBeLessThanOrEqual(0.05);
      }
    }
  });

  it('reads a pair without a right answer from both ends', () => {
    // 18 of 24 for either is the least at 5 %: ISO 5495, two-sided, exact binomial
    expect(eitherPower(0.5, 24)).toBeCloseTo(0.02266, 4);
    expect(eitherPower(0.7, 24)).toBeCloseTo(eitherPower(0.3, 24), 12);
    expect(eitherPower(0.9, 5)).toBe(0);
    const assessors = assessorsForEither(0.7) ?? expect.fail('none');
    for (let more = assessors; more < assessors + 20; more += 1)
      expect(eitherPower(0.7, more)).toBeGreaterThanOrEqual(0.8);
    expect(eitherPower(0.7, assessors - 1)).toBeLessThan(0.8);
    expect(() => assessorsForEither(0.5)).toThrow(RangeError);
  });
});
