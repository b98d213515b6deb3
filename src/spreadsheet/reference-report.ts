/**
 * The whole analysis of a list of batches as one object whose keys are those that public statistics packages' results
 * are filed under, so that the two can be compared key by key. Null where something is not defined or not estimable.
 */
import normalQuantile from '@stdlib/stats-base-dists-normal-quantile';
import { tTwoSided } from '../statistics/algebra/distributions.js';
import { bilinear } from '../statistics/algebra/matrix.js';
import { withoutAliasedCovariates } from '../statistics/model/aliased-covariates.js';
import { type Batch, batchCovariates, batchDesign, observationOf } from '../statistics/model/batch-design.js';
import { type ModelColumn, type Observation, sameColumn } from '../statistics/model/design.js';
import {
  aliasesOf,
  coefficientRow,
  type DfMethod,
  estimateOf,
  estimateWithDroppedAtZero,
  type Interval,
  intervalOf,
  keptRow,
  type LinearEstimate,
  type Setting,
} from '../statistics/model/linear-estimate.js';
import { memberSums } from '../statistics/model/member-sums.js';
import { type Fit, type FitResult, fitMixedModel, type MixedFit } from '../statistics/model/mixed-model.js';
import { covariateMeans } from '../statistics/model/model-frame.js';
import type { ThetaSigmaCovariance } from '../statistics/model/satterthwaite.js';
import { type MemberTotals, memberTotals, modelSums } from '../statistics/model/sufficient-statistics.js';
import { type MemberEffect, memberEffect } from '../statistics/questions/member-effects.js';
import { LEAST_FOR_OWN_SPREAD, modifiedZ, ODD_BEYOND } from '../statistics/questions/modified-z.js';
import {
  type Contrast,
  comparedLevels,
  marginalMeans,
  pairwiseContrasts,
} from '../statistics/questions/pairwise.js';
import { pooledYield } from '../statistics/questions/pooled-yield.js';
import { predictKnownMember, predictNewMember } from '../statistics/questions/predictions.js';
import { conditionalResiduals } from '../statistics/questions/residuals.js';
import { typicalYield } from '../statistics/questions/typical-cook.js';

export type ReportValue =
  | null
  | number
  | string
  | boolean
  | readonly ReportValue[]
  | { readonly [key: string]: ReportValue };

export interface NumberedBatch extends Batch {
  /** As the list numbers it. */
  readonly batch: number;
}

/** A batch to predict. */
export interface Query {
  readonly method: string;
  readonly cut: string;
  readonly fatG: number;
  readonly minutes: number;
}

const DF_METHODS = [
  ['satterthwaite', 'satterthwaite'],
  ['kenward_roger', 'kenward-roger'],
] as const;

/**
 * @param methods every method, in order, the one others are compared with first; cuts likewise
 * @param queries batches to predict, for a member not seen before and for the two with most and fewest batches
 * @param observations the same batches as the model sees them, where that is known already
 * @throws RangeError for a batch without fat, or with a method or cut that is not listed.
 */
export function referenceReport(
  batches: readonly NumberedBatch[],
  methods: readonly string[],
  cuts: readonly string[],
  queries: readonly Query[],
  observations: readonly Observation[] = batches.map(observationOf),
): { readonly [key: string]: ReportValue } {
  const design = batchDesign(methods, cuts);
  const sums = modelSums(design, observations);
  const fit = fitMixedModel(sums);
  const without = withoutAliasedCovariates(sums, fit);
  const sections = (result: FitResult, kept: readonly Observation[]) =>
    mixedModel(result, kept, batches, queries, covariateMeans(sums));
  return {
    batches: batches.length,
    members: new Set(batches.map(({ member }) => member)).size,
    pooled_yield: pooled(batches, typicalYield(sums)),
    mixed_model: sections(fit, observations),
    mixed_model_without_aliased_covariates: without
      ? {
          removed: without.removed,
          ...sections(
            without.fit,
            observations.map((observation) => leaveOut(observation, design, without.removed)),
          ),
        }
      : null,
    outliers: outliers(batches, methods),
  };
}

function leaveOut(
  observation: Observation,
  { covariates }: ReturnType<typeof batchDesign>,
  removed: readonly string[],
): Observation {
  const kept = observation.covariates.filter((_, c) => !removed.includes(covariates[c]?.name ?? ''));
  return { ...observation, covariates: kept };
}

function pooled(batches: readonly Batch[], typical: ReturnType<typeof typicalYield>): ReportValue {
  const sums = [...memberSums(batches).values()];
  const byWeight = pooledYield(sums);
  // Every batch counting alike is the ratio with the same fat in each
  const alike = pooledYield(
    sums.map(({ batches: n, yieldSum }) => ({ batches: n, fatG: n, fatG2: n, tallowG: yieldSum, yieldSum })),
  );
  if (byWeight.kind !== 'pooled' || alike.kind !== 'pooled') return null;
  const section = ({ estimate, interval }: typeof byWeight): ReportValue => ({
    estimate,
    cr2:
      interval.kind === 'interval'
        ? { se: interval.standardError, df: interval.df, lower: interval.low, upper: interval.high }
        : null,
  });
  return {
    clusters: byWeight.members,
    ratio: section(byWeight),
    mean: section(alike),
    effective_batches: {
      share_of_largest_member: byWeight.largestShare,
      kish_members: byWeight.effectiveMembers,
    },
    random_intercept: typical.kind === 'typical' ? randomIntercept(typical.fit) : null,
  };
}

/** With next to no degrees of freedom an interval has no ends. */
function ends({ low, high }: Interval): { readonly lower: number | null; readonly upper: number | null } {
  return Number.isFinite(high - low) ? { lower: low, upper: high } : { lower: null, upper: null };
}

function randomIntercept(fit: Fit): ReportValue {
  if (fit.kind !== 'mixed') return null;
  const [plain, adjusted] = [estimateOf(fit, [1], 'satterthwaite'), estimateOf(fit, [1], 'kenward-roger')];
  if (plain.kind !== 'estimate' || adjusted.kind !== 'estimate') return null;
  return {
    estimate: plain.estimate,
    se: plain.standardError,
    df_satterthwaite: plain.df,
    ...ends(intervalOf(plain)),
    theta: fit.theta,
    sigma_member: fit.sigmaMember,
    sigma_resid: fit.sigma,
    reml_criterion: fit.criterion,
    singular: fit.singular,
    kenward_roger: { se: adjusted.standardError, df: adjusted.df, ...ends(intervalOf(adjusted)) },
  };
}

function mixedModel(
  fit: FitResult,
  observations: readonly Observation[],
  batches: readonly NumberedBatch[],
  queries: readonly Query[],
  means: readonly number[],
): { readonly [key: string]: ReportValue } {
  if (fit.kind === 'none') return { no_fit: fit.because };
  const mixed = fit.kind === 'mixed' ? fit : undefined;
  const totals = [...memberTotals(fit.design, observations).values()].sort((a, b) =>
    a.member < b.member ? -1 : 1,
  );
  const hasKenwardRoger = mixed?.kenwardRoger !== undefined;
  const methods = DF_METHODS.filter(([, method]) => method === 'satterthwaite' || hasKenwardRoger);
  const factors = fit.design.factors
    .map(({ name }) => name)
    .filter((name) => comparedLevels(fit, name).length > 1);
  const perFactor = (section: (factor: string, method: DfMethod) => ReportValue) =>
    Object.fromEntries(
      factors.flatMap((factor) =>
        methods.map(([label, method]) => [`${factor}_${label}`, section(factor, method)]),
      ),
    );
  const icc = mixed && mixed.theta ** 2 / (1 + mixed.theta ** 2);
  return {
    rank: fit.rank.kept.length,
    columns: fit.columns.length,
    fallback: mixed ? null : 'ordinary least squares without the member term',
    coefficients: fit.columns.map((column) => coefficient(fit, column, hasKenwardRoger)),
    not_estimable: aliasesOf(fit).map(({ column }) => columnName(column)),
    ...covariance(fit),
    sigma_resid: fit.sigma,
    sigma_member: mixed?.sigmaMember ?? null,
    theta: mixed?.theta ?? null,
    icc: icc ?? null,
    singular: mixed?.singular ?? null,
    reml_criterion: fit.criterion,
    df_residual: fit.residualDf,
    vcov_theta_sigma: mixed ? thetaSigma(mixed.satterthwaite.covariance) : null,
    members: mixed ? totals.map((total) => member(memberEffect(mixed, total))) : null,
    conditional_residual_flags: mixed ? flaggedResiduals(fit, observations, batches) : null,
    covariate_means: { log_fat_kg: means[0] ?? null, hours: means[1] ?? null },
    emmeans: perFactor((factor, method) =>
      marginalMeans(fit, factor, method).map(({ level, mean }) => ({ level, ...emmean(mean) })),
    ),
    pairwise: perFactor((factor, method) => pairwiseContrasts(fit, factor, method).map(contrast)),
    predict_new_member: queries.map((query) => ({ ...echo(query), ...newMember(fit, query) })),
    predict_known_member: mixed
      ? queries.flatMap((query) =>
          extremes(totals).flatMap((total) =>
            knownMember(mixed, total, query).map((known) => ({
              member: total.member,
              ...echo(query),
              ...known,
            })),
          ),
        )
      : [],
  };
}

/** The names that statistics packages give to the columns of treatment contrasts. */
function columnName(column: ModelColumn): string {
  switch (column.kind) {
    case 'intercept':
      return '(Intercept)';
    case 'level':
      return `${column.factor}${column.level}`;
    case 'covariate':
      return column.covariate;
  }
}

/** As packages print them: the coefficients of dropped columns are unknown, and the others read as if those were 0. */
function coefficient(fit: Fit, column: ModelColumn, hasKenwardRoger: boolean): ReportValue {
  const name = columnName(column);
  if (aliasesOf(fit).some((alias) => sameColumn(alias.column, column))) return { name, ...DROPPED };
  const row = coefficientRow(fit, column);
  const plain = estimateWithDroppedAtZero(fit, row, 'satterthwaite');
  const adjusted = estimateWithDroppedAtZero(fit, row, 'kenward-roger');
  const t = plain.estimate / plain.standardError;
  return {
    name,
    estimate: plain.estimate,
    se: plain.standardError,
    df_satterthwaite: plain.df,
    t,
    p: tTwoSided(t, plain.df),
    se_kenward_roger: hasKenwardRoger ? adjusted.standardError : null,
    df_kenward_roger: hasKenwardRoger ? adjusted.df : null,
  };
}

const DROPPED = {
  estimate: null,
  se: null,
  df_satterthwaite: null,
  t: null,
  p: null,
  se_kenward_roger: null,
  df_kenward_roger: null,
} as const;

/** Covariance of the coefficients that are kept, the intercept being where covariates are 0. */
function covariance(fit: Fit): { readonly [key: string]: ReportValue } {
  const kept = fit.rank.kept.flatMap((position) => fit.columns[position] ?? []);
  const rows = kept.map((column) => keptRow(fit, coefficientRow(fit, column)));
  return {
    vcov_names: kept.map(columnName),
    vcov: rows.map((a) => rows.map((b) => bilinear(a, fit.covariance, b))),
  };
}

function thetaSigma({ thetaTheta, thetaSigma, sigmaSigma }: ThetaSigmaCovariance): ReportValue {
  return [
    [thetaTheta, thetaSigma],
    [thetaSigma, sigmaSigma],
  ];
}

function member({ member, batches, effect, conditionalSd, errorSd, kept }: MemberEffect): ReportValue {
  return {
    member,
    n: batches,
    blup: effect,
    cond_sd: conditionalSd,
    pred_error_sd: errorSd,
    shrinkage: kept,
  };
}

/** |residual ÷ σ| beyond which a batch is flagged. */
const FLAGGED_BEYOND = 3;

function flaggedResiduals(
  fit: Fit,
  observations: readonly Observation[],
  batches: readonly NumberedBatch[],
): ReportValue {
  return conditionalResiduals(fit, observations).flatMap((residual, i) => {
    const ratio = residual / fit.sigma;
    return Math.abs(ratio) > FLAGGED_BEYOND
      ? [{ batch: batches[i]?.batch ?? null, resid_over_sigma: ratio }]
      : [];
  });
}

function emmean(mean: LinearEstimate): { readonly [key: string]: ReportValue } {
  if (mean.kind !== 'estimate')
    return { emmean: null, se: null, df: null, lower: null, upper: null, estimable: false };
  return {
    emmean: mean.estimate,
    se: mean.standardError,
    df: mean.df,
    ...ends(intervalOf(mean)),
    estimable: true,
  };
}

function contrast({ first, second, difference }: Contrast): ReportValue {
  const known = difference.kind === 'estimate' ? difference : undefined;
  return {
    first,
    second,
    estimate: known?.estimate ?? null,
    se: known?.standardError ?? null,
    df: known?.df ?? null,
    t: known?.t ?? null,
    p_unadjusted: known?.pUnadjusted ?? null,
    lower_unadjusted: known ? ends(known).lower : null,
    upper_unadjusted: known ? ends(known).upper : null,
    estimable: known !== undefined,
    p_holm: known?.pHolm ?? null,
    p_tukey: known?.pTukey ?? null,
  };
}

function echo({ method, cut, fatG, minutes }: Query): { readonly [key: string]: ReportValue } {
  return { method, cut, fat_g: fatG, minutes };
}

function settingOf({ method, cut, fatG, minutes }: Query): Setting {
  const [logFatKg, hours] = batchCovariates(fatG, minutes);
  return { levels: { method, cut }, covariates: { log_fat_kg: logFatKg, hours } };
}

function newMember(fit: Fit, query: Query): { readonly [key: string]: ReportValue } {
  const result = predictNewMember(fit, settingOf(query));
  const known = result.kind === 'prediction' ? result : undefined;
  const normal = known && NORMAL_97_5 * known.predictionSd;
  return {
    estimable: known !== undefined,
    fit: known?.estimate ?? null,
    se_fit: known?.standardError ?? null,
    df_fit: known?.df ?? null,
    se_pred: known?.predictionSd ?? null,
    df_pred: known?.predictionDf ?? null,
    lower: known ? ends(known).lower : null,
    upper: known ? ends(known).upper : null,
    lower_normal: known && normal !== undefined ? known.estimate - normal : null,
    upper_normal: known && normal !== undefined ? known.estimate + normal : null,
  };
}

/** 97.5 % point of the normal distribution. */
const NORMAL_97_5 = normalQuantile(0.975, 0, 1);

function knownMember(
  fit: MixedFit,
  total: MemberTotals,
  query: Query,
): readonly { readonly [key: string]: ReportValue }[] {
  const result = predictKnownMember(fit, total, settingOf(query));
  if (result.kind !== 'prediction') return [];
  return [{ fit: result.estimate, se_mean: result.standardError, se_pred: result.predictionSd }];
}

/** The member with most batches and the one with fewest, the first of each in alphabetical order. */
function extremes(totals: readonly MemberTotals[]): readonly MemberTotals[] {
  const size = ({ columns }: MemberTotals) => columns[0] ?? 0;
  const most = totals.reduce((found, total) => Math.max(found, size(total)), 0);
  const fewest = totals.reduce((found, total) => Math.min(found, size(total)), most);
  return [most, fewest].flatMap((n) => totals.find((total) => size(total) === n) ?? []);
}

const RULE =
  'z = 0.6745 (x - median) / median|x - median|, flag |z| > 3.5; if that spread is 0: (x - median) / (1.253314 mean|x - median|)';

/** Modified z of the plain yields. `overall` is there to be compared; nothing is judged by it. */
function outliers(batches: readonly NumberedBatch[], methods: readonly string[]): ReportValue {
  if (batches.length === 0) return null;
  const byMethod = methods.flatMap((method) => {
    const own = batches.filter((batch) => batch.method === method);
    if (own.length === 0) return [];
    return [
      [method, own.length < LEAST_FOR_OWN_SPREAD ? { n: own.length, note: TOO_FEW } : spread(own)] as const,
    ];
  });
  return { rule: RULE, overall: spread(batches), by_method: Object.fromEntries(byMethod) };
}

const TOO_FEW = `fewer than ${LEAST_FOR_OWN_SPREAD} batches: no flags`;

function spread(batches: readonly NumberedBatch[]): ReportValue {
  const { median, medianDeviation, z } = modifiedZ(batches.map(({ fatG, tallowG }) => tallowG / fatG));
  const flagged = batches.flatMap(({ batch }, i) => {
    const distance = z[i] ?? 0;
    return Math.abs(distance) > ODD_BEYOND ? [{ batch, z: distance }] : [];
  });
  return { n: batches.length, median, mad_raw: medianDeviation, flagged };
}
