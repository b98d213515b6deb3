import type { FitResult } from '../model/mixed-model.js';

/** How much yields differ, as fractions of the raw fat. */
export interface Spread {
  /** Standard deviation from batch to batch of one cook. */
  readonly batch: number;
  /** Standard deviation between cooks. */
  readonly member: number;
}

/**
 * What to reckon with before a community has shown its own: five points from batch to batch and as much between
 * cooks (an assumption of ours, no source).
 */
export const USUAL_SPREAD: Spread = { batch: 0.05, member: 0.05 };

/** The spread that a fit found, or the usual one; where cooks and batches were not separated, the usual proportion. */
export function spreadOf(fit: FitResult): Spread {
  switch (fit.kind) {
    case 'none':
      return USUAL_SPREAD;
    case 'mixed':
      return { batch: fit.sigma, member: fit.sigmaMember };
    case 'least-squares':
      return fit.because === 'one-batch-each' || fit.because === 'nothing-repeated'
        ? parted(fit.sigma)
        : { batch: fit.sigma, member: fit.sigma * USUAL_RATIO };
  }
}

const USUAL_RATIO = USUAL_SPREAD.member / USUAL_SPREAD.batch;

/** A spread that holds cooks and batches together. */
function parted(sd: number): Spread {
  const batch = sd / Math.hypot(1, USUAL_RATIO);
  return { batch, member: batch * USUAL_RATIO };
}

/** What is usual counts for as much as this many degrees of freedom (a choice of ours, no source). */
const USUAL_DF = 10;

/** The same to plan with: found by few batches, the spread from batch to batch is drawn towards the usual one. */
export function plannedSpread(fit: FitResult): Spread {
  const { batch, member } = spreadOf(fit);
  if (fit.kind === 'none') return { batch, member };
  const variance =
    (fit.residualDf * batch ** 2 + USUAL_DF * USUAL_SPREAD.batch ** 2) / (fit.residualDf + USUAL_DF);
  return { batch: Math.sqrt(variance), member };
}
