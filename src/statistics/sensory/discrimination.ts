/** What a tasting with right and wrong answers says: how likely guessing is, how many can tell, how big the difference. */
import type { Interval } from '../model/linear-estimate.js';
import { atLeast, clopperPearson, requireLevel } from './binomial.js';
import { type Answers, discriminatorsAt, type Protocol } from './protocol.js';

/** An estimate within an interval. */
export interface Ranged extends Interval {
  readonly estimate: number;
}

export interface Discrimination {
  /** Probability of at least so many correct answers when nobody can tell, exact. */
  readonly p: number;
  readonly proportionCorrect: Ranged;
  /** Share of people who can tell. */
  readonly discriminators: Ranged;
  /** In standard deviations; its estimate or high end is Infinity when nothing bounds it. */
  readonly dPrime: Ranged;
}

/**
 * The intervals of all three scales are Clopper and Pearson's exact one carried over, and hold together.
 * @throws RangeError unless the answers are possible and 0 < level < 1.
 */
export function discrimination(protocol: Protocol, answers: Answers, level = 0.95): Discrimination {
  const { correct, assessors } = answers;
  const { low, high } = clopperPearson(correct, assessors, level);
  const proportionCorrect = { estimate: correct / assessors, low, high };
  return {
    p: guessingTail(protocol, answers),
    proportionCorrect,
    discriminators: carried(proportionCorrect, (share) => discriminatorsAt(protocol, share)),
    dPrime: carried(proportionCorrect, (share) => protocol.dPrime(share)),
  };
}

const carried = ({ estimate, low, high }: Ranged, to: (share: number) => number): Ranged => ({
  estimate: to(estimate),
  low: to(low),
  high: to(high),
});

/** P(X ≥ correct) when everybody guesses. */
export function guessingTail({ guessing }: Protocol, { correct, assessors }: Answers): number {
  return atLeast(correct, assessors, guessing);
}

/**
 * Least number of correct answers that guessing reaches with a probability of at most `level`, one-sided (ISO 4120,
 * table A.1). Undefined when even all correct are not enough.
 * @throws RangeError unless assessors is a whole number of 1 or more and 0 < level < 1.
 */
export function leastCorrect(protocol: Protocol, assessors: number, level = 0.05): number | undefined {
  requireLevel(level);
  if (guessingTail(protocol, { correct: assessors, assessors }) > level) return undefined;
  // from above, as the tail grows downwards: the answer lies between guessing and all
  let [enough, tooFew] = [assessors, 0];
  while (enough - tooFew > 1) {
    const middle = Math.floor((enough + tooFew) / 2);
    if (guessingTail(protocol, { correct: middle, assessors }) <= level) enough = middle;
    else tooFew = middle;
  }
  return enough;
}
