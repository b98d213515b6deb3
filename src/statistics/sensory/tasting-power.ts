/** How many assessors a tasting with right and wrong answers needs. */
import { atLeast, atMost, requireLevel } from './binomial.js';
import { leastCorrect } from './discrimination.js';
import { leastForEither } from './paired.js';
import { type Protocol, proportionCorrectAt } from './protocol.js';
import { mostCorrectWhenSimilar } from './similarity.js';

/**
 * Probability that a tasting of so many assessors shows a difference, exact.
 * @param proportionCorrect the truth: `protocol.proportionCorrect(dPrime)` or `proportionCorrectAt(protocol, share)`
 * @throws RangeError unless assessors is a whole number of 1 or more and the others are probabilities.
 */
export function differencePower(
  protocol: Protocol,
  proportionCorrect: number,
  assessors: number,
  significance = 0.05,
): number {
  const least = leastCorrect(protocol, assessors, significance);
  return least === undefined ? 0 : atLeast(least, assessors, proportionCorrect);
}

/**
 * Probability that a tasting of so many assessors says that no more than `within` can tell, when in truth the share of
 * correct answers is `proportionCorrect`.
 * @throws RangeError as `differencePower`.
 */
export function similarityPower(
  protocol: Protocol,
  proportionCorrect: number,
  assessors: number,
  within: number,
  confidence = 0.95,
): number {
  const most = mostCorrectWhenSimilar(protocol, assessors, within, confidence);
  return most === undefined ? 0 : atMost(most, assessors, proportionCorrect);
}

/**
 * Probability that a pair without a right answer shows which of the two has more, whichever it is, when this share of
 * people name the first; exact, two-sided.
 * @throws RangeError as `differencePower`.
 */
export function eitherPower(shareOfFirst: number, assessors: number, significance = 0.05): number {
  const least = leastForEither(assessors, significance);
  if (least === undefined) return 0;
  return atLeast(least, assessors, shareOfFirst) + atMost(assessors - least, assessors, shareOfFirst);
}

/** More assessors than this are not a plan. */
export const MOST_ASSESSORS = 1000;

/**
 * The fewest assessors from whom on the power is never again below `power`. Power goes up in a saw-tooth, so that one
 * assessor more can make a tasting weaker; the fewest that reach it once are often too few. Undefined beyond 1000.
 * @throws RangeError unless proportionCorrect is above guessing and the others are between 0 and 1.
 */
export function assessorsForDifference(
  protocol: Protocol,
  proportionCorrect: number,
  { power = 0.8, significance = 0.05 } = {},
): number | undefined {
  const gap = proportionCorrect - protocol.guessing;
  if (!(gap > 0)) throw new RangeError(`nothing to find at guessing: ${proportionCorrect}`);
  return leastThatStays(
    (assessors) => differencePower(protocol, proportionCorrect, assessors, significance) >= power,
    surelyFrom(gap, 1 - power, significance),
  );
}

/**
 * As `assessorsForDifference`, for a pair without a right answer.
 * @throws RangeError unless shareOfFirst is not a half and the others are between 0 and 1.
 */
export function assessorsForEither(
  shareOfFirst: number,
  { power = 0.8, significance = 0.05 } = {},
): number | undefined {
  const gap = Math.abs(shareOfFirst - 0.5);
  if (!(gap > 0)) throw new RangeError('nothing to find where both are named alike');
  return leastThatStays(
    (assessors) => eitherPower(shareOfFirst, assessors, significance) >= power,
    surelyFrom(gap, 1 - power, significance / 2),
  );
}

/**
 * As `assessorsForDifference`, to be told that no more than `within` can tell when nobody can.
 * @throws RangeError unless within and the others are between 0 and 1.
 */
export function assessorsForSimilarity(
  protocol: Protocol,
  within: number,
  { power = 0.8, confidence = 0.95 } = {},
): number | undefined {
  const gap = proportionCorrectAt(protocol, within) - protocol.guessing;
  if (!(gap > 0)) throw new RangeError(`within must be above 0: ${within}`);
  return leastThatStays(
    (assessors) => similarityPower(protocol, protocol.guessing, assessors, within, confidence) >= power,
    surelyFrom(gap, 1 - power, 1 - confidence),
  );
}

/**
 * From so many on both error rates hold for certain. By Hoeffding's inequality a sum of n answers strays from its mean
 * by t with probability at most exp(−2t²/n), so that the bound √(n ln(1/α)/2) + √(n ln(1/β)/2) ≤ n · gap is enough.
 * Source: Hoeffding (1963), J. American Statistical Association 58, 13–30.
 */
function surelyFrom(gap: number, miss: number, falseAlarm: number): number {
  requireLevel(miss);
  requireLevel(falseAlarm);
  return Math.ceil((Math.sqrt(-Math.log(miss)) + Math.sqrt(-Math.log(falseAlarm))) ** 2 / (2 * gap ** 2));
}

/** A saw-tooth is shorter than this: another answer is asked for at every third assessor or so. */
const A_TOOTH = 10;

function leastThatStays(isEnough: (assessors: number) => boolean, surely: number): number | undefined {
  const beyond = Array.from({ length: A_TOOTH }, (_, k) => MOST_ASSESSORS + k);
  if (surely > MOST_ASSESSORS && !beyond.every(isEnough)) return undefined;
  for (let assessors = surely - 1; assessors >= 1; assessors -= 1)
    if (!isEnough(assessors)) return assessors < MOST_ASSESSORS ? assessors + 1 : undefined;
  return 1;
}
