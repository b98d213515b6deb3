import { actionId, button } from '../chat/action.js';
import { type Figures, type Picture, type Refusal, type Reply, refusal, reply } from '../chat/reply.js';
import type { Pictures } from '../pictures/pictures.js';
import { batchMarks } from '../records/batch-marks.js';
import type { Records } from '../records/database.js';
import { keptWhileUnchanged } from '../records/kept.js';
import type { CommunitySums, ModelFactor } from '../records/model-sums.js';
import { intervalOf, type LinearEstimate } from '../statistics/model/linear-estimate.js';
import type { Fit, FitResult, NoFit } from '../statistics/model/mixed-model.js';
import { levelSummaries } from '../statistics/questions/level-summaries.js';
import { comparableMeans, marginalMeans } from '../statistics/questions/pairwise.js';
import { capitalise, countWords } from '../words/lists.js';
import { isMethod, levelWords, methodLabel } from '../words/methods.js';
import { clampYield, finePercentWords, percentRangeWords } from '../words/yield-words.js';
import { communityModelOf } from './community-model.js';
import { compareEffect, type Drawing } from './compare-effect.js';
import { comparisonWorking } from './compare-working.js';
import {
  allowedForWords,
  countFigures,
  fitSource,
  leavesUntimedOut,
  untimedWords,
} from './compared-batches.js';
import { comparisonFigures, judgedContrasts } from './judged-contrasts.js';
import { countedMarks, type Effect, isInModel } from './judged-effect.js';
import { levelFit } from './level-fit.js';
import { oddFigures, type ScopeSaid } from './scope.js';

const MOST_COMPARISONS = 4;

/** What the batches say, kept until they change: everybody who asks sees the same, and drawing it takes the longest of all. */
export const comparing = (pictures: Pictures) =>
  keptWhileUnchanged(async (db, name, by: ModelFactor | Effect): Promise<Reply> => {
    const { scope, sums: community, fit } = await communityModelOf(db, name);
    const described = await describeComparison(
      by,
      { community, scope, fit },
      { marksOf: () => batchMarks(db, name, scope.filter), pictures },
    );
    if (fit.kind === 'none')
      return { ...described, lines: [...described.lines, ...(HINTS[fit.because] ?? [])] };
    return described.picture === undefined
      ? described
      : { ...described, actions: [button('Show the working', actionId(COMPARISON_WORKING, by))] };
  });

/** Action of the button that shows how a comparison came about; its argument is what was compared. */
export const COMPARISON_WORKING = 'yield.compare-working';

export const COMPARED = ['method', 'cut', 'weight', 'time'] as const;

/** How a comparison came about, from the batches as they are when it is asked. */
export async function showComparisonWorking(
  db: Records,
  name: string,
  by: ModelFactor | Effect,
): Promise<Reply | Refusal> {
  const { scope, sums: community, fit } = await communityModelOf(db, name);
  const isEffect = by === 'weight' || by === 'time';
  if (fit.kind === 'none' || (isEffect && !isInModel(by, community)))
    return refusal('There is nothing to work out', 'Ask again with /yield compare.');
  return comparisonWorking(by, { community, scope, fit }, await batchMarks(db, name, scope.filter));
}

/** A comparison of some batches, with a picture. */
export async function describeComparison(
  by: ModelFactor | Effect,
  { community, scope, fit }: Known<FitResult>,
  drawing: Drawing,
): Promise<Reply> {
  if (fit.kind === 'none') return nothingToCompare(fit.because, scope, community);
  return by === 'method' || by === 'cut'
    ? compareLevels(by, { community, scope, fit }, drawing)
    : compareEffect(by, { community, scope, fit }, drawing);
}

interface Known<Fitted> {
  readonly community: CommunitySums;
  readonly scope: ScopeSaid;
  readonly fit: Fitted;
}

async function compareLevels(by: ModelFactor, known: Known<Fit>, drawing: Drawing): Promise<Reply> {
  const { community, scope } = known;
  const fit = levelFit(community, known.fit);
  const comparisons = judgedContrasts(by, community, fit);
  if (comparisons.length === 0) {
    const timed = leavesUntimedOut(community) ? ' with a time' : '';
    return reply({
      title: `Only one ${by}${timed} so far`,
      lines: [
        [
          `All ${countWords(community.sums.total.batches, 'batch', 'batches')}${timed} used the same one, so there is nothing to compare yet.`,
          ...untimedWords(community),
        ].join(' '),
        ...scope.lines,
      ],
      figures: { ...countFigures(community), ...oddFigures(scope) },
    });
  }
  const shown = [...comparisons].sort((a, b) => a.rank - b.rank).slice(0, MOST_COMPARISONS);
  const more = comparisons.length - shown.length;
  return reply({
    title: by === 'method' ? 'Yield by method' : 'Yield by cut',
    lines: [
      ...shown.map(({ line }) => line),
      `${allowedForWords(community, fit, by)}${more > 0 ? ` ${countWords(more, 'more comparison is', 'more comparisons are')} in ${scope.rest}.` : ''}`,
      ...scope.lines,
    ],
    picture: await pictureOf(by, fit, community, drawing),
    sources: [`${scope.whose}: ${fitSource(fit)}`],
    figures: {
      ...countFigures(community),
      ...oddFigures(scope),
      means: Object.fromEntries(
        marginalMeans(fit, by).map(({ level, mean }) => [level, estimateFigures(mean)]),
      ),
      comparisons: Object.fromEntries(comparisons.map((one) => [one.name, comparisonFigures(one)])),
    },
  });
}

function estimateFigures(mean: LinearEstimate): Figures | null {
  if (mean.kind !== 'estimate') return null;
  const { low, high } = intervalOf(mean);
  const finite = Number.isFinite(high - low);
  return { mean: mean.estimate, low: finite ? low : null, high: finite ? high : null };
}

async function pictureOf(
  by: ModelFactor,
  fit: Fit,
  community: CommunitySums,
  { marksOf, pictures }: Drawing,
): Promise<Picture> {
  const marks = countedMarks(community, await marksOf());
  const summaries = levelSummaries(community.sums, by);
  const rows = comparableMeans(fit, by).means.map(({ level, mean }) => {
    // A mean at weights that this level never had may lie beyond what a yield can be.
    const estimate =
      mean.kind === 'estimate' && clampYield(mean.estimate) === mean.estimate ? mean : undefined;
    const interval = estimate && intervalOf(estimate);
    const shown = interval && Number.isFinite(interval.high - interval.low) ? interval : undefined;
    const batches = summaries.find((one) => one.level === level)?.batches ?? 0;
    return {
      label: isMethod(level) ? methodLabel(level) : capitalise(levelWords(level)),
      note: `${countWords(batches, 'batch', 'batches')}, ${countWords(community.membersByLevel[by].get(level) ?? 0, 'cook', 'cooks')}`,
      mean: estimate?.estimate,
      low: shown && clampYield(shown.low),
      high: shown && clampYield(shown.high),
      batches: marks.filter((mark) => mark[by] === level),
    };
  });
  const said = rows.map(({ label, mean, low, high }) =>
    mean === undefined
      ? `${label}: hardly known, or not to be told apart from the rest`
      : `${label}: ${finePercentWords(mean)}${low === undefined || high === undefined ? '' : `, ${percentRangeWords(low, high)}`}`,
  );
  const title = by === 'method' ? 'Yield by method, all else alike' : 'Yield by cut, all else alike';
  return {
    name: `yield-by-${by}.png`,
    alt: `${title}, means with 95 % intervals. ${said.join('; ')}.`,
    png: await pictures.yields({
      title,
      caption: 'Dots: single batches, larger for more fat. Bars: 95 % intervals of the adjusted means.',
      rows,
    }),
  };
}

const NO_FIT_WORDS: Readonly<Record<NoFit, string>> = {
  'no-batches': 'Nothing is logged yet.',
  'no-residual-df': 'There are too few batches for a comparison yet.',
  'no-spread':
    'Every batch gave what the others like it gave, so nothing shows how uncertain a difference is.',
  'no-spread-within-members':
    'Each cook got the same every time, so nothing shows how uncertain a difference is.',
};

/** What to do about it; a table that is analysed outside any community has no such commands. */
const HINTS: Readonly<Partial<Record<NoFit, readonly string[]>>> = {
  'no-batches': ['The first /batch log starts it.'],
  'no-residual-df': ['/batch list shows them.'],
};

function nothingToCompare(because: NoFit, scope: ScopeSaid, community: CommunitySums) {
  return reply({
    title: 'Nothing to compare yet',
    lines: [[NO_FIT_WORDS[because], ...untimedWords(community)].join(' '), ...scope.lines],
    figures: { ...countFigures(community), ...oddFigures(scope) },
  });
}
