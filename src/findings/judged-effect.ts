import type { Figures } from '../chat/reply.js';
import type { BatchMark } from '../records/batch-marks.js';
import type { CommunitySums } from '../records/model-sums.js';
import {
  covariateEffect,
  type Estimate,
  intervalOf,
  type LinearEstimate,
  type NotEstimable,
} from '../statistics/model/linear-estimate.js';
import type { Fit } from '../statistics/model/mixed-model.js';
import type { ModelSums } from '../statistics/model/sufficient-statistics.js';
import { chooseTerms } from '../statistics/model/term-choice.js';
import {
  isHardlyKnown,
  LEAST_MEMBERS,
  spanAStep,
  type Verdict,
  verdictOf,
  WORTH_KNOWING,
} from '../statistics/questions/verdict.js';
import { minutesWords, roundWeightWords } from '../words/amounts.js';
import { listWords } from '../words/lists.js';
import { aroundNoneWords, moreOrLessWords, pointsIntervalWords } from '../words/yield-words.js';
import { leavesUntimedOut, modelTerms, TERM_WORDS } from './compared-batches.js';

export type Effect = 'weight' | 'time';

export interface EffectKind {
  readonly covariate: string;
  readonly title: string;
  /** What is done more of, by one step. */
  readonly step: string;
  readonly stepSize: number;
  readonly name: string;
  /** What batches do that do not differ in it. */
  readonly alike: string;
  /** What batches do that are a step apart. */
  readonly apart: string;
  /** The covariate of a batch; undefined where it does not say. */
  valueOf(batch: BatchMark): number | undefined;
  /** What the axis shows, from the covariate. */
  toAxis(value: number): number;
  words(axis: number): string;
}

/** The two covariates of the model. */
export const EFFECTS: Readonly<Record<Effect, EffectKind>> = {
  weight: {
    covariate: 'log_fat_kg',
    title: 'Yield and starting weight',
    step: 'Twice the starting weight',
    stepSize: Math.LN2,
    name: 'the starting weight',
    alike: 'weighs the same',
    apart: 'weigh twice as much as others',
    valueOf: ({ fatG }) => Math.log(fatG / 1000),
    toAxis: (logKg) => 1000 * Math.exp(logKg),
    words: (fatG) => roundWeightWords(fatG),
  },
  time: {
    covariate: 'hours',
    title: 'Yield and time',
    step: 'An extra hour',
    stepSize: 1,
    name: 'time',
    alike: 'took as long',
    apart: 'took an hour longer than others',
    valueOf: ({ minutes }) => (minutes === null ? undefined : minutes / 60),
    toAxis: (hours) => hours,
    words: (hours) => minutesWords(60 * hours),
  },
};

/** Whether the model allows for it: times are left out while most batches do not say theirs. */
export const isInModel = (by: Effect, { sums }: CommunitySums): boolean =>
  sums.design.covariates.some(({ name }) => name === EFFECTS[by].covariate);

/** What one step of a covariate does, with what is said of it. */
export interface JudgedEffect {
  readonly effect: LinearEstimate;
  /** The same of a straight line through all batches, nothing allowed for. */
  readonly plain: number;
  /** Undefined where it cannot be told apart. */
  readonly verdict: Verdict | undefined;
  readonly line: string;
}

/** @param marks single batches that the fit rests on, or the newest of them */
export function judgedEffect(
  by: Effect,
  community: CommunitySums,
  fit: Fit,
  marks: readonly BatchMark[],
): JudgedEffect {
  const kind = EFFECTS[by];
  const effect = covariateEffect(fit, kind.covariate, kind.stepSize);
  const plain = kind.stepSize * plainSlope(community.sums, kind.covariate);
  if (effect.kind !== 'estimate')
    return { effect, plain, verdict: undefined, line: `${kind.step}: ${whyNot(kind, effect)}.` };
  const { members } = community;
  const side = { batches: community.sums.total.batches, members };
  const apart = areApart(kind, community, marks);
  const verdict = apart ? verdictOf(effect, [side, side]) : 'too-few';
  const words = {
    'too-few': () => `${kind.step}: ${tooFewWords(kind, effect, { members, apart })}.`,
    unclear: () =>
      `${kind.step}: no clear difference yet (95 % interval: ${aroundNoneWords(intervalOf(effect))}).`,
    more: () => clearWords(kind, effect),
    less: () => clearWords(kind, effect),
  }[verdict]();
  const explained = verdict === 'too-few' ? '' : explainedWords(kind, fit, effect.estimate, plain);
  return { effect, plain, verdict, line: `${words}${explained}` };
}

/** The marks of the batches that the fit rests on. */
export function countedMarks(community: CommunitySums, marks: readonly BatchMark[]): readonly BatchMark[] {
  return leavesUntimedOut(community) ? marks.filter(({ minutes }) => minutes !== null) : marks;
}

/** Of a normal spread a tenth lies beyond this many standard deviations at either end. */
const TENTH = 1.28;

/** Where there are more batches than marks their spread tells: one among so many cannot make it wide. */
function areApart(kind: EffectKind, { sums }: CommunitySums, marks: readonly BatchMark[]): boolean {
  const { covariate, stepSize } = kind;
  if (marks.length < sums.total.batches) return 2 * TENTH * spreadIn(sums, covariate).sd >= stepSize;
  return spanAStep(
    marks.flatMap((mark) => kind.valueOf(mark) ?? []),
    stepSize,
  );
}

function clearWords({ step }: EffectKind, effect: Estimate): string {
  const { low, high } = intervalOf(effect);
  const ends = effect.estimate > 0 ? { low, high } : { low: -high, high: -low };
  return `${step} gave ${moreOrLessWords(effect.estimate)} (95 % interval ${pointsIntervalWords(ends)}).`;
}

function tooFewWords(
  { apart: others }: EffectKind,
  effect: Estimate,
  { members, apart }: { readonly members: number; readonly apart: boolean },
): string {
  if (members < LEAST_MEMBERS) return 'too few cooks to say';
  if (!apart) return `too few to say, as few batches ${others}`;
  const interval = intervalOf(effect);
  return isHardlyKnown(interval)
    ? 'too few batches to say'
    : `too few batches to say (95 % interval: ${aroundNoneWords(interval)})`;
}

/** What it always changed together with, if it changed at all. */
function whyNot({ covariate, name, alike }: EffectKind, effect: NotEstimable): string {
  const columns =
    effect.kind === 'confounded' ? effect.aliases.flatMap((alias) => [alias.column, ...alias.with]) : [];
  const terms = columns.flatMap((column) =>
    column.kind === 'covariate' ? [column.covariate] : column.kind === 'level' ? [column.factor] : [],
  );
  const others = [...new Set(terms)].filter((term) => term !== covariate);
  return others.length === 0
    ? `not to be told, as every batch ${alike}`
    : `not to be told apart from ${listWords(others.map((term) => TERM_WORDS[term] ?? term))}, which always changed together with ${name}`;
}

/** Where a plain line says something else by half of what is worth knowing or more, what explains it. */
function explainedWords({ covariate }: EffectKind, fit: Fit, adjusted: number, plain: number): string {
  const terms = modelTerms(fit, covariate);
  if (Math.abs(plain - adjusted) < WORTH_KNOWING / 2 || Math.abs(plain) > 1 || terms.length === 0) return '';
  return ` Without allowing for anything: ${moreOrLessWords(plain)}; ${listWords(terms, 'or')} explains the rest.`;
}

/** "−3.1"; a slope beyond what yields can differ by comes of batches that hardly differ. */
export const plainWords = (plain: number, words: (points: number) => string): string =>
  Math.abs(plain) > 1 ? 'hardly known' : words(plain);

/** The slope of a straight line through all batches, nothing allowed for; 0 where the covariate never changes. */
function plainSlope(sums: ModelSums, covariate: string): number {
  const { squares, products } = spreadIn(sums, covariate);
  return squares > 0 ? products / squares : 0;
}

/** A sum of squares that keeps less than this share once its mean is taken off does not change. */
const LEAST_SHARE = 1e-10;

/** Sums of squares and of products with the yield about the means, and the standard deviation; 0 where it never changes. */
function spreadIn(sums: ModelSums, covariate: string) {
  const { total } = chooseTerms(sums, { factors: [], covariates: [covariate] });
  const [n = 0, x = 0, xx = 0] = total.xx;
  const [y = 0, xy = 0] = total.xy;
  const squares = xx - (x * x) / n;
  if (!(squares > LEAST_SHARE * xx)) return { squares: 0, products: 0, sd: 0 };
  return { squares, products: xy - (x * y) / n, sd: Math.sqrt(squares / n) };
}

export function effectFigures({ effect, plain }: JudgedEffect): Figures {
  if (effect.kind !== 'estimate') return { adjusted: null, low: null, high: null, plain };
  const { low, high } = intervalOf(effect);
  const finite = Number.isFinite(high - low);
  return { adjusted: effect.estimate, low: finite ? low : null, high: finite ? high : null, plain };
}
