/** How many can tell at most: what a tasting says when it shows no difference. */
import { atMost, exactHigh, requireLevel } from './binomial.js';
import { type Answers, discriminatorsAt, type Protocol, proportionCorrectAt } from './protocol.js';

/**
 * With this confidence no more than this share of people can tell; one-sided and exact.
 * @throws RangeError unless the answers are possible and 0 < confidence < 1.
 */
export function discriminatorsAtMost(
  protocol: Protocol,
  { correct, assessors }: Answers,
  confidence = 0.95,
): number {
  return discriminatorsAt(protocol, exactHigh(correct, assessors, confidence));
}

/**
 * Most correct answers after which, with this confidence, no more than `within` can tell: the largest x with
 * P(X ≤ x) ≤ 1 − confidence when exactly `within` can (ISO 4120, table A.2). Undefined when there is none or it lies
 * below what guessing brings on average: a tasting that small can say so by bad luck only.
 * @throws RangeError unless assessors is a whole number of 1 or more and within and confidence are between 0 and 1.
 */
export function mostCorrectWhenSimilar(
  protocol: Protocol,
  assessors: number,
  within: number,
  confidence = 0.95,
): number | undefined {
  requireLevel(within);
  requireLevel(confidence);
  const proportionCorrect = proportionCorrectAt(protocol, within);
  const isFew = (correct: number) => atMost(correct, assessors, proportionCorrect) <= 1 - confidence;
  const least = Math.ceil(assessors * protocol.guessing);
  if (!isFew(least)) return undefined;
  let [few, tooMany] = [least, assessors];
  while (tooMany - few > 1) {
    const middle = Math.floor((few + tooMany) / 2);
    if (isFew(middle)) few = middle;
    else tooMany = middle;
  }
  return few;
}
