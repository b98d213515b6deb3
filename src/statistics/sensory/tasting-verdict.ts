/** What may be said of a tasting with right and wrong answers. */
import { requireLevel } from './binomial.js';
import { type Discrimination, discrimination } from './discrimination.js';
import type { Answers, Protocol } from './protocol.js';
import { discriminatorsAtMost, mostCorrectWhenSimilar } from './similarity.js';

/** A missing difference never proves that two things taste alike: it leaves room for one, and the verdict says how much. */
type TastingVerdict =
  /** More answers were correct than guessing explains. */
  | { readonly kind: 'difference'; readonly discriminatorsAtMost: number }
  /** Few enough were correct to say, with the confidence asked for, that no more than `within` can tell. */
  | { readonly kind: 'similar'; readonly within: number; readonly discriminatorsAtMost: number }
  /** No sign of a difference, but so large a share of people may be able to tell. */
  | { readonly kind: 'no-sign'; readonly discriminatorsAtMost: number };

export interface VerdictRule {
  /** Guessing may look like a difference with this probability. */
  readonly significance: number;
  /** More people than this who can tell are too many for "similar". */
  readonly similarWithin: number;
  /** How sure to be of what is said of similarity. */
  readonly confidence: number;
}

/** One in five who can tell is few enough: a choice of ours, as the standards leave it to the one who asks. */
export const VERDICT_RULE: VerdictRule = { significance: 0.05, similarWithin: 0.2, confidence: 0.95 };

export interface TastingResult extends Discrimination {
  readonly verdict: TastingVerdict;
}

/**
 * A difference is told even when it is also shown to be small; its `discriminatorsAtMost` says so.
 * @throws RangeError unless the answers are possible and the rule's numbers between 0 and 1.
 */
export function judgeTasting(
  protocol: Protocol,
  answers: Answers,
  rule: VerdictRule = VERDICT_RULE,
): TastingResult {
  requireLevel(rule.significance);
  const found = discrimination(protocol, answers);
  return { ...found, verdict: verdictOf(protocol, answers, found.p, rule) };
}

function verdictOf(protocol: Protocol, answers: Answers, p: number, rule: VerdictRule): TastingVerdict {
  const { significance, similarWithin: within, confidence } = rule;
  const atMost = discriminatorsAtMost(protocol, answers, confidence);
  if (p <= significance) return { kind: 'difference', discriminatorsAtMost: atMost };
  const mostCorrect = mostCorrectWhenSimilar(protocol, answers.assessors, within, confidence);
  return mostCorrect !== undefined && answers.correct <= mostCorrect
    ? { kind: 'similar', within, discriminatorsAtMost: atMost }
    : { kind: 'no-sign', discriminatorsAtMost: atMost };
}
