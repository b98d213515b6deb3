/** What a batch will probably yield, and how sure that is. */
import normalQuantile from '@stdlib/stats-base-dists-normal-quantile';
import { withoutAliasedCovariates } from './aliased-covariates.js';
import { tQuantile } from './distributions.js';
import { levelSummaries } from './level-summaries.js';
import type { Interval, Setting } from './linear-estimate.js';
import { memberWeight } from './member-effects.js';
import { type Fit, type FitResult, fitMixedModel } from './mixed-model.js';
import { type Prediction, predictKnownMember, predictNewMember } from './predictions.js';
import type { MemberTotals, ModelSums } from './sufficient-statistics.js';
import { chooseMemberTerms, type TermChoice } from './term-choice.js';

/** A community's batches, ready to forecast from. */
export interface ForecastModel {
  readonly sums: ModelSums;
  /** Undefined when there is too little to fit. */
  readonly fit: Fit | undefined;
  /** The terms of the fit: all but the covariates that cannot be told apart from the rest. */
  readonly choice: TermChoice;
}

/** @param whole the fit of all terms, where it is known already */
export function forecastModel(sums: ModelSums, whole: FitResult = fitMixedModel(sums)): ForecastModel {
  const without = withoutAliasedCovariates(sums, whole);
  const fit = without?.fit ?? whole;
  const choice = without?.choice ?? {
    factors: sums.design.factors.map(({ name }) => name),
    covariates: sums.design.covariates.map(({ name }) => name),
  };
  return { sums, fit: fit.kind === 'none' ? undefined : fit, choice };
}

export interface ForecastRequest {
  readonly method: string;
  readonly cut: string;
  readonly fatG: number;
  /** Undefined: as long as this community's batches by the method usually take. */
  readonly minutes?: number | undefined;
  /** Sums of the member who will cook, in the full design; undefined for a newcomer. */
  readonly member?: MemberTotals | undefined;
}

/** What stands behind a forecast besides the community's batches. */
export interface ForecastBounds {
  /** Yield that is usual elsewhere, taken to hold for 8 batches in 10. */
  readonly commonPractice: Interval;
  /** Largest yield that the raw fat can give, a fraction. */
  readonly ceiling: number;
  /** Probability that the interval is made to cover. */
  readonly level?: number;
}

export interface Forecast extends Interval {
  /** Where it comes from; a blend mixes the community's batches with common practice by `trust`. */
  readonly basis: 'own-history' | 'community' | 'blend' | 'common-practice';
  /** Yield to expect, a fraction. */
  readonly expected: number;
  readonly level: number;
  /** Weight of the community's batches, from 0 (common practice only) to 1 (no common practice). */
  readonly trust: number;
  /** Share of the member's own average that is kept, from 0 to 1; the rest is drawn to everyone's. */
  readonly ownShare: number;
}

/**
 * The community's batches are trusted fully from this many batches beyond what the model needs, and for a newcomer
 * from this many members; below, in proportion (a choice of ours, no source).
 */
export const FULL_TRUST_RESIDUAL_DF = 30;
export const FULL_TRUST_MEMBERS = 6;

/** What common practice's range is taken to cover. */
const COMMON_PRACTICE_LEVEL = 0.8;

/**
 * The next batch's yield: for a member their own history drawn towards everyone's, for a newcomer the whole spread
 * between cooks. With too few batches to trust them fully the forecast is a mixture with common practice, weights
 * `trust` and 1 − trust: mean Σ w m, variance Σ w (s² + (m − mean)²). Held between 0 and the ceiling.
 * @throws RangeError unless fatG is above 0, 0 < level < 1 and 0 < ceiling ≤ 1.
 */
export function forecastYield(
  model: ForecastModel,
  request: ForecastRequest,
  bounds: ForecastBounds,
): Forecast {
  const { commonPractice, ceiling, level = 0.8 } = bounds;
  if (!(request.fatG > 0)) throw new RangeError(`fatG must be above 0: ${request.fatG}`);
  if (!(level > 0 && level < 1)) throw new RangeError(`level must be between 0 and 1: ${level}`);
  if (!(ceiling > 0 && ceiling <= 1))
    throw new RangeError(`ceiling must be above 0 and at most 1: ${ceiling}`);
  const known = knownToTheCommunity(model, request, level);
  const held = (value: number) => Math.min(ceiling, Math.max(0, value));
  const usual = {
    mean: (commonPractice.low + commonPractice.high) / 2,
    sd:
      (commonPractice.high - commonPractice.low) / 2 / normalQuantile((1 + COMMON_PRACTICE_LEVEL) / 2, 0, 1),
  };
  if (known === undefined) {
    const margin = normalQuantile((1 + level) / 2, 0, 1) * usual.sd;
    return {
      basis: 'common-practice',
      expected: held(usual.mean),
      low: held(usual.mean - margin),
      high: held(usual.mean + margin),
      level,
      trust: 0,
      ownShare: 0,
    };
  }
  const { prediction, trust, ownShare, own } = known;
  const mean = trust * prediction.estimate + (1 - trust) * usual.mean;
  const variance =
    trust * (prediction.predictionSd ** 2 + (prediction.estimate - mean) ** 2) +
    (1 - trust) * (usual.sd ** 2 + (usual.mean - mean) ** 2);
  const margin = tQuantile((1 + level) / 2, prediction.predictionDf) * Math.sqrt(variance);
  return {
    basis: trust < 1 ? 'blend' : own ? 'own-history' : 'community',
    expected: held(mean),
    low: held(mean - margin),
    high: held(mean + margin),
    level,
    trust,
    ownShare,
  };
}

interface Known {
  readonly prediction: Prediction;
  readonly trust: number;
  readonly ownShare: number;
  readonly own: boolean;
}

function knownToTheCommunity(
  model: ForecastModel,
  request: ForecastRequest,
  level: number,
): Known | undefined {
  const { fit, sums, choice } = model;
  if (fit === undefined) return undefined;
  const setting = settingOf(model, request);
  const enoughBatches = Math.min(1, fit.residualDf / FULL_TRUST_RESIDUAL_DF);
  const { member } = request;
  const history = member !== undefined && (member.columns[0] ?? 0) > 0 ? member : undefined;

  if (history !== undefined && fit.kind === 'mixed') {
    const totals = chooseMemberTerms(sums.design, history, choice);
    const prediction = predictKnownMember(fit, totals, setting, level);
    if (prediction.kind !== 'prediction') return undefined;
    const { batches, weight } = memberWeight(fit, totals);
    return { prediction, trust: enoughBatches, ownShare: batches * weight, own: true };
  }
  const prediction = predictNewMember(fit, setting, level);
  if (prediction.kind !== 'prediction') return undefined;
  // All batches are one member's: for that member they are their own history, for others they say nothing of the
  // spread between cooks
  const alone = history !== undefined && fit.kind === 'least-squares' && fit.because === 'one-member';
  const trust = alone ? enoughBatches : Math.min(enoughBatches, (fit.members - 1) / (FULL_TRUST_MEMBERS - 1));
  return trust === 0 ? undefined : { prediction, trust, ownShare: alone ? 1 : 0, own: alone };
}

function settingOf(
  { sums, choice }: ForecastModel,
  { method, cut, fatG, minutes }: ForecastRequest,
): Setting {
  const usual = levelSummaries(sums, 'method').find(({ level }) => level === method)?.covariateMeans.hours;
  const hours = minutes === undefined ? usual : minutes / 60;
  const covariates = { log_fat_kg: Math.log(fatG / 1000), ...(hours === undefined ? {} : { hours }) };
  return {
    levels: { method, cut },
    covariates: Object.fromEntries(
      Object.entries(covariates).filter(([name]) => choice.covariates.includes(name)),
    ),
  };
}
