import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  atLeast,
  atMost,
  clopperPearson,
  exactHigh,
  exactLow,
} from '../../../src/statistics/sensory/binomial.js';

describe('binomial tails', () => {
  it('add up term by term', () => {
    const counted = fc.integer({ min: 1, max: 60 }).chain((n) =>
      fc.record({
        n: fc.constant(n),
        count: fc.integer({ min: 0, max: n }),
        p: fc.double({ min: 0.01, max: 0.99, noNaN: true }),
      }),
    );
    fc.assert(
      fc.property(counted, ({ n, count, p }) => {
        let tail = 0;
        let term = (1 - p) ** n;
        for (let k = 0; k <= n; k += 1) {
          if (k >= count) tail += term;
          term *= ((n - k) / (k + 1)) * (p / (1 - p));
        }
        expect(atLeast(count, n, p)).toBeCloseTo(tail, 10);
        if (count > 0) expect(atMost(count - 1, n, p)).toBeCloseTo(1 - tail, 10);
      }),
    );
  });

  it('keep the digits of what hardly ever happens', () => {
    // all of 60 right by guessing one in three: 3^-60
    expect(atLeast(60, 60, 1 / 3) / 3 ** -60).toBeCloseTo(1, 9);
  });
});

describe("Clopper and Pearson's interval", () => {
  it('ends where a tail is 2.5 %', () => {
    for (const [count, n] of [
      [1, 7],
      [13, 24],
      [299, 300],
    ] as const) {
      const { low, high } = clopperPearson(count, n);
      expect(atLeast(count, n, low)).toBeCloseTo(0.025, 10);
      expect(atMost(count, n, high)).toBeCloseTo(0.025, 10);
    }
  });

  it('has the ends 0 and 1 where nothing speaks against them', () => {
    expect(clopperPearson(0, 5).low).toBe(0);
    expect(clopperPearson(5, 5).high).toBe(1);
    // the rule of three: 1 - 0.05^(1/n)
    expect(exactHigh(0, 20, 0.95)).toBeCloseTo(1 - 0.05 ** (1 / 20), 12);
    expect(exactLow(20, 20, 0.95)).toBeCloseTo(0.05 ** (1 / 20), 12);
  });

  it('refuses what cannot be', () => {
    expect(() => clopperPearson(8, 7)).toThrow(RangeError);
    expect(() => clopperPearson(0, 0)).toThrow(RangeError);
    expect(() => clopperPearson(1, 7, 1)).toThrow(RangeError);
    expect(() => atMost(1, 7, 1.2)).toThrow(RangeError);
  });
});
