import normalQuantile from '@stdlib/stats-base-dists-normal-quantile';
import type { Interval } from '../model/linear-estimate.js';

/**
 * Wilson's interval for a share of which `count` of `n` were counted, without continuity correction:
 * (p + z²/2n ± z √(p(1 − p)/n + z²/4n²)) / (1 + z²/n).
 * Source: Wilson (1927), J. American Statistical Association 22, 209–212.
 * @throws RangeError unless 0 ≤ count ≤ n, n ≥ 1 and 0 < level < 1.
 */
export function wilsonInterval(count: number, n: number, level = 0.95): Interval {
  if (!(n >= 1 && count >= 0 && count <= n))
    throw new RangeError(`count must be 0 to n, n 1 or more: ${count} of ${n}`);
  if (!(level > 0 && level < 1)) throw new RangeError(`level must be between 0 and 1: ${level}`);
  const z = normalQuantile((1 + level) / 2, 0, 1);
  const share = count / n;
  const z2n = (z * z) / n;
  const centre = (share + z2n / 2) / (1 + z2n);
  const margin = (z * Math.sqrt((share * (1 - share)) / n + z2n / (4 * n))) / (1 + z2n);
  return { low: count === 0 ? 0 : centre - margin, high: count === n ? 1 : centre + margin };
}
