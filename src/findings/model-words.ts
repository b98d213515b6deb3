import type { Figures } from '../chat/reply.js';
import type { CommunitySums } from '../records/model-sums.js';
import {
  aliasesOf,
  type Interval,
  intervalOf,
  type LinearEstimate,
} from '../statistics/model/linear-estimate.js';
import type { Fit, NoMemberTerm } from '../statistics/model/mixed-model.js';
import { comparedLevels } from '../statistics/questions/pairwise.js';
import { capitalise, countWords, listWords } from '../words/lists.js';

export const countFigures = ({ sums, members, withoutTime }: CommunitySums): Figures => ({
  batches: sums.total.batches,
  members,
  withoutTime,
});

/** The interval of an estimate; undefined where there is none, or none that ends. */
export function finiteInterval(estimate: LinearEstimate): Interval | undefined {
  if (estimate.kind !== 'estimate') return undefined;
  const interval = intervalOf(estimate);
  return Number.isFinite(interval.high - interval.low) ? interval : undefined;
}

/** A difference with all else alike, beside that of plain averages. */
export function differenceFigures(difference: LinearEstimate, plain: number): Figures {
  const interval = finiteInterval(difference);
  return {
    adjusted: difference.kind === 'estimate' ? difference.estimate : null,
    low: interval?.low ?? null,
    high: interval?.high ?? null,
    plain,
  };
}

/** The terms of a fitted model that it tells apart, as they are called in sentences, without the one compared. */
export function modelTerms(fit: Fit, compared?: string): readonly string[] {
  const aliased = new Set(
    aliasesOf(fit).flatMap(({ column }) => (column.kind === 'covariate' ? [column.covariate] : [])),
  );
  const { factors, covariates } = fit.design;
  const names = [
    ...factors.map(({ name }) => name).filter((name) => comparedLevels(fit, name).length > 1),
    ...covariates.map(({ name }) => name).filter((name) => !aliased.has(name)),
    ...(fit.kind === 'mixed' ? ['cook'] : []),
  ];
  return names.filter((name) => name !== compared).map((name) => TERM_WORDS[name] ?? name);
}

/** What a term of the model is called in a sentence; factors by their own names. */
export const TERM_WORDS: Readonly<Record<string, string>> = { log_fat_kg: 'starting weight', hours: 'time' };

/** Why a model has no term for the cook. */
export const NO_COOK_WORDS: Readonly<Record<NoMemberTerm, string>> = {
  'one-member': 'All are one cook’s, which says nothing of other cooks.',
  'one-batch-each': 'Everybody cooked once, so cooks are not told from batches.',
  'nothing-repeated': 'Too few batches yet to tell cooks from batches.',
  'each-their-own-way': 'Each cook keeps to ways of their own, so cooks are not told from methods.',
};

/**
 * "Cut, starting weight and cook allowed for. 3 batches without a time are left out. 34 batches, 12 members."
 * @param compared factor or covariate whose effect is told
 */
export function allowedForWords(community: CommunitySums, fit: Fit, compared: string): string {
  const terms = modelTerms(fit, compared);
  const allowed =
    terms.length === 0 ? 'Nothing else allowed for' : `${capitalise(listWords(terms))} allowed for`;
  const timeless =
    !community.timeAllowedFor && community.withoutTime > 0
      ? `, ${terms.length === 0 ? 'nor' : 'but not'} time, which most batches do not say`
      : '';
  return [
    `${allowed}${timeless}.`,
    ...(fit.kind === 'least-squares' ? [NO_COOK_WORDS[fit.because]] : []),
    ...untimedWords(community),
    `${countWords(community.sums.total.batches, 'batch', 'batches')}, ${countWords(community.members, 'member', 'members')}.`,
  ].join(' ');
}

/** Whether batches that say no time are left out. */
export const leavesUntimedOut = ({ timeAllowedFor, withoutTime }: CommunitySums): boolean =>
  timeAllowedFor && withoutTime > 0;

/** "3 batches without a time are left out."; nothing when there are none. */
export function untimedWords(community: CommunitySums): readonly string[] {
  if (!leavesUntimedOut(community)) return [];
  const count = countWords(community.withoutTime, 'batch without a time is', 'batches without a time are');
  return [`${count} left out.`];
}

/** Where plain averages say something else, what explains it: " Plain averages: 3 points more; time explains the rest." */
export const explainedWords = (plainly: string, terms: readonly string[]): string =>
  ` ${plainly}; ${listWords(terms, 'or')} explains the rest.`;

/** How estimates and their intervals were had, as a source says it. */
export function fitSource(fit: Fit): string {
  if (fit.kind === 'least-squares') return 'least squares, t intervals';
  const precision = fit.kenwardRoger === undefined ? 'Satterthwaite' : 'Kenward–Roger';
  return `mixed model with a random intercept for each member, ${precision} intervals`;
}
