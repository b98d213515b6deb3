/**
 * Satterthwaite's degrees of freedom, df = 2v² / (g' C g), for a variance v with gradient g in (θ, σ) and C the
 * asymptotic covariance of their estimates: twice the inverse of the Hessian of the criterion before σ is profiled
 * out. θ itself is the parameter, not θ²: on the boundary the criterion is not stationary in θ².
 *
 * Sources: Satterthwaite (1946), Biometrics Bulletin 2, 110–114; Giesbrecht, Burns (1985), Biometrics 41, 477–486;
 * Kuznetsova, Brockhoff, Christensen (2017), Journal of Statistical Software 82(13).
 */
import type { Matrix } from 'ml-matrix';
import { bilinear } from '../algebra/matrix.js';
import { curvatureAt, type FitSums, type Solution, slopeAt } from './reml.js';

/** Asymptotic covariance of the estimates of θ and σ. */
export interface ThetaSigmaCovariance {
  readonly thetaTheta: number;
  readonly thetaSigma: number;
  readonly sigmaSigma: number;
}

export interface Satterthwaite {
  readonly theta: number;
  readonly sigma: number;
  readonly residualDf: number;
  readonly covariance: ThetaSigmaCovariance;
  /** A⁻¹, so that Φ = σ²A⁻¹ */
  readonly inverse: Matrix;
  /** dΦ/dθ = σ² A⁻¹ M1 A⁻¹ */
  readonly thetaSlope: Matrix;
}

export function satterthwaite(sums: FitSums, solution: Solution): Satterthwaite {
  const residualDf = sums.batches - sums.rank;
  const variance = solution.residualSquares / residualDf;
  const sigma = Math.sqrt(variance);
  const slope = slopeAt(sums, solution);
  const { determinantSecond, residualSecond } = curvatureAt(sums, solution, slope);
  const tt = determinantSecond + residualSecond / variance;
  const ts = (-2 * slope.residualFirst) / sigma ** 3;
  const ss = (4 * residualDf) / variance;
  const determinant = tt * ss - ts * ts;
  const { inverse } = solution.a;
  return {
    theta: solution.theta,
    sigma,
    residualDf,
    covariance: {
      thetaTheta: (2 * ss) / determinant,
      thetaSigma: (-2 * ts) / determinant,
      sigmaSigma: (2 * tt) / determinant,
    },
    inverse,
    thetaSlope: inverse.mmul(slope.m1).mmul(inverse).mul(variance),
  };
}

/** Degrees of freedom of l'Φl, the squared standard error of l'b. */
export function contrastDf(fit: Satterthwaite, l: Matrix): number {
  return varianceDf(fit, fit.sigma ** 2 * bilinear(l, fit.inverse, l), bilinear(l, fit.thetaSlope, l));
}

/** Degrees of freedom of l'Φl + θ²σ² + σ²: the uncertainty of one batch by a cook not seen before. */
export function newMemberDf(fit: Satterthwaite, l: Matrix): number {
  const { theta, sigma } = fit;
  const variance = sigma ** 2 * (bilinear(l, fit.inverse, l) + 1 + theta ** 2);
  return varianceDf(fit, variance, bilinear(l, fit.thetaSlope, l) + 2 * theta * sigma ** 2);
}

/**
 * Degrees of freedom of any variance that is σ² times a function of θ.
 * @param thetaSlope its derivative in θ
 */
export function varianceDf(fit: Satterthwaite, variance: number, thetaSlope: number): number {
  const { theta, sigma, residualDf, covariance } = fit;
  // On the boundary the derivatives in θ vanish by symmetry and 2v²/(g'Cg) is N − p exactly
  if (theta === 0) return residualDf;
  const sigmaSlope = (2 * variance) / sigma;
  const spread =
    thetaSlope ** 2 * covariance.thetaTheta +
    2 * thetaSlope * sigmaSlope * covariance.thetaSigma +
    sigmaSlope ** 2 * covariance.sigmaSigma;
  return (2 * variance ** 2) / spread;
}
