import { type Reply, reply } from '../../src/chat/reply.js';
import type { CommunitySums, ModelFactor } from '../../src/records/model-sums.js';
import { covariateEffect, intervalOf, type LinearEstimate } from '../../src/statistics/linear-estimate.js';
import type { Fit, NoMemberTerm } from '../../src/statistics/mixed-model.js';
import { comparedLevels, marginalMeans } from '../../src/statistics/pairwise.js';
import { formatPercentRange } from '../../src/trade/amounts.js';
import { oddFigures, type ScopeSaid } from '../shared/scope.js';
import { countWords, finePercentWords, minutesWords, roundWeightWords } from '../shared/words.js';
import { EFFECTS, type Effect, plainSlope } from './compare-effect.js';
import { countFigures } from './compared-batches.js';
import { type Judged, judgedContrasts, SIGNIFICANCE } from './judged-contrasts.js';
import { levelFit } from './level-fit.js';
import { capital, levelWords } from './level-words.js';
import { finePointsWords, listWords, pointsIntervalWords, signedPointsWords } from './words.js';

interface Known {
  readonly community: CommunitySums;
  readonly scope: ScopeSaid;
  readonly fit: Fit;
}

/** How a comparison came about: the model, the spreads, and every estimate with its precision. */
export function comparisonWorking(by: ModelFactor | Effect, { community, scope, fit: whole }: Known): Reply {
  const isFactor = by === 'method' || by === 'cut';
  const { fit } = isFactor ? levelFit(community, whole) : { fit: whole };
  return reply({
    title: `The working: yield by ${by}`,
    audience: 'only you',
    lines: [
      modelWords(fit, community),
      spreadWords(fit),
      ...(isFactor ? levelLines(by, community, fit) : effectLines(by, community, fit)),
      ...scope.lines,
    ],
    sources: [
      `${scope.whose}: mixed model with a random intercept for each member, by restricted maximum likelihood`,
      'Kenward, Roger (1997), Biometrics 53, 983–997: standard errors and degrees of freedom',
      ...(isFactor
        ? [
            'Searle, Speed, Milliken (1980), The American Statistician 34, 216–221: adjusted means',
            'Holm (1979), Scandinavian J. Statistics 6, 65–70: all comparisons together',
          ]
        : []),
    ],
    figures: {
      ...countFigures(community),
      ...oddFigures(scope),
      spreadBatchYield: fit.sigma,
      spreadMemberYield: fit.kind === 'mixed' ? fit.sigmaMember : null,
      residualDf: fit.residualDf,
    },
  });
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

const NO_COOK_WORDS: Readonly<Record<NoMemberTerm, string>> = {
  'one-member': 'All are one cook’s, so what is said holds for that cook.',
  'one-batch-each': 'Everybody cooked once, so cooks are not told from batches.',
  'nothing-repeated': 'Nobody cooked the same way twice, so cooks are not told from batches.',
  'each-their-own-way': 'Each cook keeps to ways of their own, so cooks are not told from methods.',
};

function spreadWords(fit: Fit): string {
  const batch = `Batches of one cook spread by ${finePointsWords(fit.sigma)} (standard deviation)`;
  if (fit.kind === 'least-squares') return `${batch}. ${NO_COOK_WORDS[fit.because]}`;
  return fit.singular
    ? `${batch}; no spread between cooks is detected, which does not prove there is none.`
    : `${batch}, cooks by ${finePointsWords(fit.sigmaMember)}.`;
}

function levelLines(by: ModelFactor, community: CommunitySums, fit: Fit): readonly string[] {
  const comparisons = judgedContrasts(by, community, fit);
  return [
    meansWords(by, fit),
    ...marginalMeans(fit, by).map(
      ({ level, mean }) =>
        `${capital(levelWords(level))}: ${estimateWords(mean, finePercentWords, shareRange)}.`,
    ),
    `Differences in points, each with its 95 % interval, beside the difference of plain averages:`,
    ...comparisons.map((one) => differenceWords(one, comparisons.length)),
  ];
}

/** Where the means are taken: at average weight and time, the other factor's levels counting alike. */
function meansWords(by: ModelFactor, fit: Fit): string {
  const other = by === 'method' ? 'cut' : 'method';
  const { covariates } = fit.design;
  const at = covariates.flatMap(({ name }, position) => {
    const mean = fit.covariateMeans[position];
    if (mean === undefined) return [];
    return [
      name === 'log_fat_kg' ? `${roundWeightWords(1000 * Math.exp(mean))} of fat` : minutesWords(60 * mean),
    ];
  });
  const others = comparedLevels(fit, other).length > 1 ? `every ${other} that was used counting alike` : '';
  const where = [
    ...(at.length > 0 ? [`at ${listWords(at)}, the averages here`] : []),
    ...(others ? [others] : []),
  ];
  return `Adjusted means${where.length > 0 ? ` are ${where.join(', ')}` : ''}:`;
}

const shareRange = (low: number, high: number): string =>
  formatPercentRange(Math.max(0, low), Math.min(1, high), 1);

function estimateWords(
  estimate: LinearEstimate,
  words: (value: number) => string,
  rangeWords: (low: number, high: number) => string,
): string {
  if (estimate.kind !== 'estimate') return 'not to be told apart from the rest';
  const { low, high } = intervalOf(estimate);
  const { standardError, df } = estimate;
  if (!Number.isFinite(high - low)) return `${words(estimate.estimate)}, how sure cannot be said`;
  return `${words(estimate.estimate)} (95 % interval ${rangeWords(low, high)}; standard error ${finePointsWords(standardError)}, ${df.toFixed(1)} degrees of freedom)`;
}

function differenceWords({ first, second, difference, plain }: Judged, comparisons: number): string {
  const names = `${capital(levelWords(first))} less ${levelWords(second)}`;
  const plainly = `plain ${signedPointsWords(plain)}`;
  if (difference.kind !== 'estimate') return `${names}: not to be told apart, ${plainly}.`;
  const { estimate, low, high, pHolm } = difference;
  if (!Number.isFinite(high - low))
    return `${names}: ${signedPointsWords(estimate)}, ${plainly}; how sure cannot be said.`;
  const alone = low > 0 || high < 0;
  const clear =
    comparisons === 1
      ? alone
        ? 'clear'
        : 'not clear'
      : pHolm < SIGNIFICANCE
        ? `clear, with all ${comparisons} allowed for too`
        : alone
          ? `clear alone, not with all ${comparisons} allowed for`
          : 'not clear';
  return `${names}: ${signedPointsWords(estimate)} (${pointsIntervalWords({ low, high })}), ${plainly}; ${clear}.`;
}

function effectLines(by: Effect, { sums }: CommunitySums, fit: Fit): readonly string[] {
  const { covariate, step, stepSize } = EFFECTS[by];
  const effect = covariateEffect(fit, covariate, stepSize);
  const plain = stepSize * plainSlope(sums, covariate);
  return [
    `${step}: ${estimateWords(
      effect,
      (value) => `${signedPointsWords(value)} points`,
      (low, high) => `${pointsIntervalWords({ low, high })} points`,
    )}.`,
    `Through all batches, nothing allowed for: ${signedPointsWords(plain)} points.`,
  ];
}
