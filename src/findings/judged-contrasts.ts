import type { Figures } from '../chat/reply.js';
import type { CommunitySums, ModelFactor } from '../records/model-sums.js';
import { type Estimate, intervalOf } from '../statistics/model/linear-estimate.js';
import type { Fit } from '../statistics/model/mixed-model.js';
import { levelSummaries, onlyUsedWith } from '../statistics/questions/level-summaries.js';
import { type Contrast, type ContrastTest, pairwiseContrasts } from '../statistics/questions/pairwise.js';
import { batchesToShow } from '../statistics/questions/power.js';
import { plannedSpread } from '../statistics/questions/spread.js';
import { SIGNIFICANCE, type Verdict, verdictOf, WORTH_KNOWING } from '../statistics/questions/verdict.js';
import { capitalise, countWords, listWords } from '../words/lists.js';
import { levelWords } from '../words/methods.js';
import {
  aroundNoneWords,
  finePointsWords,
  moreOrLessWords,
  pointsIntervalWords,
} from '../words/yield-words.js';
import { modelTerms } from './compared-batches.js';

/** A comparison of two levels, with what is said of it. */
export interface Judged {
  readonly first: string;
  readonly second: string;
  /** First less second. */
  readonly difference: Contrast['difference'];
  /** The same of the plain averages. */
  readonly plain: number;
  readonly name: string;
  /** Undefined where the two cannot be told apart. */
  readonly verdict: Verdict | undefined;
  readonly line: string;
  /** What is clear comes first, the larger the earlier; what cannot be said comes last. */
  readonly rank: number;
}

export function comparisonFigures({ difference, plain }: Judged): Figures {
  if (difference.kind !== 'estimate') return { adjusted: null, low: null, high: null, plain };
  const { low, high } = intervalOf(difference);
  const finite = Number.isFinite(high - low);
  return {
    adjusted: difference.estimate,
    low: finite ? low : null,
    high: finite ? high : null,
    plain,
    pHolm: difference.pHolm,
    pTukey: difference.pTukey ?? null,
  };
}

/** All comparisons between the levels of a factor. */
export function judgedContrasts(by: ModelFactor, community: CommunitySums, fit: Fit): readonly Judged[] {
  const contrasts = pairwiseContrasts(fit, by);
  return contrasts.map((contrast) => judged(contrast, by, community, fit, contrasts.length));
}

function judged(
  { first, second, difference }: Contrast,
  by: ModelFactor,
  community: CommunitySums,
  fit: Fit,
  comparisons: number,
): Judged {
  const name = `${first} over ${second}`;
  const summaries = levelSummaries(community.sums, by);
  const meanOf = (level: string) => summaries.find((one) => one.level === level)?.mean ?? 0;
  const plain = meanOf(first) - meanOf(second);
  if (difference.kind !== 'estimate') {
    return {
      first,
      second,
      difference,
      plain,
      name,
      verdict: undefined,
      line: `${capitalise(levelWords(first))} and ${levelWords(second)}: not to be told apart: ${whyNot(first, second, by, community)}.`,
      rank: 30,
    };
  }
  const side = (level: string) => ({
    batches: summaries.find((one) => one.level === level)?.batches ?? 0,
    members: community.membersByLevel[by].get(level) ?? 0,
  });
  const verdict = verdictOf(difference, [side(first), side(second)]);
  return {
    first,
    second,
    difference,
    plain,
    name,
    verdict,
    line: `${verdictWords(verdict, { first, second, difference, plain, fit, by })}${togetherWords(verdict, difference, comparisons)}`,
    rank: RANK[verdict] - Math.abs(difference.estimate),
  };
}

const RANK: Readonly<Record<Verdict, number>> = { more: 0, less: 0, unclear: 10, 'too-few': 20 };

interface Compared {
  readonly first: string;
  readonly second: string;
  readonly difference: Estimate;
  readonly plain: number;
  readonly fit: Fit;
  readonly by: ModelFactor;
}

function verdictWords(verdict: Verdict, compared: Compared): string {
  const { first, second, difference, fit } = compared;
  const [a, b] = [levelWords(first), levelWords(second)];
  const { low, high } = intervalOf(difference);
  switch (verdict) {
    case 'more':
    case 'less': {
      const [up, down] = verdict === 'more' ? [a, b] : [b, a];
      const ends = verdict === 'more' ? { low, high } : { low: -high, high: -low };
      return `${capitalise(up)} gave ${finePointsWords(difference.estimate)} more than ${down} (95 % interval ${pointsIntervalWords(ends)}).${explainedWords(compared)}`;
    }
    case 'unclear':
      return `${capitalise(a)} and ${b}: no clear difference yet (95 % interval: ${a} ${aroundNoneWords({ low, high })}).${explainedWords(compared)}`;
    case 'too-few': {
      const plan = batchesToShow(WORTH_KNOWING, plannedSpread(fit), { known: difference });
      const needs =
        plan && plan.members > 0
          ? `: needs about ${countWords(plan.batches, 'more batch', 'more batches')} from ${countWords(plan.members, 'more member who tries', 'more members who try')} both`
          : '';
      return `${capitalise(a)} and ${b}: too few to say${needs}.`;
    }
  }
}

/** Of many comparisons some look clear by chance. */
function togetherWords(verdict: Verdict, { pHolm }: ContrastTest, comparisons: number): string {
  return (verdict === 'more' || verdict === 'less') && pHolm >= SIGNIFICANCE
    ? ` It is one of ${comparisons} comparisons, though: with all of them allowed for it is not clear yet.`
    : '';
}

/** Where plain averages differ otherwise by half of what is worth knowing or more, what explains it. */
function explainedWords({ first, second, difference, plain, fit, by }: Compared): string {
  const terms = modelTerms(fit, by);
  if (Math.abs(plain - difference.estimate) < WORTH_KNOWING / 2 || terms.length === 0) return '';
  const ahead = plain === 0 ? '' : `${levelWords(plain > 0 ? first : second)} `;
  return ` Plain averages: ${ahead}${moreOrLessWords(Math.abs(plain))}; ${listWords(terms, 'or')} explains the rest.`;
}

function whyNot(first: string, second: string, by: ModelFactor, { sums }: CommunitySums): string {
  const only = [first, second].flatMap((level) =>
    onlyUsedWith(sums, { factor: by, level }).map((other) =>
      `${levelWords(level)} was only ever used with ${levelWords(other.level)} ${other.factor === 'cut' ? 'fat' : ''}`.trim(),
    ),
  );
  return only.length > 0 ? listWords(only) : 'they always changed together with something else';
}
