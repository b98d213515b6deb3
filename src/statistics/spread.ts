import type { FitResult } from './mixed-model.js';

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
      return { batch: fit.sigma, member: fit.sigma * (USUAL_SPREAD.member / USUAL_SPREAD.batch) };
  }
}
