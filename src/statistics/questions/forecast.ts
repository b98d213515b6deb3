/** What a batch will probably yield, and how sure that is. */
import normalQuantile from '@stdlib/stats-base-dists-normal-quantile';
import { Matrix } from 'ml-matrix';
import { tBelow, tQuantile } from '../algebra/distributions.js';
import { bilinear } from '../algebra/matrix.js';
import { withoutAliasedCovariates } from '../model/aliased-covariates.js';
import type { CovariateRanges } from '../model/batch-design.js';
import { type Design, levelColumn } from '../model/design.js';
import type { Interval, Setting } from '../model/linear-estimate.js';
import { type Fit, type FitResult, fitMixedModel } from '../model/mixed-model.js';
import { keptColumns } from '../model/model-frame.js';
import type { MemberTotals, ModelSums } from '../model/sufficient-statistics.js';
import { chooseMemberTerms, chooseTerms, type TermChoice } from '../model/term-choice.js';
import { levelSummaries } from './level-summaries.js';
import { memberWeight } from './member-effects.js';
import { type Prediction, predictKnownMember, predictNewMember } from './predictions.js';
import { USUAL_SPREAD } from './spread.js';

/** A community's batches, ready to forecast from. */
export interface ForecastModel {
  readonly sums: ModelSums;
  /** Beyond what was logged a straight line is no guide. */
  readonly logged: CovariateRanges;
  /** Undefined when there is too little to fit. */
  readonly fit: Fit | undefined;
  /** The terms of the fit: all but the covariates that cannot be told apart from the rest. */
  readonly choice: TermChoice;
  /** Of the mean of the average batch; 0 where there is no fit. */
  readonly averageVariance: number;
}

/** @param whole the fit of all terms, where it is known already */
export function forecastModel(
  sums: ModelSums,
  logged: CovariateRanges,
  whole: FitResult = fitMixedModel(sums),
): ForecastModel {
  const without = withoutAliasedCovariates(sums, whole);
  const fit = without?.fit ?? whole;
  const choice = without?.choice ?? {
    factors: sums.design.factors.map(({ name }) => name),
    covariates: sums.design.covariates.map(({ name }) => name),
  };
  if (fit.kind === 'none') return { sums, logged, fit: undefined, choice, averageVariance: 0 };
  return { sums, logged, fit, choice, averageVariance: varianceOfAverage(fit, chooseTerms(sums, choice)) };
}

/** x̄'Φx̄, x̄ the mean of all rows */
function varianceOfAverage(fit: Fit, { total }: ModelSums): number {
  const average = Matrix.columnVector(
    keptColumns(fit).map(({ fullColumn }) => (total.xx[fullColumn] ?? 0) / total.batches),
  );
  return bilinear(average, fit.covariance, average);
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
  /** Covariates that lie beyond what was logged, and what is reckoned with in their place. */
  readonly beyond: Readonly<Record<string, number>>;
}

/**
 * The community's batches are trusted fully from this many batches beyond what the model needs, for a newcomer from
 * this many members, and where what is asked for is as sure as so many batches just like it would make it; below,
 * in proportion (a choice of ours, no source).
 */
export const FULL_TRUST_RESIDUAL_DF = 30;
export const FULL_TRUST_MEMBERS = 6;
export const FULL_TRUST_ALIKE = 3;

/** What common practice's range is taken to cover. */
const COMMON_PRACTICE_LEVEL = 0.8;

/**
 * The next batch's yield: for a member their own history drawn towards everyone's, for a newcomer the whole spread
 * between cooks. With too few batches to trust them fully the forecast is a mixture with common practice, weights
 * `trust` and 1 − trust, and the interval goes between quantiles of that mixture. Held between 0 and the ceiling.
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
  const held = (value: number) => Math.min(ceiling, Math.max(0, value));
  const usual: Bell = {
    mean: (commonPractice.low + commonPractice.high) / 2,
    sd:
      (commonPractice.high - commonPractice.low) / 2 / normalQuantile((1 + COMMON_PRACTICE_LEVEL) / 2, 0, 1),
    df: Number.POSITIVE_INFINITY,
  };
  const known = knownToTheCommunity(model, request);
  const { trust, ownShare, beyond } = known ?? { trust: 0, ownShare: 0, beyond: {} };
  const parts: readonly Part[] = [
    ...(known ? [{ weight: trust, bell: known.bell }] : []),
    ...(trust < 1 ? [{ weight: 1 - trust, bell: usual }] : []),
  ];
  const low = held(quantileOf(parts, (1 - level) / 2, ceiling));
  const high = held(quantileOf(parts, (1 + level) / 2, ceiling));
  const mean = parts.reduce((sum, { weight, bell }) => sum + weight * held(bell.mean), 0);
  return {
    basis: basisOf(known),
    expected: Math.min(high, Math.max(low, mean)),
    low,
    high,
    level,
    trust,
    ownShare,
    beyond,
  };
}

function basisOf(known: Known | undefined): Forecast['basis'] {
  if (known === undefined) return 'common-practice';
  if (known.trust < 1) return 'blend';
  return known.own ? 'own-history' : 'community';
}

/** A t distribution, moved and stretched; the normal one with infinitely many degrees of freedom. */
interface Bell {
  readonly mean: number;
  readonly sd: number;
  readonly df: number;
}

interface Part {
  readonly weight: number;
  readonly bell: Bell;
}

/** Halving so often leaves less than a millionth of a millionth. */
const HALVINGS = 40;

/** The yield that a mixture stays below with this probability; of more than one part, between 0 and the ceiling. */
function quantileOf(parts: readonly Part[], probability: number, ceiling: number): number {
  const [only, ...others] = parts;
  if (only !== undefined && others.length === 0)
    return only.bell.mean + tQuantile(probability, only.bell.df) * only.bell.sd;
  const below = (value: number) =>
    parts.reduce(
      (sum, { weight, bell: { mean, sd, df } }) => sum + weight * tBelow((value - mean) / sd, df),
      0,
    );
  let [low, high] = [0, ceiling];
  for (let halving = 0; halving < HALVINGS; halving += 1) {
    const middle = (low + high) / 2;
    if (below(middle) < probability) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

interface Known {
  readonly bell: Bell;
  readonly trust: number;
  readonly ownShare: number;
  readonly own: boolean;
  readonly beyond: Forecast['beyond'];
}

function knownToTheCommunity(model: ForecastModel, request: ForecastRequest): Known | undefined {
  const { fit, sums, choice, averageVariance } = model;
  if (fit === undefined) return undefined;
  const { setting, beyond } = settingOf(model, request);
  const { member } = request;
  const history = member !== undefined && (member.columns[0] ?? 0) > 0 ? member : undefined;
  const typical = predictNewMember(fit, setting);
  if (typical.kind !== 'prediction') return undefined;
  const enoughBatches = Math.min(
    1,
    fit.residualDf / FULL_TRUST_RESIDUAL_DF,
    batchesAlike(fit, averageVariance, typical) / FULL_TRUST_ALIKE,
  );

  if (history !== undefined && fit.kind === 'mixed') {
    const totals = chooseMemberTerms(sums.design, history, choice);
    const prediction = predictKnownMember(fit, totals, setting);
    if (prediction.kind !== 'prediction') return undefined;
    const { batches, weight } = memberWeight(fit, totals);
    return {
      bell: bellOf(prediction),
      trust: enoughBatches,
      ownShare: batches * weight,
      own: true,
      beyond,
    };
  }
  if (history !== undefined && isTheirOwn(fit, sums.design, history, request.method))
    return { bell: bellOf(typical), trust: enoughBatches, ownShare: 1, own: true, beyond };
  const trust = Math.min(enoughBatches, (fit.members - 1) / (FULL_TRUST_MEMBERS - 1));
  if (trust === 0) return undefined;
  return {
    bell: bellOf(typical, keptToTheirWays(fit) ? 2 * USUAL_SPREAD.member ** 2 : 0),
    trust,
    ownShare: 0,
    own: false,
    beyond,
  };
}

/**
 * How many batches at the very setting would leave its mean as unsure as it is, beyond what is unsure of the average
 * batch: σ²/(l'Φl − x̄'Φx̄), x̄ the mean of all rows.
 */
function batchesAlike(fit: Fit, averageVariance: number, { standardError }: Prediction): number {
  const own = standardError ** 2 - averageVariance;
  return own > 0 ? fit.sigma ** 2 / own : Number.POSITIVE_INFINITY;
}

/** @param unseen variance between cooks that the fit cannot see */
function bellOf({ estimate, predictionSd, predictionDf }: Prediction, unseen = 0): Bell {
  return { mean: estimate, sd: Math.sqrt(predictionSd ** 2 + unseen), df: predictionDf };
}

/** Where each cook has ways of their own, a level holds its cook, and another differs from it as two cooks do. */
const keptToTheirWays = (fit: Fit): boolean =>
  fit.kind === 'least-squares' && fit.because === 'each-their-own-way';

/** Whether all that the fit says of a method is the member's own doing. */
function isTheirOwn(fit: Fit, design: Design, { columns }: MemberTotals, method: string): boolean {
  if (fit.kind !== 'least-squares') return false;
  if (fit.because === 'one-member') return true;
  const factor = design.factors.findIndex(({ name }) => name === 'method');
  return keptToTheirWays(fit) && (columns[levelColumn(design, factor, method)] ?? 0) > 0;
}

/** Where to look, held to what was logged; a time that is not given is what is usual for the method. */
function settingOf(
  { sums, choice, logged }: ForecastModel,
  { method, cut, fatG, minutes }: ForecastRequest,
): { readonly setting: Setting; readonly beyond: Forecast['beyond'] } {
  const usual = levelSummaries(sums, 'method').find(({ level }) => level === method)?.covariateMeans.hours;
  const hours = minutes === undefined ? usual : minutes / 60;
  const asked = { log_fat_kg: Math.log(fatG / 1000), ...(hours === undefined ? {} : { hours }) };
  const covariates: Record<string, number> = {};
  const beyond: Record<string, number> = {};
  for (const [name, value] of Object.entries(asked)) {
    const { low, high } = logged[name] ?? { low: value, high: value };
    const held = Math.min(high, Math.max(low, value));
    if (choice.covariates.includes(name)) covariates[name] = held;
    if (Math.abs(held - value) > BEYOND) beyond[name] = held;
  }
  return { setting: { levels: { method, cut }, covariates }, beyond };
}

/** Less than this is rounding of what people say: a hundredth of the weight, under a minute. */
const BEYOND = 0.01;
