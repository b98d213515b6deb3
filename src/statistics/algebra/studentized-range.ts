import normalCdf from '@stdlib/stats-base-dists-normal-cdf';
import { MOST_DF } from './distributions.js';

/**
 * P(Q > q) for the studentized range Q of `means` independent normal means over an independent standard deviation
 * with `df` degrees of freedom (2 or more):
 *   P(Q > q) = ∫ f(s) P(range > q s) ds,   P(range ≤ w) = k ∫ φ(z) [Φ(z) − Φ(z − w)]^(k−1) dz,
 * s = χ_df/√df. Both integrals are taken by the trapezoidal rule, the outer one over log s: for functions that are
 * smooth and die away at both ends its error falls exponentially with the number of points (Trefethen, Weideman
 * (2014), SIAM Review 56, 385–458). Absolute error below 1e-10.
 *
 * Source of the formula: Copenhaver, Holland (1988), J. Statistical Computation and Simulation 30, 1–15.
 * @throws RangeError unless q is 0 or more, means a whole number of 2 or more, and df 2 or more.
 */
export function studentizedRangeUpper(q: number, means: number, degreesOfFreedom: number): number {
  const df = Math.min(degreesOfFreedom, MOST_DF);
  if (!(q >= 0)) throw new RangeError(`q must be 0 or more: ${q}`);
  if (!(Number.isInteger(means) && means >= 2))
    throw new RangeError(`means must be a whole number of 2 or more: ${means}`);
  if (!(df >= 2)) throw new RangeError(`df must be 2 or more: ${df}`);
  const step = Math.min(WIDEST_LOG_STEP, STEP_IN_SD / Math.sqrt(2 * df));
  const nodes = nodesFor(means);
  let weights = 0;
  let sum = 0;
  for (const direction of [-1, 1])
    for (let k = direction < 0 ? 1 : 0; ; k += 1) {
      const u = direction * k * step;
      // log of the density of u = log s, up to a constant, 0 at its peak u = 0
      const logWeight = df * (u - Math.expm1(2 * u) / 2);
      if (logWeight < LEAST_LOG_WEIGHT) break;
      const weight = Math.exp(logWeight);
      weights += weight;
      sum += weight * rangeUpper(q * Math.exp(u), means, nodes);
    }
  return Math.min(1, Math.max(0, sum / weights));
}

const WIDEST_LOG_STEP = 0.12;
/** log s has a standard deviation of about 1/√(2 df). */
const STEP_IN_SD = 0.5;
/** e^−39 is below 1e-16. */
const LEAST_LOG_WEIGHT = -39;

/** Beyond 8.5 standard deviations the normal density is below 1e-16. */
const REACH = 8.5;
const POINTS = 56;
const STEP = (2 * REACH) / POINTS;

interface Node {
  readonly z: number;
  readonly weight: number;
  /** Φ(z) */
  readonly below: number;
  /** Φ(z)^(k−1) */
  readonly allBelow: number;
}

const NODES = Array.from({ length: POINTS + 1 }, (_, i) => {
  const z = -REACH + i * STEP;
  return { z, weight: (STEP * Math.exp((-z * z) / 2)) / Math.sqrt(2 * Math.PI), below: normalCdf(z, 0, 1) };
});

/** The points that matter for this many means. */
function nodesFor(means: number): readonly Node[] {
  return NODES.map((node) => ({ ...node, allBelow: node.below ** (means - 1) })).filter(
    ({ weight, allBelow }) => weight * allBelow > LEAST_TERM,
  );
}

const LEAST_TERM = 1e-18;

/**
 * P(range of k standard normals > w). As k ∫ φ(z) Φ(z)^(k−1) dz = 1, the upper tail is the same integral of what the
 * bracket falls short of Φ(z).
 */
function rangeUpper(w: number, means: number, nodes: readonly Node[]): number {
  let upper = 0;
  for (const { z, weight, below, allBelow } of nodes)
    if (z - w > -REACH) upper += weight * (allBelow - (below - normalCdf(z - w, 0, 1)) ** (means - 1));
  return means * upper;
}
