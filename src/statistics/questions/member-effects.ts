import { Matrix } from 'ml-matrix';
import { bilinear, dot } from '../algebra/matrix.js';
import { type Interval, intervalOf } from '../model/linear-estimate.js';
import type { MixedFit } from '../model/mixed-model.js';
import type { MemberTotals } from '../model/sufficient-statistics.js';

/** How one member's yields stand against the typical cook's, methods, cuts, weights and hours allowed for. */
export interface MemberEffect {
  readonly member: string;
  readonly batches: number;
  /** Best linear unbiased prediction of the member's effect: drawn towards 0 the less there is to go by. */
  readonly effect: number;
  /** Standard deviation of the effect when the coefficients are taken as known. */
  readonly conditionalSd: number;
  /** Standard deviation of the prediction's error, the coefficients being estimated and θ taken as known. */
  readonly errorSd: number;
  /** Share of the member's own average that is kept, nθ²/(1 + nθ²): 0 for none, near 1 after many batches. */
  readonly kept: number;
}

/**
 * u = w (t − s'b), w = θ²/(1 + nθ²), with error variance θ²σ²/(1 + nθ²) + k'Φk, k = w s.
 * Source: Henderson (1975), Biometrics 31, 423–447.
 */
export function memberEffect(fit: MixedFit, totals: MemberTotals): MemberEffect {
  const { batches, weight, sums } = memberWeight(fit, totals);
  const conditional = weight * fit.sigma ** 2;
  return {
    member: totals.member,
    batches,
    effect: weight * (totals.response - dot(sums, fit.coefficients)),
    conditionalSd: Math.sqrt(conditional),
    errorSd: Math.sqrt(conditional + weight * weight * bilinear(sums, fit.covariance, sums)),
    kept: batches * weight,
  };
}

/**
 * An interval for a member's effect that allows for θ being estimated too, which `errorSd` does not: with few members
 * that covers too seldom. With d = t − s'b, of variance v = nσ²(1 + nθ²) − s'Φs, and w' = 2θ/(1 + nθ²)²,
 *   MSE = θ²σ²/(1 + nθ²) + w² s'Φs + 2 w'² v Var(θ),
 * by t with the degrees of freedom within members. Undefined where no difference between members is detected, as
 * the effect's own spread is not known then.
 * Sources: Prasad, Rao (1990), J. American Statistical Association 85, 163–171; for restricted maximum likelihood
 * Datta, Lahiri (2000), Statistica Sinica 10, 613–627.
 */
export function memberEffectInterval(
  fit: MixedFit,
  totals: MemberTotals,
  level = 0.95,
): Interval | undefined {
  if (fit.singular) return undefined;
  const { batches: n, sums } = memberWeight(fit, totals);
  const { effect, errorSd } = memberEffect(fit, totals);
  const shrinking = 1 + n * fit.theta ** 2;
  const slope = (2 * fit.theta) / shrinking ** 2;
  const deviation = n * fit.sigma ** 2 * shrinking - bilinear(sums, fit.covariance, sums);
  const ofTheta = slope ** 2 * Math.max(0, deviation) * fit.satterthwaite.covariance.thetaTheta;
  if (!(ofTheta >= 0)) return undefined;
  const standardError = Math.sqrt(errorSd ** 2 + 2 * ofTheta);
  return intervalOf(
    { estimate: effect, standardError, df: Math.max(1, fit.residualDf - fit.members + 1) },
    level,
  );
}

export interface MemberWeight {
  /** n */
  readonly batches: number;
  /** w = θ²/(1 + nθ²) */
  readonly weight: number;
  /** s in the kept columns */
  readonly sums: Matrix;
}

export function memberWeight(fit: MixedFit, { columns }: MemberTotals): MemberWeight {
  const batches = columns[0] ?? 0;
  const kept = fit.rank.kept.map(
    (position) => columns[fit.columns[position]?.fullColumn ?? -1] ?? Number.NaN,
  );
  return {
    batches,
    weight: fit.theta ** 2 / (1 + batches * fit.theta ** 2),
    sums: Matrix.columnVector(kept),
  };
}
