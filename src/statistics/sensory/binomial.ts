import betaQuantile from '@stdlib/stats-base-dists-beta-quantile';
import binomialCdf from '@stdlib/stats-base-dists-binomial-cdf';
import type { Interval } from '../model/linear-estimate.js';

/**
 * P(X ≥ count) for X ~ Bin(n, p), exact.
 * @throws RangeError unless 0 ≤ count ≤ n are whole numbers, n ≥ 1 and 0 ≤ p ≤ 1.
 */
export function atLeast(count: number, n: number, p: number): number {
  requireCount(count, n);
  requireProbability(p);
  // counting failures keeps the digits of a small tail
  return count === 0 ? 1 : binomialCdf(n - count, n, 1 - p);
}

/**
 * P(X ≤ count) for X ~ Bin(n, p), exact.
 * @throws RangeError as `atLeast`.
 */
export function atMost(count: number, n: number, p: number): number {
  requireCount(count, n);
  requireProbability(p);
  return binomialCdf(count, n, p);
}

/**
 * The exact interval for a probability of which `count` of `n` were seen: its ends are where a tail of the binomial is
 * (1 − level)/2.
 * Source: Clopper, Pearson (1934), Biometrika 26, 404–413.
 * @throws RangeError as `atLeast`, and unless 0 < level < 1.
 */
export function clopperPearson(count: number, n: number, level = 0.95): Interval {
  requireLevel(level);
  return { low: exactLow(count, n, (1 + level) / 2), high: exactHigh(count, n, (1 + level) / 2) };
}

/** The probability lies above this with the given confidence: one end of Clopper and Pearson's interval alone. */
export function exactLow(count: number, n: number, confidence: number): number {
  requireCount(count, n);
  requireLevel(confidence);
  return count === 0 ? 0 : betaQuantile(1 - confidence, count, n - count + 1);
}

/** The probability lies below this with the given confidence. */
export function exactHigh(count: number, n: number, confidence: number): number {
  requireCount(count, n);
  requireLevel(confidence);
  return count === n ? 1 : betaQuantile(confidence, count + 1, n - count);
}

function requireCount(count: number, n: number): void {
  if (!(Number.isInteger(n) && n >= 1 && Number.isInteger(count) && count >= 0 && count <= n))
    throw new RangeError(`count must be 0 to n, n 1 or more, both whole: ${count} of ${n}`);
}

function requireProbability(p: number): void {
  if (!(p >= 0 && p <= 1)) throw new RangeError(`p must be between 0 and 1: ${p}`);
}

/** @throws RangeError unless 0 < level < 1. */
export function requireLevel(level: number): void {
  if (!(level > 0 && level < 1)) throw new RangeError(`level must be between 0 and 1: ${level}`);
}
