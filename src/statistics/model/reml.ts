/**
 * The restricted maximum likelihood (REML) criterion of the random-intercept model, from sums.
 *
 * Member i has n_i batches, y_i = X_i b + 1 u_i + e_i, u_i ~ N(0, θ²σ²), e_i ~ N(0, σ²I); θ is the spread between
 * members over the spread within. With s_i = X_i'1, t_i = 1'y_i and r_i = 1/(1 + n_i θ²) (Woodbury's identity):
 *   A = X'V⁻¹X σ² = (X'X − Σ ss'/n) + Σ (r/n) ss',   c likewise with X'y and st,   b = A⁻¹c,
 *   R = (y'y − Σ t²/n) + Σ (r/n) t² − c'b,
 *   criterion(θ) = Σ log(1 + nθ²) + log|A| + (N − p)(1 + log(2πR/(N − p))),   σ² = R/(N − p).
 * Written with the sums within members taken apart, nothing cancels when θ is large.
 *
 * Source: Bates, Mächler, Bolker, Walker (2015), Journal of Statistical Software 67(1), section 3.4.
 */
import type { Matrix } from 'ml-matrix';
import { bilinear, dot, type Inverse, invertSymmetric, traceOfProduct } from '../algebra/matrix.js';
import { accumulate, lastColumn, lastEntry, type Packed, unpack } from '../algebra/packed.js';

/** Members with the same number of batches. */
export interface SizeGroup {
  readonly batches: number;
  readonly members: number;
  /** Σ (s, t)(s, t)' */
  readonly products: Packed;
}

/** Cross-products of the kept columns of the model with y as one more column at the end. */
export interface FitSums {
  /** N */
  readonly batches: number;
  /** p */
  readonly rank: number;
  /** (X, y)'(X, y) */
  readonly total: Packed;
  /** (X, y)'(X, y) − Σ (s, t)(s, t)'/n */
  readonly within: Packed;
  readonly groups: readonly SizeGroup[];
}

/** Takes the sums between members off those over all batches. */
export function fitSums(batches: number, rank: number, total: Packed, groups: readonly SizeGroup[]): FitSums {
  const within = total.slice();
  for (const group of groups) accumulate(within, group.products, -1 / group.batches);
  return { batches, rank, total, within, groups };
}

/** Σ weight(n) (s, t)(s, t)' over members, added to `start`. */
export function weighMembers(sums: FitSums, weight: (n: number) => number, start?: Packed): Packed {
  const result = start?.slice() ?? new Float64Array(sums.total.length);
  for (const { batches, products } of sums.groups) accumulate(result, products, weight(batches));
  return result;
}

/** The p × p part that belongs to X. */
export function designPart({ rank }: FitSums, packed: Packed): Matrix {
  return unpack(packed, rank + 1, rank);
}

/** The model at one θ. */
export interface Solution {
  readonly theta: number;
  readonly criterion: number;
  /** A⁻¹ and log|A| */
  readonly a: Inverse;
  /** b, p × 1 */
  readonly coefficients: Matrix;
  /** R, the weighted residual sum of squares */
  readonly residualSquares: number;
}

/** Share of y'y below which what is left over is rounding. */
const LEAST_RESIDUAL = 1e-13;

/** (X, y)'V⁻¹(X, y) σ² at this θ */
export function weightedProducts(sums: FitSums, theta: number): Packed {
  if (theta === 0) return sums.total;
  return weighMembers(sums, (n) => 1 / (n * (1 + n * theta * theta)), sums.within);
}

/** Undefined when A is singular at this θ or no residual is left. */
export function solveAt(sums: FitSums, theta: number): Solution | undefined {
  const weighted = weightedProducts(sums, theta);
  const a = invertSymmetric(designPart(sums, weighted));
  if (a === undefined) return undefined;
  const xy = lastColumn(weighted, sums.rank + 1);
  const coefficients = a.solve(xy);
  const residualSquares = lastEntry(weighted) - dot(xy, coefficients);
  if (!(residualSquares > LEAST_RESIDUAL * lastEntry(weighted))) return undefined;
  const df = sums.batches - sums.rank;
  let criterion = a.logDeterminant + df * (1 + Math.log((2 * Math.PI * residualSquares) / df));
  for (const { batches, members } of sums.groups) criterion += members * Math.log1p(batches * theta * theta);
  return { theta, criterion, a, coefficients, residualSquares };
}

/**
 * First derivative of the criterion in θ and what the second needs too, with w = θ²/(1 + nθ²), w' = 2θ/(1 + nθ²)²,
 * M1 = Σ w' ss' and d = t − s'b:
 *   R' = −Σ w' d²,   (log|A|)' = −tr(A⁻¹M1),   (Σ log(1 + nθ²))' = Σ 2nθ/(1 + nθ²).
 */
export interface Slope {
  readonly first: number;
  /** M1 */
  readonly m1: Matrix;
  /** R' */
  readonly residualFirst: number;
  /** g = Σ w' s d */
  readonly g: Matrix;
}

export function slopeAt(sums: FitSums, { theta, coefficients: b, residualSquares, a }: Solution): Slope {
  const weighted = weighMembers(sums, (n) => (2 * theta) / (1 + n * theta * theta) ** 2);
  const m1 = designPart(sums, weighted);
  const h1 = lastColumn(weighted, sums.rank + 1);
  const g = m1.mmul(b).mul(-1).add(h1);
  const residualFirst = -(lastEntry(weighted) - dot(h1, b) - dot(g, b));
  let first = ((sums.batches - sums.rank) * residualFirst) / residualSquares - traceOfProduct(a.inverse, m1);
  for (const { batches: n, members } of sums.groups)
    first += (members * 2 * n * theta) / (1 + n * theta * theta);
  return { first, m1, residualFirst, g };
}

/**
 * Second derivatives in θ, with w'' = (2 − 6nθ²)/(1 + nθ²)³ and M2 = Σ w'' ss':
 *   R'' = −Σ w'' d² − 2 g'A⁻¹g,   (log|A|)'' = −tr(A⁻¹M2) − tr(A⁻¹M1A⁻¹M1).
 */
export interface Curvature {
  /** Second derivative of the criterion */
  readonly second: number;
  /** R'' */
  readonly residualSecond: number;
  /** Second derivative of Σ log(1 + nθ²) + log|A| */
  readonly determinantSecond: number;
}

export function curvatureAt(sums: FitSums, solution: Solution, slope: Slope): Curvature {
  const { theta, coefficients: b, residualSquares, a } = solution;
  const t2 = theta * theta;
  const weighted = weighMembers(sums, (n) => (2 - 6 * n * t2) / (1 + n * t2) ** 3);
  const m2 = designPart(sums, weighted);
  const h2 = lastColumn(weighted, sums.rank + 1);
  const squares = lastEntry(weighted) - 2 * dot(h2, b) + bilinear(b, m2, b);
  const residualSecond = -squares - 2 * bilinear(slope.g, a.inverse, slope.g);
  const am1 = a.inverse.mmul(slope.m1);
  let determinantSecond = -traceOfProduct(a.inverse, m2) - traceOfProduct(am1, am1);
  for (const { batches: n, members } of sums.groups)
    determinantSecond += (members * 2 * n * (1 - n * t2)) / (1 + n * t2) ** 2;
  const relative = slope.residualFirst / residualSquares;
  const second =
    determinantSecond + (sums.batches - sums.rank) * (residualSecond / residualSquares - relative ** 2);
  return { second, residualSecond, determinantSecond };
}

/** θ at which the slope is looked at: closest where θ usually lies, and far enough out to see that it has no end. */
const GRID: readonly number[] = [1e-5, 1e-4, ...Array.from({ length: 25 }, (_, k) => 10 ** (k / 4 - 3)), 1e4];

/** Newton's steps end when θ moves by less than this share of itself; the error left is about its square. */
const LAST_STEP = 1e-8;
const MOST_STEPS = 100;

/** A criterion that is lower than that of θ = 0 by less than this is so by rounding. */
const LEAST_GAIN = 1e-9;

/**
 * The θ ≥ 0 with the smallest criterion: every stretch of the grid in which the slope turns from falling to rising is
 * searched by Newton's method with bisection as safeguard, and the lowest of those minima and θ = 0 wins.
 * Undefined when the criterion still falls where the grid ends (members agree with themselves exactly, so that θ has
 * no upper bound) or cannot be evaluated at all.
 */
export function minimise(sums: FitSums): Solution | undefined {
  let best = solveAt(sums, 0);
  let falling: number | undefined;
  for (const theta of GRID) {
    const solution = solveAt(sums, theta);
    if (solution === undefined) break;
    if (slopeAt(sums, solution).first < 0) falling = theta;
    else if (falling !== undefined) {
      const minimum = rootBetween(sums, falling, theta);
      if (minimum !== undefined && (best === undefined || minimum.criterion < best.criterion - LEAST_GAIN))
        best = minimum;
      falling = undefined;
    }
  }
  return falling === undefined ? best : undefined;
}

function rootBetween(sums: FitSums, from: number, to: number): Solution | undefined {
  let [low, high] = [from, to];
  let theta = Math.sqrt(low * high);
  for (let step = 0; step < MOST_STEPS; step += 1) {
    const solution = solveAt(sums, theta);
    if (solution === undefined) return undefined;
    const slope = slopeAt(sums, solution);
    if (slope.first < 0) low = theta;
    else high = theta;
    const newton = theta - slope.first / curvatureAt(sums, solution, slope).second;
    const next = newton > low && newton < high ? newton : (low + high) / 2;
    const moved = Math.abs(next - theta);
    theta = next;
    if (moved <= LAST_STEP * theta) break;
  }
  return solveAt(sums, theta);
}
