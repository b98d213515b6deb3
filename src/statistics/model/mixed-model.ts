/**
 * Linear model of a response on factors and covariates with a random intercept for each member, fitted by restricted
 * maximum likelihood from sums, or by least squares where a spread between members cannot be had.
 */
import { Matrix } from 'ml-matrix';
import { walkRank } from '../algebra/rank.js';
import { type KenwardRoger, kenwardRoger } from './kenward-roger.js';
import { type ModelFrame, modelFrame, sumsOfKept } from './model-frame.js';
import { designPart, type FitSums, minimise, type Solution, solveAt } from './reml.js';
import { type Satterthwaite, satterthwaite } from './satterthwaite.js';
import type { ModelSums } from './sufficient-statistics.js';

/** What every fit has. Matrices are in the kept columns, in order; covariates and response are shifted. */
interface FitCore extends ModelFrame {
  readonly batches: number;
  readonly members: number;
  /** Batches less rank. */
  readonly residualDf: number;
  /** b, rank × 1 */
  readonly coefficients: Matrix;
  /** Φ, covariance of b */
  readonly covariance: Matrix;
  /** σ, standard deviation from batch to batch */
  readonly sigma: number;
  /** REML criterion, −2 × restricted log-likelihood. */
  readonly criterion: number;
}

export interface MixedFit extends FitCore {
  readonly kind: 'mixed';
  /** Standard deviation between members over that within. */
  readonly theta: number;
  readonly sigmaMember: number;
  /** No difference between members detected: θ estimated as exactly 0, which is not proof of 0. */
  readonly singular: boolean;
  readonly satterthwaite: Satterthwaite;
  readonly kenwardRoger: KenwardRoger | undefined;
}

/** Why members are not told apart. */
export type NoMemberTerm =
  /** The answers describe this one cook only. */
  | 'one-member'
  /** The spread from cook to cook and from batch to batch cannot be separated. */
  | 'one-batch-each'
  /** Members with more than one batch changed something every time: the two spreads cannot be separated either. */
  | 'nothing-repeated'
  /** Each cook kept to ways of their own, so that cooks cannot be told from methods, cuts, weights and times. */
  | 'each-their-own-way';

export interface LeastSquaresFit extends FitCore {
  readonly kind: 'least-squares';
  readonly because: NoMemberTerm;
}

/** Why there is no fit at all. */
export type NoFit =
  | 'no-batches'
  /** No more batches than coefficients: raw numbers only. */
  | 'no-residual-df'
  /** The model fits every batch exactly, as when all yields are the same. */
  | 'no-spread'
  /** Each member got the same every time: how sure that is cannot be said. */
  | 'no-spread-within-members';

export type Fit = MixedFit | LeastSquaresFit;
export type FitResult = Fit | { readonly kind: 'none'; readonly because: NoFit };

/** Fits the model of the design whose sums these are. */
export function fitMixedModel(sums: ModelSums): FitResult {
  const { total, groups } = sums;
  if (total.batches === 0) return { kind: 'none', because: 'no-batches' };
  const frame = modelFrame(sums);
  const residualDf = total.batches - frame.rank.kept.length;
  if (residualDf <= 0) return { kind: 'none', because: 'no-residual-df' };
  const fitted = sumsOfKept(sums, frame);

  const members = groups.reduce((sum, group) => sum + group.members, 0);
  const core = (solution: Solution): FitCore => {
    const variance = solution.residualSquares / residualDf;
    return {
      ...frame,
      batches: total.batches,
      members,
      residualDf,
      coefficients: solution.coefficients,
      covariance: Matrix.mul(solution.a.inverse, variance),
      sigma: Math.sqrt(variance),
      criterion: solution.criterion,
    };
  };

  const because = noMemberTerm(fitted, members);
  if (because !== undefined) {
    const solution = solveAt(fitted, 0);
    if (solution === undefined) return { kind: 'none', because: 'no-spread' };
    return { kind: 'least-squares', because, ...core(solution) };
  }
  const solution = minimise(fitted);
  if (solution === undefined)
    return {
      kind: 'none',
      because: solveAt(fitted, 0) === undefined ? 'no-spread' : 'no-spread-within-members',
    };
  const shared = core(solution);
  const { theta } = solution;
  // Residuals need neither, and both take longer than the fit.
  const satterthwaiteOf = once(() => satterthwaite(fitted, solution));
  const kenwardRogerOf = once(() => kenwardRoger(fitted, theta, shared.sigma, shared.covariance));
  return {
    kind: 'mixed',
    ...shared,
    theta,
    sigmaMember: theta * shared.sigma,
    singular: theta === 0,
    get satterthwaite() {
      return satterthwaiteOf();
    },
    get kenwardRoger() {
      return kenwardRogerOf();
    },
  };
}

/** Worked out when it is first asked for, and kept. */
function once<T>(work: () => T): () => T {
  let kept: { readonly value: T } | undefined;
  return () => {
    kept ??= { value: work() };
    return kept.value;
  };
}

function noMemberTerm(sums: FitSums, members: number): NoMemberTerm | undefined {
  if (members === 1) return 'one-member';
  if (members === sums.batches) return 'one-batch-each';
  // Rank of the model's columns and the members together; what it leaves of the batches shows the spread within, and
  // what it has beyond the model's columns the spread between
  const together = members + rankWithin(sums);
  if (together >= sums.batches) return 'nothing-repeated';
  return together <= sums.rank ? 'each-their-own-way' : undefined;
}

/** A column that keeps less than this of its sum of squares does not change within members. */
const LEAST_WITHIN_SHARE = 1e-10;

/** Rank of the columns once each member's own mean is taken off. */
function rankWithin(sums: FitSums): number {
  const total = designPart(sums, sums.total);
  const within = designPart(sums, sums.within);
  for (let i = 0; i < within.rows; i += 1)
    if (within.get(i, i) <= LEAST_WITHIN_SHARE * total.get(i, i))
      for (let j = 0; j < within.rows; j += 1) within.set(i, j, 0).set(j, i, 0);
  return walkRank(within).kept.length;
}
