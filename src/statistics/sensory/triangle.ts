/** Triangle test (ISO 4120): three cups, two of them alike; which is the odd one? */
import normalCdf from '@stdlib/stats-base-dists-normal-cdf';
import type { Protocol } from './protocol.js';

export const TRIANGLE: Protocol = { guessing: 1 / 3, proportionCorrect, dPrime };

/** 1/√(2π) */
const PEAK = 1 / Math.sqrt(2 * Math.PI);

const LEAST_U = -34;
const STEP = 0.4;

/** z = log(1 + e^u) and the weights φ(z) dz/du for the trapezoidal rule over u; beyond, less than 1e-14 is left. */
const NODES = Array.from({ length: 108 }, (_, k) => {
  const u = LEAST_U + k * STEP;
  const z = Math.log1p(Math.exp(u));
  return { z, weight: (STEP * PEAK * Math.exp((-z * z) / 2)) / (1 + Math.exp(-u)) };
});

/**
 * Thurstone's model of the triangle:
 *   Pc(d′) = 2 ∫₀^∞ [Φ(−z√3 + d′√⅔) + Φ(−z√3 − d′√⅔)] φ(z) dz,
 * by the trapezoidal rule after z = log(1 + e^u), whose error falls exponentially with the number of points
 * (Trefethen, Weideman (2014), SIAM Review 56, 385–458). Absolute error below 1e-12.
 * Source: Ennis (1993), J. Sensory Studies 8, 353–370.
 * @throws RangeError unless dPrime is 0 or more.
 */
function proportionCorrect(dPrime: number): number {
  if (!(dPrime >= 0)) throw new RangeError(`dPrime must be 0 or more: ${dPrime}`);
  const shift = dPrime * Math.sqrt(2 / 3);
  let sum = 0;
  for (const { z, weight } of NODES) {
    const centre = -z * Math.sqrt(3);
    sum += weight * (normalCdf(centre + shift, 0, 1) + normalCdf(centre - shift, 0, 1));
  }
  return Math.min(1, 2 * sum);
}

/** Beyond this the model's proportion correct is 1 to the last digit. */
const GREATEST_D_PRIME = 25;
const MOST_STEPS = 100;

/**
 * By false position with the Illinois rule, which halves the weight of an end that stays.
 * @throws RangeError unless 0 ≤ proportionCorrect ≤ 1.
 */
function dPrime(wanted: number): number {
  if (!(wanted >= 0 && wanted <= 1))
    throw new RangeError(`proportionCorrect must be between 0 and 1: ${wanted}`);
  if (wanted <= TRIANGLE.guessing) return 0;
  if (wanted === 1) return Number.POSITIVE_INFINITY;
  let [low, high] = [0, GREATEST_D_PRIME];
  let [below, above] = [TRIANGLE.guessing - wanted, 1 - wanted];
  let stayed: 'low' | 'high' | undefined;
  for (let step = 0; step < MOST_STEPS && high - low > 1e-12; step += 1) {
    const next = (low * above - high * below) / (above - below);
    const miss = proportionCorrect(next) - wanted;
    if (miss === 0 || next <= low || next >= high) return next;
    if (miss < 0) {
      [low, below] = [next, miss];
      if (stayed === 'high') above /= 2;
      stayed = 'high';
    } else {
      [high, above] = [next, miss];
      if (stayed === 'low') below /= 2;
      stayed = 'low';
    }
  }
  return (low + high) / 2;
}
