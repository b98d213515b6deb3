/** What the next batch will give: by a cook not seen before, or by a member with a history. */
import { Matrix } from 'ml-matrix';
import { bilinear } from '../algebra/matrix.js';
import {
  estimateOf,
  type Interval,
  intervalOf,
  isRow,
  keptRow,
  type NotEstimable,
  type Setting,
  settingRow,
} from '../model/linear-estimate.js';
import type { Fit, MixedFit } from '../model/mixed-model.js';
import { newMemberDf, varianceDf } from '../model/satterthwaite.js';
import type { MemberTotals } from '../model/sufficient-statistics.js';
import { memberEffect, memberWeight } from './member-effects.js';

export interface Prediction extends Interval {
  readonly kind: 'prediction';
  readonly estimate: number;
  /** Standard error of the mean that is predicted. */
  readonly standardError: number;
  readonly df: number;
  /** Standard deviation of the error of predicting one batch. */
  readonly predictionSd: number;
  readonly predictionDf: number;
}

/**
 * One batch by a member not seen before. Of a fit on one member only it holds for that cook, and of one with a batch
 * each its spread contains cooks and batches together.
 */
export function predictNewMember(fit: Fit, setting: Setting, level = 0.95): Prediction | NotEstimable {
  const row = settingRow(fit, setting);
  if (!isRow(row)) return row;
  const mean = estimateOf(fit, row, 'satterthwaite');
  if (mean.kind !== 'estimate') return mean;
  const l = keptRow(fit, row);
  const [spread, df] =
    fit.kind === 'mixed'
      ? [fit.sigma ** 2 + fit.sigmaMember ** 2, newMemberDf(fit.satterthwaite, l)]
      : [fit.sigma ** 2, fit.residualDf];
  return prediction(mean, Math.sqrt(mean.standardError ** 2 + spread), df, level);
}

/**
 * The next batch of a member with these sums: the typical mean and the member's own effect, drawn towards 0 the less
 * there is to go by. Variance: (x − k)'Φ(x − k) + θ²σ²/(1 + nθ²) + σ², k = w s.
 */
export function predictKnownMember(
  fit: MixedFit,
  totals: MemberTotals,
  setting: Setting,
  level = 0.95,
): Prediction | NotEstimable {
  const row = settingRow(fit, setting);
  if (!isRow(row)) return row;
  const mean = estimateOf(fit, row, 'satterthwaite');
  if (mean.kind !== 'estimate') return mean;
  const { batches, weight, sums } = memberWeight(fit, totals);
  const l = Matrix.sub(keptRow(fit, row), Matrix.mul(sums, weight));
  const s2 = fit.sigma ** 2;
  const meanVariance = bilinear(l, fit.covariance, l) + weight * s2;
  // w' of θ; k moves with θ too
  const slope = (2 * fit.theta) / (1 + batches * fit.theta ** 2) ** 2;
  const thetaSlope =
    bilinear(l, fit.satterthwaite.thetaSlope, l) - 2 * slope * bilinear(sums, fit.covariance, l) + slope * s2;
  return prediction(
    {
      estimate: mean.estimate + memberEffect(fit, totals).effect,
      standardError: Math.sqrt(meanVariance),
      df: varianceDf(fit.satterthwaite, meanVariance, thetaSlope),
    },
    Math.sqrt(meanVariance + s2),
    varianceDf(fit.satterthwaite, meanVariance + s2, thetaSlope),
    level,
  );
}

function prediction(
  mean: { readonly estimate: number; readonly standardError: number; readonly df: number },
  predictionSd: number,
  predictionDf: number,
  level: number,
): Prediction {
  const { estimate, standardError, df } = mean;
  const interval = intervalOf({ estimate, standardError: predictionSd, df: predictionDf }, level);
  return { kind: 'prediction', estimate, standardError, df, predictionSd, predictionDf, ...interval };
}
