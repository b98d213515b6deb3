/** Tastings of the same question, in several kitchens, read as one. */
import type { Figures } from '../chat/reply.js';
import type { Tasting, TastingCounts } from '../records/tastings.js';
import {
  type Heterogeneity,
  heterogeneity,
  levelAtLook,
  rankingHeterogeneity,
} from '../statistics/sensory/pooled-tastings.js';
import type { RandomBelow } from '../statistics/sensory/randomness.js';
import { questionKey, sharedOrder } from './questions.js';
import { assessorsIn, type Reading, readCounts, readingFigures, rightIn } from './reading.js';

export interface PooledQuestion {
  /** The question, with its products in the order that all tastings share. */
  readonly plan: Tasting;
  readonly numbers: readonly number[];
  readonly reading: Reading;
  readonly kitchens: Heterogeneity;
}

/**
 * Every question that at least two closed tastings asked, the one asked last first. Counts are added up; whether the
 * kitchens differ is tested apart, given the total. Who tasted in several counts each time. As the sum is looked at again with each tasting, it must be
 * clearer than one tasting alone.
 */
export function pooledQuestions(
  tastings: readonly Tasting[],
  random: RandomBelow,
): readonly PooledQuestion[] {
  const byQuestion = new Map<string, Counted[]>();
  for (const tasting of tastings) {
    if (!tasting.closed || assessorsIn(tasting.closed.counts) === 0) continue;
    const counted = inSharedOrder(tasting, tasting.closed.counts);
    const key = questionKey(tasting);
    byQuestion.set(key, [...(byQuestion.get(key) ?? []), counted]);
  }
  return [...byQuestion.values()].filter(({ length }) => length >= 2).map((same) => poolOf(same, random));
}

interface Counted {
  readonly plan: Tasting;
  readonly counts: TastingCounts;
}

/** The same tasting with its products in the order that all of the question share. */
function inSharedOrder(tasting: Tasting, counts: TastingCounts): Counted {
  const order = sharedOrder(tasting);
  const products = order.flatMap((place) => tasting.products[place] ?? []);
  const isTurned = order[0] !== 0;
  const expected = tasting.expected === undefined ? undefined : order.indexOf(tasting.expected) === 0 ? 0 : 1;
  return { plan: { ...tasting, products, expected }, counts: turned(counts, order, isTurned) };
}

function turned(counts: TastingCounts, order: readonly number[], isTurned: boolean): TastingCounts {
  switch (counts.kind) {
    case 'triangle':
      return counts;
    case 'pair':
      return isTurned ? { kind: 'pair', first: counts.second, second: counts.first } : counts;
    case 'ranking':
      return {
        kind: 'ranking',
        rankings: counts.rankings.map((ranks) => order.map((place) => ranks[place] ?? 0)),
      };
  }
}

function poolOf(same: readonly Counted[], random: RandomBelow): PooledQuestion {
  const [newest] = same;
  if (newest === undefined) throw new RangeError('there must be a tasting');
  const { plan } = newest;
  return {
    plan,
    numbers: same.map((one) => one.plan.number),
    reading: readCounts(plan, same.map(({ counts }) => counts).reduce(added), levelAtLook(same.length)),
    kitchens: kitchensOf(same, random),
  };
}

function added(one: TastingCounts, other: TastingCounts): TastingCounts {
  if (one.kind === 'triangle' && other.kind === 'triangle')
    return {
      kind: 'triangle',
      correct: one.correct + other.correct,
      assessors: one.assessors + other.assessors,
    };
  if (one.kind === 'pair' && other.kind === 'pair')
    return { kind: 'pair', first: one.first + other.first, second: one.second + other.second };
  if (one.kind === 'ranking' && other.kind === 'ranking')
    return { kind: 'ranking', rankings: [...one.rankings, ...other.rankings] };
  throw new RangeError('tastings of the same question are of the same kind');
}

function kitchensOf(same: readonly Counted[], random: RandomBelow): Heterogeneity {
  const rankings = same.flatMap(({ counts }) => (counts.kind === 'ranking' ? [counts.rankings] : []));
  if (rankings.length > 0) return rankingHeterogeneity(rankings, random);
  const answers = same.flatMap(({ plan, counts }) =>
    counts.kind === 'ranking' ? [] : [{ correct: rightIn(plan, counts), assessors: assessorsIn(counts) }],
  );
  return heterogeneity(answers, random);
}

export const kitchensDiffer = (kitchens: Heterogeneity): boolean =>
  kitchens.kind === 'compared' && kitchens.p <= 0.05;

export const pooledFigures = ({ numbers, reading, kitchens }: PooledQuestion): Figures => ({
  tastings: [...numbers],
  ...readingFigures(reading),
  heterogeneityP: kitchens.kind === 'compared' ? kitchens.p : null,
});
