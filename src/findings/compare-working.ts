import { type Reply, reply } from '../chat/reply.js';
import type { BatchMark } from '../records/batch-marks.js';
import type { CommunitySums, ModelFactor } from '../records/model-sums.js';
import { type Interval, intervalOf, type LinearEstimate } from '../statistics/model/linear-estimate.js';
import type { Fit } from '../statistics/model/mixed-model.js';
import { comparableMeans, comparedLevels } from '../statistics/questions/pairwise.js';
import { isHardlyKnown, type Verdict } from '../statistics/questions/verdict.js';
import { minutesWords, roundWeightWords } from '../words/amounts.js';
import { capitalise, countWords, listWords } from '../words/lists.js';
import { levelWords } from '../words/methods.js';
import {
  finePercentWords,
  finePointsWords,
  isPossibleYield,
  pointsIntervalWords,
  saysNothing,
  signedPointsWords,
  yieldRangeWords,
} from '../words/yield-words.js';
import type { FittedModel } from './community-model.js';
import type { Compared } from './compare.js';
import { COVARIATES, type ComparedCovariate, isBelievable, judgedCovariate } from './compare-covariate.js';
import { isClear, isEstimated, type LevelComparison, levelComparisons } from './level-comparisons.js';
import { countFigures, NO_COOK_WORDS, untimedWords } from './model-words.js';
import { oddFigures } from './scope.js';

/**
 * How a comparison came about: the model, the spreads, and every estimate with its precision.
 * @param marks single batches, or the newest of them
 */
export function comparisonWorking(by: Compared, model: FittedModel, marks: readonly BatchMark[]): Reply {
  const { community, scope } = model;
  const isFactor = by === 'method' || by === 'cut';
  const fit = isFactor ? (model.forecastModel.fit ?? model.fit) : model.fit;
  const [first = '', ...others] = modelSources(fit);
  return reply({
    title: `The working: yield by ${by}`,
    audience: 'only you',
    lines: [
      [modelWords(fit, community), ...untimedWords(community)].join(' '),
      spreadWords(fit),
      ...(isFactor ? levelLines(by, community, fit) : covariateLines(by, model, marks)),
      ...scope.lines,
    ],
    sources: [`${scope.whose}: ${first}`, ...others, ...(isFactor ? LEVEL_SOURCES : [])],
    figures: {
      ...countFigures(community),
      ...oddFigures(scope),
      spreadBatchYield: fit.sigma,
      spreadMemberYield: fit.kind === 'mixed' ? fit.sigmaMember : null,
      residualDf: fit.residualDf,
    },
  });
}

const LEVEL_SOURCES = [
  'Searle, Speed, Milliken (1980), The American Statistician 34, 216–221: adjusted means',
  'Holm (1979), Scandinavian J. Statistics 6, 65–70: all comparisons together',
];

function modelSources(fit: Fit): readonly string[] {
  if (fit.kind === 'least-squares') return ['least squares, t intervals'];
  return [
    'mixed model with a random intercept for each member, by restricted maximum likelihood',
    fit.kenwardRoger === undefined
      ? 'Giesbrecht, Burns (1985), Biometrics 41, 477–486: degrees of freedom'
      : 'Kenward, Roger (1997), Biometrics 53, 983–997: standard errors and degrees of freedom',
  ];
}

function modelWords(fit: Fit, { sums, members }: CommunitySums): string {
  const { factors, covariates } = fit.design;
  const terms = [
    ...factors.filter(({ name }) => comparedLevels(fit, name).length > 1).map(({ name }) => name),
    ...covariates.map(({ name }) => COVARIATE_WORDS[name] ?? name),
    ...(fit.kind === 'mixed' ? ['cook'] : []),
    'chance',
  ];
  return `Yield = a level + ${terms.join(' + ')}, fitted to ${countWords(sums.total.batches, 'batch', 'batches')} of ${countWords(members, 'member', 'members')}. Each batch counts alike.`;
}

const COVARIATE_WORDS: Readonly<Record<string, string>> = {
  log_fat_kg: 'so much for each doubling of the starting weight',
  hours: 'so much for each hour',
};

function spreadWords(fit: Fit): string {
  const by = `by ${finePointsWords(fit.sigma)} (standard deviation)`;
  if (fit.kind === 'least-squares')
    return fit.because === 'one-batch-each' || fit.because === 'nothing-repeated'
      ? `Batches spread ${by}, cooks and batches together. ${NO_COOK_WORDS[fit.because]}`
      : `Batches of one cook spread ${by}. ${NO_COOK_WORDS[fit.because]}`;
  return fit.singular
    ? `Batches of one cook spread ${by}; no spread between cooks is detected, which does not prove there is none.`
    : `Batches of one cook spread ${by}, cooks by ${finePointsWords(fit.sigmaMember)}.`;
}

function levelLines(by: ModelFactor, community: CommunitySums, fit: Fit): readonly string[] {
  const comparisons = levelComparisons(by, community, fit);
  const { means, over } = comparableMeans(fit, by);
  return [
    meansWords(by, fit, over),
    ...means.map(({ level, mean }) => `${capitalise(levelWords(level))}: ${estimateWords(mean, SHARE)}.`),
    `Differences in points, each with its 95 % interval, beside the difference of plain averages:`,
    ...comparisons.map((one) => differenceWords(one, comparisons.length)),
  ];
}

/** Where the means are taken: at average weight and time, the other factor's levels counting alike. */
function meansWords(by: ModelFactor, fit: Fit, over: readonly string[] | undefined): string {
  const other = by === 'method' ? 'cut' : 'method';
  const { covariates } = fit.design;
  const at = covariates.flatMap(({ name }, position) => {
    const mean = fit.covariateMeans[position];
    if (mean === undefined) return [];
    return [
      name === 'log_fat_kg' ? `${roundWeightWords(1000 * Math.exp(mean))} of fat` : minutesWords(60 * mean),
    ];
  });
  const whole = comparedLevels(fit, other).length > 1 ? `every ${other} that was used counting alike` : '';
  const others =
    over === undefined
      ? whole
      : `with ${listWords(over.map(levelWords))} counting alike, as any other ${other} cannot be told apart`;
  const where = [
    ...(at.length > 0 ? [`at ${listWords(at)}, the averages here`] : []),
    ...(others ? [others] : []),
  ];
  return `Adjusted means${where.length > 0 ? ` are ${where.join(', ')}` : ''}:`;
}

/** How an estimate and its interval are said, and whether they say anything. */
interface EstimateFormat {
  isPossible(estimate: number): boolean;
  isKnown(interval: Interval): boolean;
  words(estimate: number): string;
  range(interval: Interval): string;
}

const SHARE: EstimateFormat = {
  isPossible: isPossibleYield,
  isKnown: (interval) => !saysNothing(interval),
  words: finePercentWords,
  range: (interval) => yieldRangeWords(interval, 1),
};

const DIFFERENCE: EstimateFormat = {
  isPossible: (difference) => Math.abs(difference) <= 1,
  isKnown: (interval) => !isHardlyKnown(interval),
  words: (difference) => `${signedPointsWords(difference)} points`,
  range: (interval) => `${pointsIntervalWords(interval)} points`,
};

function estimateWords(
  estimate: LinearEstimate,
  { isPossible, isKnown, words, range }: EstimateFormat,
): string {
  if (estimate.kind !== 'estimate') return 'not to be told apart from the rest';
  const interval = intervalOf(estimate);
  if (!isPossible(estimate.estimate)) return 'hardly known';
  if (!isKnown(interval)) return `${words(estimate.estimate)}, but hardly known`;
  const { standardError, df } = estimate;
  return `${words(estimate.estimate)} (95 % interval ${range(interval)}; standard error ${finePointsWords(standardError)}, ${df.toFixed(1)} degrees of freedom)`;
}

function differenceWords(one: LevelComparison, comparisons: number): string {
  const names = `${capitalise(levelWords(one.first))} less ${levelWords(one.second)}`;
  const plainly = `plain ${signedPointsWords(one.plain)}`;
  if (!isEstimated(one)) return `${names}: not to be told apart, ${plainly}.`;
  const { estimate } = one.difference;
  const interval = intervalOf(one.difference);
  const sure = isHardlyKnown(interval) ? ', but hardly known' : ` (${pointsIntervalWords(interval)})`;
  const found = DIFFERENCE.isPossible(estimate) ? `${signedPointsWords(estimate)}${sure}` : 'hardly known';
  return `${names}: ${found}, ${plainly}; ${clearWords(one, comparisons)}.`;
}

const VERDICT_WORDS: Readonly<Record<Verdict, string>> = {
  more: 'clear',
  less: 'clear',
  unclear: 'not clear',
  'too-few': 'too few to say',
};

/** The verdict of the answer, and whether it stands with all comparisons allowed for. */
function clearWords({ verdict, verdictOfAll }: LevelComparison, comparisons: number): string {
  if (verdict === undefined) return 'not to be told';
  if (!isClear(verdict) || comparisons === 1) return VERDICT_WORDS[verdict];
  return isClear(verdictOfAll)
    ? `clear, with all ${comparisons} allowed for too`
    : `clear alone, not with all ${comparisons} allowed for`;
}

function covariateLines(
  by: ComparedCovariate,
  model: FittedModel,
  marks: readonly BatchMark[],
): readonly string[] {
  const { effect, plain, verdict } = judgedCovariate(by, model, marks);
  const clear = verdict === undefined ? '' : `; ${VERDICT_WORDS[verdict]}`;
  const plainly = isBelievable(plain) ? DIFFERENCE.words(plain) : 'hardly known';
  return [
    `${COVARIATES[by].step}: ${estimateWords(effect, DIFFERENCE)}${clear}.`,
    `Through all batches, nothing allowed for: ${plainly}.`,
  ];
}
