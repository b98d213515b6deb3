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
  return tQuantileOf(probability, Math.min(df, MOST_DF));
}

/**
 * P(|T| ≥ |t|) for Student's t with `df` degrees of freedom.
 * @throws RangeError unless df > 0.
 */
export function tTwoSided(t: number, df: number): number {
  requireDf(df);
  return 2 * tCdf(-Math.abs(t), Math.min(df, MOST_DF));
}

function requireDf(df: number): void {
  if (!(df > 0)) throw new RangeError(`degrees of freedom must be above 0: ${df}`);
}
