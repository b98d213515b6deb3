import normalCdf from '@stdlib/stats-base-dists-normal-cdf';
import normalQuantile from '@stdlib/stats-base-dists-normal-quantile';
import tCdf from '@stdlib/stats-base-dists-t-cdf';
import tQuantileOf from '@stdlib/stats-base-dists-t-quantile';

/**
 * Beyond this many degrees of freedom the distribution is the normal one to eight digits, and the library loses its
 * way.
 */
export const MOST_DF = 1e9;

/**
 * Quantile of Student's t with `df` degrees of freedom, any positive number, Infinity included.
 * @throws RangeError unless 0 < probability < 1 and df > 0.
 */
export function tQuantile(probability: number, df: number): number {
  if (!(probability > 0 && probability < 1))
    throw new RangeError(`probability must be between 0 and 1: ${probability}`);
  requireDf(df);
  return df > MOST_DF ? normalQuantile(probability, 0, 1) : tQuantileOf(probability, df);
}

/**
 * P(|T| ≥ |t|) for Student's t with `df` degrees of freedom.
 * @throws RangeError unless df > 0.
 */
export function tTwoSided(t: number, df: number): number {
  return 2 * tBelow(-Math.abs(t), df);
}

/**
 * P(T ≤ t) for Student's t with `df` degrees of freedom.
 * @throws RangeError unless df > 0.
 */
export function tBelow(t: number, df: number): number {
  requireDf(df);
  return df > MOST_DF ? normalCdf(t, 0, 1) : tCdf(t, df);
}

function requireDf(df: number): void {
  if (!(df > 0)) throw new RangeError(`degrees of freedom must be above 0: ${df}`);
}
