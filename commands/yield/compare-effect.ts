import { type Figures, type Picture, type Reply, reply } from '../../src/chat/reply.js';
import { scatterPicture } from '../../src/pictures/scatter-picture.js';
import type { BatchMark } from '../../src/records/batch-marks.js';
import type { CommunitySums } from '../../src/records/model-sums.js';
import {
  covariateEffect,
  type Interval,
  intervalOf,
  type LinearEstimate,
  meanAt,
} from '../../src/statistics/linear-estimate.js';
import type { Fit } from '../../src/statistics/mixed-model.js';
import type { ModelSums } from '../../src/statistics/sufficient-statistics.js';
import { chooseTerms } from '../../src/statistics/term-choice.js';
import { WORTH_KNOWING } from '../../src/statistics/verdict.js';
import { formatPercentRange } from '../../src/trade/amounts.js';
import { oddFigures, type ScopeSaid } from '../shared/scope.js';
import { finePercentWords, minutesWords, roundWeightWords } from '../shared/words.js';
import { countFigures, countsWords } from './compared-batches.js';
import { finePointsWords, pointsIntervalWords } from './words.js';

export type Effect = 'weight' | 'time';

export interface EffectKind {
  readonly covariate: string;
  readonly title: string;
  /** What is done more of, by one step. */
  readonly step: string;
  readonly stepSize: number;
  readonly name: string;
  readonly allowedFor: string;
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
    allowedFor: 'method, cut, time or cook',
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
    allowedFor: 'method, cut, starting weight or cook',
    valueOf: ({ minutes }) => (minutes === null ? undefined : minutes / 60),
    toAxis: (hours) => hours,
    words: (hours) => minutesWords(60 * hours),
  },
};

/** How the yield goes with starting weight or time, all else alike. */
export async function compareEffect(
  by: Effect,
  {
    community,
    scope,
    fit,
  }: { readonly community: CommunitySums; readonly scope: ScopeSaid; readonly fit: Fit },
  marksOf: () => Promise<readonly BatchMark[]>,
): Promise<Reply> {
  const kind = EFFECTS[by];
  const counts = { ...countFigures(community), ...oddFigures(scope) };
  if (!community.sums.design.covariates.some(({ name }) => name === kind.covariate)) {
    return reply({
      title: 'Too few times logged',
      lines: [
        'Most batches do not say how long they rendered. Log minutes: with the next ones.',
        ...scope.lines,
      ],
      figures: counts,
    });
  }
  const effect = covariateEffect(fit, kind.covariate, kind.stepSize);
  const plain = kind.stepSize * plainSlope(community.sums, kind.covariate);
  return reply({
    title: kind.title,
    lines: [
      effectWords(kind, effect, plain),
      `Method, cut, ${by === 'weight' ? 'time' : 'starting weight'} and cook allowed for${community.timeAllowedFor || by === 'time' ? '' : ', but not time, which most batches do not say'}. ${countsWords(community)}`,
      ...scope.lines,
    ],
    picture: await pictureOf(by, fit, await marksOf()),
    sources: [`${scope.whose}: mixed model with a random intercept for each member, Kenward–Roger intervals`],
    figures: { ...counts, effect: effectFigures(effect, plain) },
  });
}

function effectWords(kind: EffectKind, effect: LinearEstimate, plain: number): string {
  const { step, name } = kind;
  if (effect.kind !== 'estimate')
    return `${step}: not to be told apart from method and cut, which always changed together with ${name}.`;
  const { low, high } = intervalOf(effect);
  if (!Number.isFinite(high - low)) return `${step}: too few batches to say.`;
  const interval = `95 % interval ${pointsIntervalWords({ low, high })}`;
  const explained = explainedWords(kind, effect.estimate, plain);
  if (low > 0) return `${step} gave ${finePointsWords(effect.estimate)} more (${interval}).${explained}`;
  if (high < 0)
    return `${step} gave ${finePointsWords(effect.estimate)} less (95 % interval ${pointsIntervalWords({ low: -high, high: -low })}).${explained}`;
  return (high - low) / 2 > WORTH_KNOWING
    ? `${step}: too few batches to say (${interval} points).`
    : `${step}: no clear difference yet (${interval} points).${explained}`;
}

function explainedWords({ allowedFor }: EffectKind, adjusted: number, plain: number): string {
  if (Math.abs(plain - adjusted) < WORTH_KNOWING / 2) return '';
  return ` Without allowing for anything it is ${finePointsWords(plain)}${plain < 0 !== adjusted < 0 ? ' the other way' : ''}; ${allowedFor} explains the rest.`;
}

/** The slope of a straight line through all batches, nothing allowed for; 0 where the covariate never changes. */
export function plainSlope(sums: ModelSums, covariate: string): number {
  const { total } = chooseTerms(sums, { factors: [], covariates: [covariate] });
  const [n = 0, x = 0, xx = 0] = total.xx;
  const [y = 0, xy = 0] = total.xy;
  const spread = xx - (x * x) / n;
  return spread > 1e-10 * xx ? (xy - (x * y) / n) / spread : 0;
}

function finite({ low, high }: Interval): Interval | undefined {
  return Number.isFinite(high - low) ? { low, high } : undefined;
}

function effectFigures(effect: LinearEstimate, plain: number): Figures {
  if (effect.kind !== 'estimate') return { adjusted: null, low: null, high: null, plain };
  const interval = finite(intervalOf(effect));
  return {
    adjusted: effect.estimate,
    low: interval?.low ?? null,
    high: interval?.high ?? null,
    plain,
  };
}

const POINTS_ON_LINE = 25;

async function pictureOf(by: Effect, fit: Fit, batches: readonly BatchMark[]): Promise<Picture | undefined> {
  const kind = EFFECTS[by];
  const marks = batches.flatMap((batch) => {
    const value = kind.valueOf(batch);
    return value === undefined ? [] : [{ ...batch, value, x: kind.toAxis(value) }];
  });
  if (marks.length === 0) return undefined;
  const values = marks.map(({ value }) => value);
  const [from, to] = [Math.min(...values), Math.max(...values)];
  const line = Array.from({ length: POINTS_ON_LINE }, (_, k) => {
    const value = from + ((to - from) * k) / (POINTS_ON_LINE - 1);
    const mean = meanAt(fit, { covariates: { [kind.covariate]: value } });
    if (mean.kind !== 'estimate') return [];
    return [{ x: kind.toAxis(value), mean: mean.estimate, ...finite(intervalOf(mean)) }];
  }).flat();
  const title = `${kind.title}, all else alike`;
  const ends = [line[0], line.at(-1)].flatMap((point) =>
    point
      ? [
          `${kind.words(point.x)}: ${finePercentWords(held(point.mean))}${
            point.low === undefined || point.high === undefined
              ? ''
              : `, ${formatPercentRange(held(point.low), held(point.high))}`
          }`,
        ]
      : [],
  );
  return {
    name: `yield-by-${by}.png`,
    alt: `${title}, a line with its 95 % interval over single batches. ${
      ends.length > 0 ? ends.join('; ') : 'No line: it cannot be told apart from method and cut'
    }.`,
    png: await scatterPicture({
      title,
      caption: 'Dots: single batches, larger for more fat. Line: expected yield, band: its 95 % interval.',
      axis: by === 'weight' ? 'weight' : 'hours',
      marks,
      line: from === to ? [] : line,
    }),
  };
}

const held = (fraction: number): number => Math.min(1, Math.max(0, fraction));
