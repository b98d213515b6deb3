/** Distance of every value from the median, in spreads that a few wild values cannot stretch. */
export interface ModifiedZ {
  readonly median: number;
  /** Median of |x − median|. */
  readonly medianDeviation: number;
  /** Mean of |x − median|. */
  readonly meanDeviation: number;
  /** Which spread z is counted in; none when all values are the same, and then every z is 0. */
  readonly scale: 'median-deviation' | 'mean-deviation' | 'none';
  /** That spread: z = (x − median) / spread. Infinite when all values are the same. */
  readonly spread: number;
  /** In the order of the values. */
  readonly z: readonly number[];
}

/** Beyond this |z| a value is odd. */
export const ODD_BEYOND = 3.5;

/** Fewer values than this have no spread of their own to speak of (common practice, no source). */
export const LEAST_FOR_OWN_SPREAD = 5;

/** Third quartile of the normal distribution, to the digits that the rule is published with. */
const MEDIAN_DEVIATION_PER_SD = 0.6745;

/** √(π/2): standard deviations of a normal distribution in one mean deviation. */
const SD_PER_MEAN_DEVIATION = 1.253314;

/**
 * z = 0.6745 (x − median) / median|x − median|, and when that spread is 0, because more than half of the values are
 * the same, (x − median) / (1.253314 mean|x − median|).
 * Source: Iglewicz, Hoaglin (1993), How to Detect and Handle Outliers; NIST/SEMATECH e-Handbook 1.3.5.17.
 * @throws RangeError when there are no values.
 */
export function modifiedZ(values: readonly number[]): ModifiedZ {
  const middle = median(values);
  const deviations = values.map((value) => Math.abs(value - middle));
  const medianDeviation = median(deviations);
  const meanDeviation = deviations.reduce((sum, deviation) => sum + deviation, 0) / deviations.length;
  const [scale, spread] = ((): readonly [ModifiedZ['scale'], number] => {
    if (medianDeviation > 0) return ['median-deviation', medianDeviation / MEDIAN_DEVIATION_PER_SD];
    if (meanDeviation > 0) return ['mean-deviation', SD_PER_MEAN_DEVIATION * meanDeviation];
    return ['none', Number.POSITIVE_INFINITY];
  })();
  const z = values.map((value) => (value - middle) / spread);
  return { median: middle, medianDeviation, meanDeviation, scale, spread, z };
}

/**
 * Middle value; of an even number, the mean of the two middle ones.
 * @throws RangeError when there are no values.
 */
export function median(values: readonly number[]): number {
  // A typed array sorts numbers as numbers, and fast.
  const sorted = Float64Array.from(values).sort();
  const half = Math.floor(sorted.length / 2);
  const upper = sorted[half];
  if (upper === undefined) throw new RangeError('no values have no median');
  return sorted.length % 2 === 1 ? upper : ((sorted[half - 1] ?? upper) + upper) / 2;
}
