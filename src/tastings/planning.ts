/** What a number of tasters can show. */
import type { Matter, TastingPlan } from '../records/tastings.js';
import { PAIR } from '../statistics/sensory/paired.js';
import { type Protocol, proportionCorrectAt } from '../statistics/sensory/protocol.js';
import { assessorsForRanking, rankingPower } from '../statistics/sensory/ranking-power.js';
import {
  assessorsForDifference,
  assessorsForEither,
  differencePower,
  eitherPower,
} from '../statistics/sensory/tasting-power.js';
import { TRIANGLE } from '../statistics/sensory/triangle.js';

/** Chance to see a difference that is just the one that matters, with so many tasters. */
export function powerOf(plan: TastingPlan, assessors: number, significance = 0.05): number {
  if (assessors === 0) return 0;
  if (plan.kind === 'ranking')
    return assessors < 2
      ? 0
      : rankingPower(plan.products.length, assessors, dPrimeOf(plan.matters), significance);
  const correct = correctAt(protocolOf(plan), plan.matters);
  return isEither(plan)
    ? eitherPower(correct, assessors, significance)
    : differencePower(protocolOf(plan), correct, assessors, significance);
}

/** The fewest tasters who see it in four of five tastings; undefined where not even a thousand do. */
export function tastersFor(plan: TastingPlan): number | undefined {
  if (plan.kind === 'ranking') return assessorsForRanking(plan.products.length, dPrimeOf(plan.matters));
  const correct = correctAt(protocolOf(plan), plan.matters);
  return isEither(plan) ? assessorsForEither(correct) : assessorsForDifference(protocolOf(plan), correct);
}

/** A pair in which either may have more. */
export const isEither = ({ kind, expected }: TastingPlan): boolean =>
  kind === 'pair' && expected === undefined;

export const protocolOf = ({ kind }: TastingPlan): Protocol => (kind === 'triangle' ? TRIANGLE : PAIR);

const correctAt = (protocol: Protocol, matters: Matter): number =>
  'share' in matters
    ? proportionCorrectAt(protocol, matters.share)
    : protocol.proportionCorrect(matters.dPrime);

/** Between two of a ranking a share of people who can tell is what it is in a pair. */
const dPrimeOf = (matters: Matter): number =>
  'share' in matters ? PAIR.dPrime(proportionCorrectAt(PAIR, matters.share)) : matters.dPrime;

/** "30 % can tell", "the difference is d′ 1" */
export const matterWords = (matters: Matter): string =>
  'share' in matters
    ? `${Math.round(matters.share * 100)} % can tell`
    : `the difference is d′ ${matters.dPrime}`;
