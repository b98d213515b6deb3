/** What a result says to people: words first, and never more than the answers hold. */
import type { TastingPlan } from '../records/tastings.js';
import { countWords, listWords } from '../words/lists.js';
import { nameAt } from './questions.js';
import type { Reading } from './reading.js';

interface ResultWords {
  /** What came out, in one breath. */
  readonly verdict: string;
  /** How sure that is, and what is left open. */
  readonly more: readonly string[];
}

export function resultWords(plan: TastingPlan, reading: Reading): ResultWords {
  switch (reading.kind) {
    case 'no answers':
      return { verdict: 'Closed without an answer, so nothing is known.', more: [] };
    case 'right or wrong':
      return rightOrWrongWords(plan, reading);
    case 'either':
      return eitherWords(plan, reading);
    case 'ranked':
      return rankedWords(plan, reading);
  }
}

type Of<K extends Reading['kind']> = Extract<Reading, { readonly kind: K }>;

function rightOrWrongWords(
  plan: TastingPlan,
  { answers, result, protocol }: Of<'right or wrong'>,
): ResultWords {
  const { correct, assessors } = answers;
  const found = `${correct} of ${assessors} ${foundWords(plan)}`;
  const { verdict, discriminators } = result;
  const atMost = upTo(verdict.discriminatorsAtMost);
  switch (verdict.kind) {
    case 'difference':
      return {
        verdict: `${found}. By guessing alone ${chanceWords(assessors * protocol.guessing)} would. There is a difference.`,
        more: [
          `About ${near(discriminators.estimate)} of people can tell, somewhere from ${near(discriminators.low)} to ${near(discriminators.high)}.`,
        ],
      };
    case 'similar':
      return {
        verdict: `${found}, about what guessing brings. At most ${atMost} can tell, at 95 %.`,
        more: ['Small enough to matter little to most; not proof that they are the same.'],
      };
    case 'no-sign':
      if (isLikely(result.p)) return { verdict: `${found}: ${NOT_CLEAR_YET}`, more: [] };
      return {
        verdict: `${found}: no sign of a difference, but ${couldHide(assessors, verdict.discriminatorsAtMost)}`,
        more: [leftOpen(atMost), 'More tasters would tell.'],
      };
  }
}

const foundWords = (plan: TastingPlan): string =>
  plan.expected === undefined
    ? 'picked the odd one'
    : `found ${nameAt(plan, plan.expected)} more ${plan.quality}`;

function eitherWords(plan: TastingPlan, { first, second, result }: Of<'either'>): ResultWords {
  const assessors = first + second;
  const leader = first >= second ? 0 : 1;
  const votes = [first, second];
  const found = `${votes[leader]} of ${assessors} found ${nameAt(plan, leader)} more ${plan.quality}, ${votes[1 - leader]} ${nameAt(plan, 1 - leader)}`;
  const { verdict } = result;
  switch (verdict.kind) {
    case 'difference':
      return {
        verdict: `${found}. By chance alone it would be about ${chanceWords(assessors / 2)} each. There is a difference.`,
        more: [],
      };
    case 'similar':
      return {
        verdict: `${found}, about half and half. Neither leads by more than ${upTo(verdict.leadAtMost)} of people, at 95 %.`,
        more: ['That is not proof that they are the same.'],
      };
    case 'no-sign':
      if (isLikely(result.p)) return { verdict: `${found}: ${NOT_CLEAR_YET}`, more: [] };
      return {
        verdict: `${found}: no clear difference, but ${couldHide(assessors, verdict.leadAtMost)}`,
        more: [
          `One of them may lead by up to ${upTo(verdict.leadAtMost)} of people.`,
          'More tasters would tell.',
        ],
      };
  }
}

function rankedWords(plan: TastingPlan, { assessors, result, significance }: Of<'ranked'>): ResultWords {
  if (result === undefined)
    return {
      verdict: `${countWords(assessors, 'taster', 'tasters')} alone cannot rank for others.`,
      more: [],
    };
  const order = result.rankSums
    .map((sum, place) => ({ sum, name: nameAt(plan, place) }))
    .sort((a, b) => a.sum - b.sum)
    .map(({ name }) => name);
  const tasters = countWords(assessors, 'taster', 'tasters');
  if (result.p > significance && isLikely(result.p))
    return { verdict: `${tasters} ranked ${order.length}, ${listWords(order)}: ${NOT_CLEAR_YET}`, more: [] };
  if (result.p > significance)
    return {
      verdict: `${tasters} ranked ${order.length}: no sign of a difference, but with ${tasters} one could hide.`,
      more: [`Most ${plan.quality} first, perhaps by luck: ${listWords(order)}.`, 'More tasters would tell.'],
    };
  const clear = result.pairs
    .filter((pair) => pair.clear)
    .map(({ first, second, difference }) => {
      const [more, less] = difference < 0 ? [first, second] : [second, first];
      return `${nameAt(plan, more)} before ${nameAt(plan, less)}`;
    });
  return {
    verdict: `${tasters} ranked ${order.length}. There is a difference. Most ${plan.quality} first: ${listWords(order)}.`,
    more: [
      clear.length === 0
        ? 'Which of them differ is not clear from so few.'
        : `Clear: ${listWords(clear)}. The rest may be luck.`,
    ],
  };
}

/** Of tastings that are added up one by one: chance alone would seldom do it, but it had several chances. */
const isLikely = (p: number): boolean => p <= 0.05;
const NOT_CLEAR_YET = 'perhaps a difference, not clear yet.';

/** Below this share of people a difference that goes unnoticed is small, above the other it is large: choices of ours. */
const SMALL = 0.4;
const LARGE = 0.7;

function couldHide(assessors: number, atMost: number): string {
  const size = atMost <= SMALL ? 'a small one' : atMost <= LARGE ? 'one' : 'even a large one';
  return `with ${countWords(assessors, 'taster', 'tasters')} ${size} could hide.`;
}

const leftOpen = (atMost: string): string => `At most ${atMost} can tell, at 95 %.`;

/** "8" where it is whole, "about 4" where it is not. */
const chanceWords = (expected: number): string =>
  Number.isInteger(Math.round(expected * 1e9) / 1e9)
    ? String(Math.round(expected))
    : `about ${Math.round(expected)}`;

const near = (share: number): string => `${Math.round(share * 100)} %`;

/** An upper limit is rounded up, or it would be none. */
const upTo = (share: number): string => `${Math.min(100, Math.ceil(share * 100 - 1e-9))} %`;
