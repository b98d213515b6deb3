import { type Figures, type Picture, type Reply, reply, withPicture } from '../chat/reply.js';
import type { BatchMark } from '../records/batch-marks.js';
import type { CommunitySums, ModelFactor } from '../records/model-sums.js';
import type { LinearEstimate } from '../statistics/model/linear-estimate.js';
import type { Fit } from '../statistics/model/mixed-model.js';
import { onlyUsedWith } from '../statistics/questions/level-summaries.js';
import { marginalMeans } from '../statistics/questions/pairwise.js';
import { batchesToShow } from '../statistics/questions/power.js';
import { plannedSpread } from '../statistics/questions/spread.js';
import { type Verdict, WORTH_KNOWING } from '../statistics/questions/verdict.js';
import { capitalise, countWords, listWords } from '../words/lists.js';
import { levelWords } from '../words/methods.js';
import { finePercentWords, finePointsWords, moreOrLessWords, yieldRangeWords } from '../words/yield-words.js';
import type { FittedModel, Illustration } from './community-model.js';
import {
  drawnRows,
  type EstimatedComparison,
  isClear,
  isEstimated,
  type LevelComparison,
  levelComparisons,
  levelRows,
  verdictWords,
} from './level-comparisons.js';
import {
  allowedForWords,
  countFigures,
  differenceFigures,
  explainedWords,
  finiteInterval,
  fitSource,
  leavesUntimedOut,
  modelTerms,
  untimedWords,
} from './model-words.js';
import { oddFigures } from './scope.js';

const MOST_COMPARISONS = 4;

/** How the yield differs between methods or cuts, all else alike. */
export async function compareLevels(
  by: ModelFactor,
  model: FittedModel,
  drawing: Illustration,
): Promise<Reply> {
  const { community, scope } = model;
  const fit = model.forecastModel.fit ?? model.fit;
  const comparisons = levelComparisons(by, community, fit);
  const counts = { ...countFigures(community), ...oddFigures(scope) };
  if (comparisons.length === 0) {
    const timed = leavesUntimedOut(community) ? ' with a time' : '';
    const all = `All ${countWords(community.sums.total.batches, 'batch', 'batches')}${timed} used the same one`;
    return reply({
      title: `Only one ${by}${timed} so far`,
      lines: [
        [`${all}, so there is nothing to compare yet.`, ...untimedWords(community)].join(' '),
        ...scope.lines,
      ],
      figures: counts,
    });
  }
  const shown = [...comparisons].sort((a, b) => rankOf(a) - rankOf(b)).slice(0, MOST_COMPARISONS);
  const more = comparisons.length - shown.length;
  const moreWords =
    more > 0 ? ` ${countWords(more, 'more comparison is', 'more comparisons are')} in ${scope.rest}.` : '';
  const marks = await drawing.marksOf();
  const described = reply({
    title: `Yield by ${by}`,
    lines: [
      ...shown.map((one) => comparisonLine(one, { community, fit, comparisons: comparisons.length })),
      `${allowedForWords(community, fit, by)}${moreWords}`,
      ...scope.lines,
    ],
    sources: [`${scope.whose}: ${fitSource(fit)}`],
    figures: {
      ...counts,
      means: Object.fromEntries(marginalMeans(fit, by).map(({ level, mean }) => [level, meanFigures(mean)])),
      comparisons: Object.fromEntries(
        comparisons.map((one) => [`${one.first} over ${one.second}`, comparisonFigures(one)]),
      ),
    },
  });
  const rows = levelRows(by, community, fit);
  return withPicture(described, pictureOf(by, rows, marks, drawing), drawing.missed);
}

function meanFigures(mean: LinearEstimate): Figures | null {
  if (mean.kind !== 'estimate') return null;
  const interval = finiteInterval(mean);
  return { mean: mean.estimate, low: interval?.low ?? null, high: interval?.high ?? null };
}

function comparisonFigures(one: LevelComparison): Figures {
  const figures = differenceFigures(one.difference, one.plain);
  if (!isEstimated(one)) return figures;
  return { ...figures, pHolm: one.difference.pHolm, pTukey: one.difference.pTukey ?? null };
}

/** What is clear comes first, the larger the earlier; what cannot be said comes last. */
const rankOf = ({ verdict, difference }: LevelComparison): number =>
  verdict === undefined || difference.kind !== 'estimate'
    ? 30
    : RANK[verdict] - Math.abs(difference.estimate);

const RANK: Readonly<Record<Verdict, number>> = { more: 0, less: 0, unclear: 10, 'too-few': 20 };

interface Basis {
  readonly community: CommunitySums;
  readonly fit: Fit;
  /** How many comparisons there are. */
  readonly comparisons: number;
}

function comparisonLine(one: LevelComparison, basis: Basis): string {
  const [a, b] = [levelWords(one.first), levelWords(one.second)];
  const name = `${capitalise(a)} and ${b}`;
  if (one.verdict === undefined || !isEstimated(one))
    return `${name}: not to be told apart: ${whyNot(one, basis.community)}.`;
  const { verdict, verdictOfAll, difference } = one;
  const [up, down] = verdict === 'more' ? [a, b] : [b, a];
  const words = verdictWords(verdict, difference, {
    name,
    clear: `${capitalise(up)} gave ${finePointsWords(difference.estimate)} more than ${down}`,
    whose: `${a} `,
    explained: plainWords(one, basis.fit),
    tooFew: () => `too few to say${neededWords(one, basis.fit)}`,
  });
  return isClear(verdict) && !isClear(verdictOfAll)
    ? `${words} It is one of ${basis.comparisons} comparisons, though: with all of them allowed for it is not clear yet.`
    : words;
}

function neededWords({ difference }: EstimatedComparison, fit: Fit): string {
  const plan = batchesToShow(WORTH_KNOWING, plannedSpread(fit), { known: difference });
  if (plan === undefined || plan.members === 0) return '';
  const batches = countWords(plan.batches, 'more batch', 'more batches');
  return `: needs about ${batches} from ${countWords(plan.members, 'more member who tries', 'more members who try')} both`;
}

/** Where plain averages differ otherwise by half of what is worth knowing or more, what explains it. */
function plainWords({ first, second, difference, plain, factor }: EstimatedComparison, fit: Fit): string {
  const terms = modelTerms(fit, factor);
  if (Math.abs(plain - difference.estimate) < WORTH_KNOWING / 2 || terms.length === 0) return '';
  const ahead = plain === 0 ? '' : `${levelWords(plain > 0 ? first : second)} `;
  return explainedWords(`Plain averages: ${ahead}${moreOrLessWords(Math.abs(plain))}`, terms);
}

function whyNot({ first, second, factor }: LevelComparison, { sums }: CommunitySums): string {
  const only = [first, second].flatMap((level) =>
    onlyUsedWith(sums, { factor, level }).map((other) =>
      `${levelWords(level)} was only ever used with ${levelWords(other.level)} ${other.factor === 'cut' ? 'fat' : ''}`.trim(),
    ),
  );
  return only.length > 0 ? listWords(only) : 'they always changed together with something else';
}

async function pictureOf(
  by: ModelFactor,
  rows: ReturnType<typeof levelRows>,
  marks: readonly BatchMark[],
  { pictures }: Illustration,
): Promise<Picture> {
  const said = rows.map(({ label, mean, interval }) => {
    if (mean === undefined) return `${label}: hardly known, or not to be told apart from the rest`;
    return `${label}: ${finePercentWords(mean)}${interval ? `, ${yieldRangeWords(interval)}` : ''}`;
  });
  const title = `Yield by ${by}, all else alike`;
  return {
    name: `yield-by-${by}.png`,
    alt: `${title}, means with 95 % intervals. ${said.join('; ')}.`,
    png: await pictures.yields({
      title,
      caption: 'Dots: single batches, larger for more fat. Bars: 95 % intervals of the adjusted means.',
      rows: drawnRows(by, rows, marks),
    }),
  };
}
