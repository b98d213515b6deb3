import { tQuantile } from '../algebra/distributions.js';
import type { MemberSums } from '../model/member-sums.js';

export { type MemberSums, memberSums, type WeighedBatch } from '../model/member-sums.js';

/** Why a pooled yield stands without an interval. */
export type NoInterval =
  /** One member only: how much members differ is unknown. */
  | 'fewer-than-two-members'
  /** Every batch gave the same yield, so nothing shows how uncertain it is. */
  | 'no-spread'
  /** So much of the fat is one member's that no spread between members can be estimated. */
  | 'one-member-holds-nearly-all';

export type YieldInterval =
  | {
      readonly kind: 'interval';
      /** Probability that the interval is made to cover, such as 0.95. */
      readonly level: number;
      readonly low: number;
      readonly high: number;
      /** Standard error, bias-reduced (CR2). */
      readonly standardError: number;
      /** Satterthwaite's degrees of freedom, 1 or more. */
      readonly df: number;
    }
  | { readonly kind: 'none'; readonly because: NoInterval };

export type PooledYield =
  | { readonly kind: 'no-batches' }
  | {
      readonly kind: 'pooled';
      /** Σ tallow ÷ Σ raw fat, a fraction. */
      readonly estimate: number;
      readonly interval: YieldInterval;
      readonly batches: number;
      readonly members: number;
      readonly fatG: number;
      readonly tallowG: number;
      /** Largest member's share of the batches, a fraction. */
      readonly largestShare: number;
      /** Largest member's share of the raw fat, a fraction. */
      readonly largestShareOfFat: number;
      /** 1 ÷ Σ (share of the batches)² (Kish): how many members with equal shares would say as much. */
      readonly effectiveMembers: number;
    };

/**
 * Pooled yield R = Σ tallow ÷ Σ raw fat with a t interval that stays honest when a few members log most batches:
 * bias-reduced linearisation (CR2) by member with Satterthwaite degrees of freedom.
 *
 * With w the raw fat of a batch, W = Σ w and e = yield − R, member i has the working covariance
 * B_i = I − (1 w' + w 1') / W + 1 1' Σw² / W², the adjusted weights p_i = B_i^(−½) w_i and
 *   SE² = Σ (p_i'e_i)² / W²,   df = (Σ M_ii)² / Σ M_ij²,
 *   M_ij = [i = j] p_i'p_i − (p_i'1 · w_j'p_j + p_i'w_i · 1'p_j) / W + (p_i'1)(1'p_j) Σw² / W².
 * B_i differs from I only on the span of 1 and w_i, and M is diagonal plus rank two, so that time is proportional
 * to the number of members.
 *
 * The ends are not held between 0 and 1: with few members they may lie outside.
 *
 * Sources: Bell, McCaffrey (2002), Survey Methodology 28, 169–181; Pustejovsky, Tipton (2018), J. Business and
 * Economic Statistics 36, 672–683; effective number: Kish (1965), Survey Sampling.
 * @throws RangeError unless 0 < level < 1 and every member has batches and fat.
 */
export function pooledYield(sums: Iterable<MemberSums>, level = 0.95): PooledYield {
  if (!(level > 0 && level < 1)) throw new RangeError(`level must be between 0 and 1: ${level}`);
  const members = [...sums];
  let batches = 0;
  let batchesSquared = 0;
  let mostBatches = 0;
  let fatG = 0;
  let mostFatG = 0;
  let fatG2 = 0;
  let tallowG = 0;
  for (const member of members) {
    if (!(member.batches >= 1 && member.fatG > 0))
      throw new RangeError(`a member must have batches and fat: ${member.batches}, ${member.fatG} g`);
    batches += member.batches;
    batchesSquared += member.batches ** 2;
    mostBatches = Math.max(mostBatches, member.batches);
    fatG += member.fatG;
    mostFatG = Math.max(mostFatG, member.fatG);
    fatG2 += member.fatG2;
    tallowG += member.tallowG;
  }
  if (batches === 0) return { kind: 'no-batches' };
  const estimate = tallowG / fatG;
  return {
    kind: 'pooled',
    estimate,
    interval: clusterRobustInterval(members, { estimate, fatG, fatG2 }, level),
    batches,
    members: members.length,
    fatG,
    tallowG,
    largestShare: mostBatches / batches,
    largestShareOfFat: mostFatG / fatG,
    effectiveMembers: batches ** 2 / batchesSquared,
  };
}

/** A standard error below this share of the yield is rounding, not spread. */
const LEAST_RELATIVE_SE = 1e-12;

interface Totals {
  readonly estimate: number;
  readonly fatG: number;
  readonly fatG2: number;
}

function clusterRobustInterval(members: readonly MemberSums[], totals: Totals, level: number): YieldInterval {
  if (members.length < 2) return { kind: 'none', because: 'fewer-than-two-members' };
  const { estimate, fatG: W } = totals;
  const kappa = totals.fatG2 / W ** 2;

  let variance = 0;
  let pp = 0; // Σ p'p
  let ppSquared = 0; // Σ (p'p)²
  let own = 0; // Σ p'p · (M_ii − p'p)
  let xx = 0; // Σ x², Σ x z and Σ z² with x = p'1, z = p'w
  let xz = 0;
  let zz = 0;
  for (const member of members) {
    const adjusted = adjustedWeights(member, totals);
    if (adjusted === undefined) return { kind: 'none', because: 'one-member-holds-nearly-all' };
    const { squared, dotOnes: x, dotFat: z, dotResiduals } = adjusted;
    variance += (dotResiduals / W) ** 2;
    pp += squared;
    ppSquared += squared ** 2;
    own += squared * (kappa * x * x - (2 * x * z) / W);
    xx += x * x;
    xz += x * z;
    zz += z * z;
  }
  const trace = pp - (2 * xz) / W + kappa * xx;
  // Σ_ij r_ij² = tr(C F C F) for r_ij = (x_i, z_i) C (x_j, z_j)', C = [[κ, −1/W], [−1/W, 0]], F = Σ (x, z)(x, z)'
  const cf11 = kappa * xx - xz / W;
  const cf12 = kappa * xz - zz / W;
  const cf21 = -xx / W;
  const cf22 = -xz / W;
  const sumOfSquares = ppSquared + 2 * own + cf11 ** 2 + 2 * cf12 * cf21 + cf22 ** 2;
  if (!(trace > 0 && sumOfSquares > 0)) return { kind: 'none', because: 'one-member-holds-nearly-all' };

  const standardError = Math.sqrt(variance);
  if (standardError <= LEAST_RELATIVE_SE * Math.abs(estimate)) return { kind: 'none', because: 'no-spread' };
  // M is positive semidefinite, so df ≥ 1; what falls below is rounding
  const df = Math.max(1, trace ** 2 / sumOfSquares);
  const margin = tQuantile((1 + level) / 2, df) * standardError;
  return { kind: 'interval', level, low: estimate - margin, high: estimate + margin, standardError, df };
}

interface AdjustedWeights {
  /** p'p */
  readonly squared: number;
  /** p'1 */
  readonly dotOnes: number;
  /** p'w */
  readonly dotFat: number;
  /** p'e */
  readonly dotResiduals: number;
}

/** Below this share of Σw² the weights of a member count as all equal. */
const EQUAL_WEIGHTS = 1e-12;

/**
 * p = B^(−½) w of one member, in the orthonormal basis q1 = 1/√n, q2 = (w − w̄)/√(Σ(w − w̄)²).
 * There w = (n w̄/√n, √Σ(w − w̄)²) and B = I + L'CL, a 2 × 2 matrix. Undefined when B has no inverse root.
 */
function adjustedWeights(
  member: MemberSums,
  { estimate, fatG: W, fatG2 }: Totals,
): AdjustedWeights | undefined {
  const rootN = Math.sqrt(member.batches);
  const mean = member.fatG / member.batches;
  const excess = member.fatG2 - member.fatG * mean;
  const rootExcess = excess > EQUAL_WEIGHTS * member.fatG2 ? Math.sqrt(excess) : 0;
  const w1 = rootN * mean;
  const w2 = rootExcess;

  const b11 = 1 - (2 * rootN * w1) / W + (rootN * rootN * fatG2) / W ** 2;
  const b12 = (-rootN * w2) / W;
  const b22 = 1;
  const determinant = b11 * b22 - b12 * b12;
  if (!(determinant > 0)) return undefined;
  // For a 2 × 2 matrix B with s = √|B|: B^(½) = (B + sI)/√(tr B + 2s), and its inverse is (adj B + sI)/(s √(tr B + 2s))
  const s = Math.sqrt(determinant);
  const scale = s * Math.sqrt(b11 + b22 + 2 * s);
  const p1 = ((b22 + s) * w1 - b12 * w2) / scale;
  const p2 = ((b11 + s) * w2 - b12 * w1) / scale;

  const residuals = member.yieldSum - estimate * member.batches;
  const weightedResiduals = member.tallowG - estimate * member.fatG;
  const e1 = residuals / rootN;
  const e2 = rootExcess > 0 ? (weightedResiduals - mean * residuals) / rootExcess : 0;
  return {
    squared: p1 * p1 + p2 * p2,
    dotOnes: p1 * rootN,
    dotFat: p1 * w1 + p2 * w2,
    dotResiduals: p1 * e1 + p2 * e2,
  };
}
