import { type Picture, type Reply, reply } from '../chat/reply.js';
import type { Pictures } from '../pictures/pictures.js';
import type { BatchMark } from '../records/batch-marks.js';
import type { CommunitySums } from '../records/model-sums.js';
import { intervalOf, meanAt } from '../statistics/model/linear-estimate.js';
import type { Fit } from '../statistics/model/mixed-model.js';
import { clampYield, finePercentWords, percentRangeWords } from '../words/yield-words.js';
import { allowedForWords, countFigures, fitSource } from './compared-batches.js';
import {
  countedMarks,
  EFFECTS,
  type Effect,
  type EffectKind,
  effectFigures,
  isInModel,
  type JudgedEffect,
  judgedEffect,
} from './judged-effect.js';
import { oddFigures, type ScopeSaid } from './scope.js';

/** What a comparison is drawn with: the single batches behind it, and who draws. */
export interface Drawing {
  readonly marksOf: () => Promise<readonly BatchMark[]>;
  readonly pictures: Pictures;
}

/** How the yield goes with starting weight or time, all else alike. */
export async function compareEffect(
  by: Effect,
  {
    community,
    scope,
    fit,
  }: { readonly community: CommunitySums; readonly scope: ScopeSaid; readonly fit: Fit },
  { marksOf, pictures }: Drawing,
): Promise<Reply> {
  const kind = EFFECTS[by];
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
  const marks = countedMarks(community, await marksOf());
  const judged = judgedEffect(by, community, fit, marks);
  return reply({
    title: kind.title,
    lines: [judged.line, allowedForWords(community, fit, kind.covariate), ...scope.lines],
    picture: await pictureOf(pictures, by, { fit, marks, judged }),
    sources: [`${scope.whose}: ${fitSource(fit)}`],
    figures: { ...counts, effect: effectFigures(judged) },
  });
}

const POINTS_ON_LINE = 25;

interface Dot extends BatchMark {
  /** The covariate. */
  readonly value: number;
  /** The same on the axis. */
  readonly x: number;
}

async function pictureOf(
  pictures: Pictures,
  by: Effect,
  {
    fit,
    marks,
    judged: { verdict },
  }: { readonly fit: Fit; readonly marks: readonly BatchMark[]; readonly judged: JudgedEffect },
): Promise<Picture | undefined> {
  const kind = EFFECTS[by];
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
      axis: by === 'weight' ? 'weight' : 'hours',
      marks: dots,
      line,
    }),
  };
}

/** What is expected from the smallest to the largest value of the covariate, as far as a yield can be that. */
function lineThrough({ covariate, toAxis }: EffectKind, fit: Fit, dots: readonly Dot[]) {
  const values = dots.map(({ value }) => value);
  const [from, to] = [Math.min(...values), Math.max(...values)];
  return Array.from({ length: POINTS_ON_LINE }, (_, k) => {
    const value = from + ((to - from) * k) / (POINTS_ON_LINE - 1);
    const mean = meanAt(fit, { covariates: { [covariate]: value } });
    // Where it leaves what a yield can be it ends, and does not run along the edge.
    if (mean.kind !== 'estimate' || clampYield(mean.estimate) !== mean.estimate) return [];
    const { low, high } = intervalOf(mean);
    return [{ x: toAxis(value), mean: mean.estimate, ...(Number.isFinite(high - low) ? { low, high } : {}) }];
  }).flat();
}

function endsOf({ words }: EffectKind, line: ReturnType<typeof lineThrough>): string {
  return [line[0], line.at(-1)]
    .flatMap((point) => {
      if (point === undefined) return [];
      const { x, mean, low, high } = point;
      const interval =
        low === undefined || high === undefined
          ? ''
          : `, ${percentRangeWords(clampYield(low), clampYield(high))}`;
      return [`${words(x)}: ${finePercentWords(mean)}${interval}`];
    })
    .join('; ');
}
