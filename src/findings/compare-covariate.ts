import { type Picture, type Reply, reply, withPicture } from '../chat/reply.js';
import type { BatchMark } from '../records/batch-marks.js';
import type { CommunitySums } from '../records/model-sums.js';
import {
  covariateEffect,
  type Estimate,
  intervalOf,
  type LinearEstimate,
  meanAt,
  type NotEstimable,
} from '../statistics/model/linear-estimate.js';
import type { Fit } from '../statistics/model/mixed-model.js';
import { plainLine } from '../statistics/questions/plain-line.js';
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
import {
  aroundNoneWords,
  finePercentWords,
  isPossibleYield,
  moreOrLessWords,
  yieldRangeWords,
} from '../words/yield-words.js';
import type { FittedModel, Illustration } from './community-model.js';
import { verdictWords } from './level-comparisons.js';
import {
  allowedForWords,
  countFigures,
  differenceFigures,
  explainedWords,
  finiteInterval,
  fitSource,
  modelTerms,
  TERM_WORDS,
} from './model-words.js';
import { oddFigures } from './scope.js';

export type ComparedCovariate = 'weight' | 'time';

interface CovariateKind {
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
  readonly axis: 'weight' | 'hours';
  /** What the axis shows, from the covariate. */
  toAxis(value: number): number;
  words(axis: number): string;
}

/** The two covariates of the model. */
export const COVARIATES: Readonly<Record<ComparedCovariate, CovariateKind>> = {
  weight: {
    covariate: 'log_fat_kg',
    title: 'Yield and starting weight',
    step: 'Twice the starting weight',
    stepSize: Math.LN2,
    name: 'the starting weight',
    alike: 'weighs the same',
    apart: 'weigh twice as much as others',
    valueOf: ({ fatG }) => Math.log(fatG / 1000),
    axis: 'weight',
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
    axis: 'hours',
    toAxis: (hours) => hours,
    words: (hours) => minutesWords(60 * hours),
  },
};

/** Whether the model allows for it: times are left out while most batches do not say theirs. */
export const isInModel = (by: ComparedCovariate, { sums }: CommunitySums): boolean =>
  sums.design.covariates.some(({ name }) => name === COVARIATES[by].covariate);

/** How the yield goes with starting weight or time, all else alike. */
export async function compareCovariate(
  by: ComparedCovariate,
  model: FittedModel,
  drawing: Illustration,
): Promise<Reply> {
  const { community, scope, fit } = model;
  const kind = COVARIATES[by];
  const counts = { ...countFigures(community), ...oddFigures(scope) };
  if (!isInModel(by, community)) {
    return reply({
      title: 'Too few times logged',
      lines: [
        'Most batches do not say how long they rendered. Log minutes: with the next ones.',
        ...scope.lines,
      ],
      figures: counts,
    });
  }
  const marks = await drawing.marksOf();
  const judged = judgedCovariate(by, model, marks);
  const described = reply({
    title: kind.title,
    lines: [
      covariateLine(kind, model, judged),
      allowedForWords(community, fit, kind.covariate),
      ...scope.lines,
    ],
    sources: [`${scope.whose}: ${fitSource(fit)}`],
    figures: { ...counts, effect: differenceFigures(judged.effect, judged.plain) },
  });
  const picture = pictureOf(by, { fit, marks, verdict: judged.verdict }, drawing);
  return withPicture(described, picture, drawing.missed);
}

/** What one step of a covariate does. */
interface JudgedCovariate {
  readonly effect: LinearEstimate;
  /** The same of a straight line through all batches, nothing allowed for. */
  readonly plain: number;
  /** Whether enough batches are a step apart to see what one makes. */
  readonly apart: boolean;
  /** Undefined where it cannot be told apart. */
  readonly verdict: Verdict | undefined;
}

/** @param marks single batches that the fit rests on, or the newest of them */
export function judgedCovariate(
  by: ComparedCovariate,
  { community, fit }: FittedModel,
  marks: readonly BatchMark[],
): JudgedCovariate {
  const kind = COVARIATES[by];
  const effect = covariateEffect(fit, kind.covariate, kind.stepSize);
  const plain = kind.stepSize * plainLine(community.sums, kind.covariate).slope;
  const apart = areApart(kind, community, marks);
  if (effect.kind !== 'estimate') return { effect, plain, apart, verdict: undefined };
  const side = { batches: community.sums.total.batches, members: community.members };
  return { effect, plain, apart, verdict: apart ? verdictOf(effect, [side, side]) : 'too-few' };
}

function covariateLine(
  kind: CovariateKind,
  { community: { members }, fit }: FittedModel,
  { effect, plain, apart, verdict }: JudgedCovariate,
): string {
  if (verdict === undefined || effect.kind !== 'estimate')
    return `${kind.step}: ${effect.kind === 'estimate' ? '' : whyNot(kind, effect)}.`;
  return verdictWords(verdict, effect, {
    name: kind.step,
    clear: `${kind.step} gave ${moreOrLessWords(effect.estimate)}`,
    whose: '',
    explained: plainWords(kind, fit, effect.estimate, plain),
    tooFew: () => tooFewWords(kind, effect, { members, apart }),
  });
}

/** Of a normal spread a tenth lies beyond this many standard deviations at either end. */
const TENTH = 1.28;

/** Where there are more batches than marks their spread tells: one among so many cannot make it wide. */
function areApart(kind: CovariateKind, { sums }: CommunitySums, marks: readonly BatchMark[]): boolean {
  const { covariate, stepSize } = kind;
  if (marks.length < sums.total.batches) return 2 * TENTH * plainLine(sums, covariate).sd >= stepSize;
  return spanAStep(
    marks.flatMap((mark) => kind.valueOf(mark) ?? []),
    stepSize,
  );
}

function tooFewWords(
  { apart: others }: CovariateKind,
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
function whyNot({ covariate, name, alike }: CovariateKind, effect: NotEstimable): string {
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
function plainWords({ covariate }: CovariateKind, fit: Fit, adjusted: number, plain: number): string {
  const terms = modelTerms(fit, covariate);
  if (Math.abs(plain - adjusted) < WORTH_KNOWING / 2 || !isBelievable(plain) || terms.length === 0) return '';
  return explainedWords(`Without allowing for anything: ${moreOrLessWords(plain)}`, terms);
}

/** A slope beyond what yields can differ by comes of batches that hardly differ. */
export const isBelievable = (plain: number): boolean => Math.abs(plain) <= 1;

const POINTS_ON_LINE = 25;

interface Dot extends BatchMark {
  /** The covariate. */
  readonly value: number;
  /** The same on the axis. */
  readonly x: number;
}

interface Drawn {
  readonly fit: Fit;
  readonly marks: readonly BatchMark[];
  readonly verdict: Verdict | undefined;
}

async function pictureOf(
  by: ComparedCovariate,
  { fit, marks, verdict }: Drawn,
  { pictures }: Illustration,
): Promise<Picture | undefined> {
  const kind = COVARIATES[by];
  const dots = marks.flatMap((batch): readonly Dot[] => {
    const value = kind.valueOf(batch);
    return value === undefined ? [] : [{ ...batch, value, x: kind.toAxis(value) }];
  });
  if (dots.length === 0) return undefined;
  // A line through what is hardly known would be read as a finding.
  const line = verdict === undefined || verdict === 'too-few' ? [] : lineThrough(kind, fit, dots);
  const title = `${kind.title}, all else alike`;
  const drawn =
    line.length > 0
      ? `a line with its 95 % interval over single batches. ${endsOf(kind, line)}`
      : `single batches. No line: ${verdict === undefined ? 'it cannot be told apart from the rest' : 'too few to say'}`;
  return {
    name: `yield-by-${by}.png`,
    alt: `${title}, ${drawn}.`,
    png: await pictures.scatter({
      title: line.length > 0 ? title : kind.title,
      caption: `Dots: single batches, larger for more fat.${line.length > 0 ? ' Line: expected yield, band: its 95 % interval.' : ''}`,
      axis: kind.axis,
      marks: dots,
      line,
    }),
  };
}

/** What is expected from the smallest to the largest value of the covariate, as far as a yield can be that. */
function lineThrough({ covariate, toAxis }: CovariateKind, fit: Fit, dots: readonly Dot[]) {
  const values = dots.map(({ value }) => value);
  const [from, to] = [Math.min(...values), Math.max(...values)];
  return Array.from({ length: POINTS_ON_LINE }, (_, k) => {
    const value = from + ((to - from) * k) / (POINTS_ON_LINE - 1);
    const mean = meanAt(fit, { covariates: { [covariate]: value } });
    // Where it leaves what a yield can be it ends, and does not run along the edge.
    if (mean.kind !== 'estimate' || !isPossibleYield(mean.estimate)) return [];
    return [{ x: toAxis(value), mean: mean.estimate, ...finiteInterval(mean) }];
  }).flat();
}

function endsOf({ words }: CovariateKind, line: ReturnType<typeof lineThrough>): string {
  return [line[0], line.at(-1)]
    .flatMap((point) => {
      if (point === undefined) return [];
      const { x, mean, low, high } = point;
      const interval = low === undefined || high === undefined ? '' : `, ${yieldRangeWords({ low, high })}`;
      return [`${words(x)}: ${finePercentWords(mean)}${interval}`];
    })
    .join('; ');
}
