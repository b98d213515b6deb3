/** How a discrimination test is served: what guessing gives, and what a difference of a given size gives. */
export interface Protocol {
  /** Probability of a correct answer by somebody who cannot tell. */
  readonly guessing: number;
  /** Probability of a correct answer when the difference is d′, in standard deviations of what one cup tastes like. */
  proportionCorrect(dPrime: number): number;
  /** Its inverse: 0 at guessing or below, Infinity when every answer is correct. */
  dPrime(proportionCorrect: number): number;
}

/** What one tasting brought in. Count assessors, not cups: what one person says twice is not independent. */
export interface Answers {
  readonly correct: number;
  readonly assessors: number;
}

/** Share of people who can tell, the others guessing: (pc − g)/(1 − g), 0 at guessing or below (ISO 4120, ISO 5495). */
export function discriminatorsAt({ guessing }: Protocol, proportionCorrect: number): number {
  return Math.max(0, (proportionCorrect - guessing) / (1 - guessing));
}

/**
 * Probability of a correct answer when this share can tell: g + (1 − g) pd.
 * @throws RangeError unless 0 ≤ discriminators ≤ 1.
 */
export function proportionCorrectAt({ guessing }: Protocol, discriminators: number): number {
  if (!(discriminators >= 0 && discriminators <= 1))
    throw new RangeError(`discriminators must be between 0 and 1: ${discriminators}`);
  return guessing + (1 - guessing) * discriminators;
}
