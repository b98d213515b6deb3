/** One finished batch, as far as the pooled yield needs it. */
export interface WeighedBatch {
  readonly member: string;
  readonly fatG: number;
  readonly tallowG: number;
}

/**
 * What one member's batches add up to: all that the pooled yield and its interval need to know of them.
 * A database computes it in one pass with count and sum, grouped by member.
 */
export interface MemberSums {
  /** Number of batches, at least 1. */
  readonly batches: number;
  /** Σ raw fat, g. */
  readonly fatG: number;
  /** Σ (raw fat)², g². */
  readonly fatG2: number;
  /** Σ tallow, g. It is also Σ fat × yield. */
  readonly tallowG: number;
  /** Σ yield, where a batch's yield is its tallow ÷ its raw fat. */
  readonly yieldSum: number;
}

/**
 * Adds up batches by member, in the order in which the members first appear.
 * @throws RangeError unless every fat is finite and above 0 and every tallow finite.
 */
export function memberSums(batches: Iterable<WeighedBatch>): ReadonlyMap<string, MemberSums> {
  const sums = new Map<string, { -readonly [key in keyof MemberSums]: number }>();
  for (const { member, fatG, tallowG } of batches) {
    if (!(fatG > 0 && Number.isFinite(fatG))) throw new RangeError(`fatG must be above 0: ${fatG}`);
    if (!Number.isFinite(tallowG)) throw new RangeError(`tallowG must be finite: ${tallowG}`);
    let sum = sums.get(member);
    if (sum === undefined) {
      sum = { batches: 0, fatG: 0, fatG2: 0, tallowG: 0, yieldSum: 0 };
      sums.set(member, sum);
    }
    sum.batches += 1;
    sum.fatG += fatG;
    sum.fatG2 += fatG * fatG;
    sum.tallowG += tallowG;
    sum.yieldSum += tallowG / fatG;
  }
  return sums;
}
