import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { LONGEST_SPREAD_MS, spreadWaitMs } from '../../src/weekly/plan.js';

const MINUTE_MS = 60_000;
const many = fc.integer({ min: 1, max: 40_000 });

describe('the spread of posts that are due at the same hour', () => {
  it('lets each wait whole minutes, fewer than fifteen, and always the same', () => {
    fc.assert(
      fc.property(many, (others) => {
        const wait = spreadWaitMs(others);
        expect(wait % MINUTE_MS).toBe(0);
        expect(wait).toBeGreaterThanOrEqual(0);
        expect(wait).toBeLessThan(LONGEST_SPREAD_MS);
        expect(spreadWaitMs(others)).toBe(wait);
      }),
    );
  });

  it('gives no minute more than its share, and fills them from the first on', () => {
    fc.assert(
      fc.property(many, (posts) => {
        const perMinute = new Map<number, number>();
        for (let others = 0; others < posts; others++) {
          const wait = spreadWaitMs(others);
          perMinute.set(wait, (perMinute.get(wait) ?? 0) + 1);
        }
        // One minute holds 10,000 ÷ 15 posts of every ten thousand.
        const share = Math.ceil(10_000 / 15);
        const rounds = Math.ceil(posts / 10_000);
        expect(Math.max(...perMinute.values())).toBeLessThanOrEqual(rounds * share);
        expect([...perMinute.keys()]).toEqual([...perMinute.keys()].map((_, minute) => minute * MINUTE_MS));
      }),
      { numRuns: 30 },
    );
  });

  it('is even over ten thousand', () => {
    const perMinute = Array.from({ length: 15 }, () => 0);
    for (let others = 0; others < 10_000; others++) {
      const minute = spreadWaitMs(others) / MINUTE_MS;
      perMinute[minute] = (perMinute[minute] ?? 0) + 1;
    }
    expect(Math.max(...perMinute) - Math.min(...perMinute)).toBeLessThanOrEqual(1);
  });

  it('lets a handful go at once', () => {
    expect(Array.from({ length: 600 }, (_, others) => spreadWaitMs(others)).every((wait) => wait === 0)).toBe(
      true,
    );
  });
});
