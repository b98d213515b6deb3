/**
 * Kenward and Roger's standard errors and degrees of freedom for the random-intercept model, from sums. They allow
 * for the variances being estimated, which plain standard errors do not. Variance parameters: (θ²σ², σ²).
 * With r = 1/(1 + nθ²), u = r/σ², s = X_i'1 and all sums over members:
 *   P1 = −Σ u² ss',        P2 = −(X'X − Σ ss'/n + Σ (r²/n) ss')/σ⁴,
 *   Q11 = Σ n u³ ss',      Q12 = Σ u³ ss',      Q22 = (X'X − Σ ss'/n + Σ (r³/n) ss')/σ⁶,
 *   K11 = Σ (n u)²,        K12 = Σ n u²,        K22 = Σ (n − 1 + r²)/σ⁴,
 *   I_ab = K_ab − 2 tr(Φ Q_ab) + tr(Φ P_a Φ P_b),      W = 2 I⁻¹,
 *   Φ_A = Φ + 2Φ [Σ W_ab (Q_ab − P_a Φ P_b)] Φ.
 * For one contrast l: a_a = l'Φ P_a Φ l / l'Φ l,  df = 2 / Σ W_ab a_a a_b,  SE = √(l'Φ_A l).
 *
 * Sources: Kenward, Roger (1997), Biometrics 53, 983–997; Halekoh, Højsgaard (2014), Journal of Statistical
 * Software 59(9).
 */
import { Matrix } from 'ml-matrix';
import { bilinear, traceOfProduct } from '../algebra/matrix.js';
import type { Packed } from '../algebra/packed.js';
import { designPart, type FitSums, weighMembers } from './reml.js';

export interface KenwardRoger {
  /** Φ_A, the adjusted covariance of the coefficients */
  readonly covariance: Matrix;
  /** Φ, the plain covariance */
  readonly plain: Matrix;
  /** Φ P1 Φ and Φ P2 Φ */
  readonly slopes: readonly [Matrix, Matrix];
  /** W, the covariance of the two variances */
  readonly w: { readonly w11: number; readonly w12: number; readonly w22: number };
}

/** Undefined when the two variances cannot be told apart at all. */
export function kenwardRoger(
  sums: FitSums,
  theta: number,
  sigma: number,
  plain: Matrix,
): KenwardRoger | undefined {
  const s2 = sigma * sigma;
  const r = (n: number) => 1 / (1 + n * theta * theta);
  const part = (weight: (n: number) => number, start?: Packed) =>
    designPart(sums, weighMembers(sums, weight, start));
  const p1 = part((n) => r(n) ** 2).mul(-1 / s2 ** 2);
  const p2 = part((n) => r(n) ** 2 / n, sums.within).mul(-1 / s2 ** 2);
  const q11 = part((n) => n * r(n) ** 3).mul(1 / s2 ** 3);
  const q12 = part((n) => r(n) ** 3).mul(1 / s2 ** 3);
  const q22 = part((n) => r(n) ** 3 / n, sums.within).mul(1 / s2 ** 3);
  let k11 = 0;
  let k12 = 0;
  let k22 = 0;
  for (const { batches: n, members } of sums.groups) {
    const u = r(n) / s2;
    k11 += members * (n * u) ** 2;
    k12 += members * n * u * u;
    k22 += (members * (n - 1 + r(n) ** 2)) / s2 ** 2;
  }
  const p1Phi = p1.mmul(plain);
  const p2Phi = p2.mmul(plain);
  const i11 = k11 - 2 * traceOfProduct(plain, q11) + traceOfProduct(p1Phi, p1Phi);
  const i12 = k12 - 2 * traceOfProduct(plain, q12) + traceOfProduct(p1Phi, p2Phi);
  const i22 = k22 - 2 * traceOfProduct(plain, q22) + traceOfProduct(p2Phi, p2Phi);
  const determinant = i11 * i22 - i12 * i12;
  if (!(i11 > 0 && determinant > LEAST_DETERMINANT * i11 * i22)) return undefined;
  const w = { w11: (2 * i22) / determinant, w12: (-2 * i12) / determinant, w22: (2 * i11) / determinant };

  const p1PhiP2 = p1Phi.mmul(p2);
  const middle = Matrix.sub(q11, p1Phi.mmul(p1))
    .mul(w.w11)
    .add(Matrix.mul(q12, 2 * w.w12))
    .sub(Matrix.add(p1PhiP2, p1PhiP2.transpose()).mul(w.w12))
    .add(Matrix.sub(q22, p2Phi.mmul(p2)).mul(w.w22));
  const covariance = plain.mmul(middle).mmul(plain).mul(2).add(plain);
  return { covariance, plain, slopes: [plain.mmul(p1Phi), plain.mmul(p2Phi)], w };
}

/** Below this share of I11 I22 the determinant of the information is rounding. */
const LEAST_DETERMINANT = 1e-12;

export interface Precision {
  readonly standardError: number;
  readonly df: number;
}

/** Standard error and degrees of freedom of l'b. */
export function kenwardRogerPrecision({ covariance, plain, slopes, w }: KenwardRoger, l: Matrix): Precision {
  const variance = bilinear(l, plain, l);
  const a1 = bilinear(l, slopes[0], l) / variance;
  const a2 = bilinear(l, slopes[1], l) / variance;
  return {
    standardError: Math.sqrt(bilinear(l, covariance, l)),
    df: 2 / (w.w11 * a1 * a1 + 2 * w.w12 * a1 * a2 + w.w22 * a2 * a2),
  };
}
