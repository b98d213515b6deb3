import { randomInt } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { draw, shuffled } from '../../../src/statistics/sensory/randomness.js';
import { uniform } from '../seeded.js';

describe('chance', () => {
  it('puts items in every order alike and loses none', () => {
    const number = uniform(4);
    const counts = new Map<string, number>();
    for (let trial = 0; trial < 24_000; trial += 1) {
      const order = shuffled(['a', 'b', 'c', 'd'], (below) => Math.floor(below * number())).join('');
      counts.set(order, (counts.get(order) ?? 0) + 1);
    }
    expect(counts.size).toBe(24);
    // five standard deviations of a count of 1000
    for (const count of counts.values()) expect(Math.abs(count - 1000)).toBeLessThan(155);
  });

  it('takes numbers from the cryptographic source of Node', () => {
    expect([...shuffled([1, 2, 3], randomInt)].sort()).toEqual([1, 2, 3]);
    expect(draw(randomInt, 1)).toBe(0);
  });

  it('does not take numbers that were not asked for', () => {
    expect(() => draw(() => 3, 3)).toThrow(RangeError);
    expect(() => draw(Math.random, 3)).toThrow(RangeError);
    expect(() => draw(() => -1, 3)).toThrow(RangeError);
  });
});
