/** What the answers of a tasting say, as numbers. */
import type { Figures } from '../chat/reply.js';
import type { TastingCounts, TastingPlan } from '../records/tastings.js';
import type { Ranged } from '../statistics/sensory/discrimination.js';
import { leastCorrect } from '../statistics/sensory/discrimination.js';
import { comparePair, leastForEither, type PairResult } from '../statistics/sensory/paired.js';
import type { Answers, Protocol } from '../statistics/sensory/protocol.js';
import { compareRankings, type RankingResult } from '../statistics/sensory/ranking.js';
import { judgeTasting, type TastingResult, VERDICT_RULE } from '../statistics/sensory/tasting-verdict.js';
import { isEither, powerOf, protocolOf } from './planning.js';

export type Reading =
  | { readonly kind: 'no answers' }
  /** A triangle, or a pair in which one was expected to have more. */
  | {
      readonly kind: 'right or wrong';
      readonly protocol: Protocol;
      readonly answers: Answers;
      readonly result: TastingResult;
      /** Least right answers that show a difference; undefined where not even all do. */
      readonly least: number | undefined;
      readonly power: number;
    }
  /** A pair in which either may have more. */
  | {
      readonly kind: 'either';
      readonly first: number;
      readonly second: number;
      readonly result: PairResult;
      readonly least: number | undefined;
      readonly power: number;
    }
  | {
      readonly kind: 'ranked';
      readonly assessors: number;
      /** Undefined for one taster alone, or where all gave everything the same rank. */
      readonly result: Extract<RankingResult, { kind: 'ranked' }> | undefined;
      readonly significance: number;
      readonly power: number;
    };

/**
 * Reads what was counted; pure, so that a closed tasting reads the same for ever.
 * @param significance what guessing may look like a difference with; 1 in 20 unless said
 */
export function readCounts(
  plan: TastingPlan,
  counts: TastingCounts,
  significance = VERDICT_RULE.significance,
): Reading {
  const assessors = assessorsIn(counts);
  if (assessors === 0) return { kind: 'no answers' };
  const power = powerOf(plan, assessors, significance);
  const rule = { ...VERDICT_RULE, significance, confidence: 1 - significance };
  if (counts.kind === 'ranking') {
    const result = assessors < 2 ? undefined : compareRankings(counts.rankings, rule.confidence);
    return {
      kind: 'ranked',
      assessors,
      power,
      significance,
      result: result?.kind === 'ranked' ? result : undefined,
    };
  }
  if (counts.kind === 'pair' && isEither(plan)) {
    const { first, second } = counts;
    return {
      kind: 'either',
      first,
      second,
      power,
      result: comparePair({ first, second }, rule),
      least: leastForEither(assessors, significance),
    };
  }
  const answers = { assessors, correct: rightIn(plan, counts) };
  const protocol = protocolOf(plan);
  return {
    kind: 'right or wrong',
    protocol,
    answers,
    power,
    result: judgeTasting(protocol, answers, rule),
    least: leastCorrect(protocol, assessors, significance),
  };
}

/** How many answered. */
export function assessorsIn(counts: TastingCounts): number {
  switch (counts.kind) {
    case 'triangle':
      return counts.assessors;
    case 'pair':
      return counts.first + counts.second;
    case 'ranking':
      return counts.rankings.length;
  }
}

/** How many picked the odd one, or the one that was expected to have more; of a pair without expectations the first. */
export function rightIn(
  { expected }: TastingPlan,
  counts: Exclude<TastingCounts, { kind: 'ranking' }>,
): number {
  if (counts.kind === 'triangle') return counts.correct;
  return expected === 1 ? counts.second : counts.first;
}

/** Whether more was found than chance explains. */
export function showsDifference(reading: Reading): boolean {
  switch (reading.kind) {
    case 'no answers':
      return false;
    case 'right or wrong':
    case 'either':
      return reading.result.verdict.kind === 'difference';
    case 'ranked':
      return reading.result !== undefined && reading.result.p <= reading.significance;
  }
}

/**
 * The numbers behind a result. Of a pair in which either may have more, `correct` are the votes for the leader and
 * `discriminators` and `dPrime` speak of the first product, below 0 where the second leads.
 */
export function readingFigures(reading: Reading): Figures {
  switch (reading.kind) {
    case 'no answers':
      return { assessors: 0 };
    case 'right or wrong': {
      const { answers, result, least, power } = reading;
      return {
        ...answers,
        p: result.p,
        leastCorrect: least ?? null,
        ...rangedFigures('discriminators', result.discriminators),
        ...rangedFigures('dPrime', result.dPrime),
        discriminatorsAtMost: result.verdict.discriminatorsAtMost,
        power,
      };
    }
    case 'either': {
      const { first, second, result, least, power } = reading;
      return {
        assessors: first + second,
        correct: Math.max(first, second),
        first,
        second,
        p: result.p,
        leastCorrect: least ?? null,
        ...rangedFigures('discriminators', leadOfFirst(result)),
        ...rangedFigures('dPrime', result.dPrime),
        power,
      };
    }
    case 'ranked': {
      const { assessors, result, power } = reading;
      return {
        assessors,
        p: result?.p ?? null,
        statistic: result?.statistic ?? null,
        rankSums: result?.rankSums ?? [],
        leastDifference: result?.leastDifference ?? null,
        clearPairs: result?.pairs.filter(({ clear }) => clear).length ?? 0,
        power,
      };
    }
  }
}

/** Votes for the first less those for the second, as a share of people. */
const leadOfFirst = ({ shareOfFirst: { estimate, low, high } }: PairResult): Ranged => ({
  estimate: 2 * estimate - 1,
  low: 2 * low - 1,
  high: 2 * high - 1,
});

/** What has no bound is no number. */
function rangedFigures(name: string, { estimate, low, high }: Ranged): Figures {
  const figure = (value: number) => (Number.isFinite(value) ? value : null);
  return { [name]: figure(estimate), [`${name}Low`]: figure(low), [`${name}High`]: figure(high) };
}
