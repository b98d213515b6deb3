import { deed } from '../../src/chat/command.js';
import { choice } from '../../src/chat/options.js';
import { type Figures, type Picture, type Reply, reply } from '../../src/chat/reply.js';
import { yieldsPicture } from '../../src/pictures/yields-picture.js';
import { type BatchMark, batchMarks } from '../../src/records/batch-marks.js';
import type { Records } from '../../src/records/database.js';
import type { CommunitySums, ModelFactor } from '../../src/records/model-sums.js';
import { withoutAliasedCovariates } from '../../src/statistics/aliased-covariates.js';
import { levelSummaries, onlyUsedWith } from '../../src/statistics/level-summaries.js';
import { type Estimate, intervalOf, type LinearEstimate } from '../../src/statistics/linear-estimate.js';
import { type Fit, fitMixedModel, type NoFit } from '../../src/statistics/mixed-model.js';
import { type Contrast, marginalMeans, pairwiseContrasts } from '../../src/statistics/pairwise.js';
import { batchesToShow } from '../../src/statistics/power.js';
import { spreadOf } from '../../src/statistics/spread.js';
import { type Verdict, verdictOf, WORTH_KNOWING } from '../../src/statistics/verdict.js';
import { formatPercentRange } from '../../src/trade/amounts.js';
import { isMethod, methodLabel } from '../../src/trade/methods.js';
import { communityModelOf } from '../shared/community-model.js';
import { oddFigures, type ScopeSaid } from '../shared/scope.js';
import { countWords, finePercentWords } from '../shared/words.js';
import { compareEffect, type Effect } from './compare-effect.js';
import { countFigures, countsWords } from './compared-batches.js';
import { capital, levelWords } from './level-words.js';
import { finePointsWords, listWords, pointsIntervalWords } from './words.js';

const MOST_COMPARISONS = 4;

/** `/yield compare`: which way gives more, other things allowed for. */
export function compareDeed(db: Records) {
  return deed({
    description: 'Which way gives more tallow, starting weight, time and cook allowed for',
    options: {
      by: choice({
        description: 'What to compare',
        required: true,
        choices: [
          { value: 'method', label: 'Methods' },
          { value: 'cut', label: 'Cuts' },
          { value: 'weight', label: 'Starting weights' },
          { value: 'time', label: 'Times' },
        ],
      }),
    },
    async run({ by }, call) {
      const { scope, sums: community } = await communityModelOf(db, call.community);
      return describeComparison(by, community, scope, () => batchMarks(db, call.community, scope.filter));
    },
  });
}

/** A comparison of some batches, with a picture. `marksOf` gives single batches to draw behind it. */
export async function describeComparison(
  by: ModelFactor | Effect,
  community: CommunitySums,
  scope: ScopeSaid,
  marksOf: () => Promise<readonly BatchMark[]>,
): Promise<Reply> {
  const fit = fitMixedModel(community.sums);
  if (fit.kind === 'none') return nothingToCompare(fit.because, scope, community);
  return by === 'method' || by === 'cut'
    ? compareLevels(by, { community, scope, fit }, marksOf)
    : compareEffect(by, { community, scope, fit }, marksOf);
}

interface Known {
  readonly community: CommunitySums;
  readonly scope: ScopeSaid;
  readonly fit: Fit;
}

async function compareLevels(
  by: ModelFactor,
  known: Known,
  marksOf: () => Promise<readonly BatchMark[]>,
): Promise<Reply> {
  const { community, scope } = known;
  const bare = withoutAliasedCovariates(community.sums, known.fit);
  const fit = bare && bare.fit.kind !== 'none' ? bare.fit : known.fit;
  const notAllowedFor = bare?.removed ?? [];
  const comparisons = pairwiseContrasts(fit, by).map((contrast) => judged(contrast, by, community, fit));
  if (comparisons.length === 0) {
    return reply({
      title: `Only one ${by} so far`,
      lines: [
        `All ${countWords(community.sums.total.batches, 'batch', 'batches')} used the same one, so there is nothing to compare yet.`,
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
      `${allowedWords(community, notAllowedFor)} ${countsWords(community)}${more > 0 ? ` ${countWords(more, 'more comparison is', 'more comparisons are')} in the picture.` : ''}`,
      ...scope.lines,
    ],
    picture: await pictureOf(by, fit, community, await marksOf()),
    sources: [`${scope.whose}: mixed model with a random intercept for each member, Kenward–Roger intervals`],
    figures: {
      ...countFigures(community),
      ...oddFigures(scope),
      means: Object.fromEntries(
        marginalMeans(fit, by).map(({ level, mean }) => [level, estimateFigures(mean)]),
      ),
      comparisons: Object.fromEntries(comparisons.map(({ name, figures }) => [name, figures])),
    },
  });
}

interface Judged {
  readonly name: string;
  readonly line: string;
  /** What is clear comes first, the larger the earlier; what cannot be said comes last. */
  readonly rank: number;
  readonly figures: Figures;
}

function judged(
  { first, second, difference }: Contrast,
  by: ModelFactor,
  community: CommunitySums,
  fit: Fit,
): Judged {
  const name = `${first} over ${second}`;
  const summaries = levelSummaries(community.sums, by);
  const meanOf = (level: string) => summaries.find((one) => one.level === level)?.mean ?? 0;
  const plain = meanOf(first) - meanOf(second);
  if (difference.kind !== 'estimate') {
    return {
      name,
      line: `${capital(levelWords(first))} and ${levelWords(second)}: not to be told apart: ${whyNot(first, second, by, community)}.`,
      rank: 30,
      figures: { adjusted: null, low: null, high: null, plain },
    };
  }
  const side = (level: string) => ({
    batches: summaries.find((one) => one.level === level)?.batches ?? 0,
    members: community.membersByLevel[by].get(level) ?? 0,
  });
  const verdict = verdictOf(difference, [side(first), side(second)]);
  const { low, high } = intervalOf(difference);
  const finite = Number.isFinite(high - low);
  return {
    name,
    line: verdictWords(verdict, { first, second, difference, plain, fit }),
    rank: RANK[verdict] - Math.abs(difference.estimate),
    figures: {
      adjusted: difference.estimate,
      low: finite ? low : null,
      high: finite ? high : null,
      plain,
      pHolm: difference.pHolm,
      pTukey: difference.pTukey ?? null,
    },
  };
}

const RANK: Readonly<Record<Verdict, number>> = { more: 0, less: 0, unclear: 10, 'too-few': 20 };

interface Compared {
  readonly first: string;
  readonly second: string;
  readonly difference: Estimate;
  readonly plain: number;
  readonly fit: Fit;
}

function verdictWords(verdict: Verdict, { first, second, difference, plain, fit }: Compared): string {
  const [a, b] = [levelWords(first), levelWords(second)];
  const interval = pointsIntervalWords(intervalOf(difference));
  switch (verdict) {
    case 'more':
    case 'less': {
      const [up, down] = verdict === 'more' ? [a, b] : [b, a];
      const sign = verdict === 'more' ? 1 : -1;
      const { low, high } = intervalOf(difference);
      const ends = verdict === 'more' ? { low, high } : { low: -high, high: -low };
      return `${capital(up)} gave ${finePointsWords(difference.estimate)} more than ${down} (95 % interval ${pointsIntervalWords(ends)}).${explainedWords(sign * difference.estimate, sign * plain)}`;
    }
    case 'unclear':
      return `${capital(a)} and ${b}: no clear difference yet (95 % interval ${interval} points).${explainedWords(difference.estimate, plain)}`;
    case 'too-few': {
      const plan = batchesToShow(WORTH_KNOWING, spreadOf(fit), { known: difference });
      const needs =
        plan && plan.members > 0
          ? `: needs about ${countWords(plan.batches, 'more batch', 'more batches')} from ${countWords(plan.members, 'more member', 'more members')} who try both`
          : '';
      return `${capital(a)} and ${b}: too few to say${needs}.`;
    }
  }
}

/** Where a plain comparison says something else by a point or more, what explains it. */
function explainedWords(adjusted: number, plain: number): string {
  if (Math.abs(plain - adjusted) < WORTH_KNOWING / 2) return '';
  return ` Plain averages differ by ${finePointsWords(plain)}${plain < 0 !== adjusted < 0 ? ' the other way' : ''}; starting weight, time or cook explains the rest.`;
}

function whyNot(first: string, second: string, by: ModelFactor, { sums }: CommunitySums): string {
  const only = [first, second].flatMap((level) =>
    onlyUsedWith(sums, { factor: by, level }).map((other) =>
      `${levelWords(level)} was only ever used with ${levelWords(other.level)} ${other.factor === 'cut' ? 'fat' : ''}`.trim(),
    ),
  );
  return only.length > 0 ? listWords(only) : 'they always changed together with something else';
}

function allowedWords({ timeAllowedFor, withoutTime }: CommunitySums, removed: readonly string[]): string {
  const allowed = [
    ...(removed.includes('log_fat_kg') ? [] : ['starting weight']),
    ...(timeAllowedFor && !removed.includes('hours') ? ['time'] : []),
    'cook',
  ];
  const untimed =
    timeAllowedFor && withoutTime > 0
      ? `; ${countWords(withoutTime, 'batch', 'batches')} without a time left out`
      : '';
  return `${capital(listWords(allowed))} allowed for${untimed}.`;
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
  marks: readonly BatchMark[],
): Promise<Picture> {
  const summaries = levelSummaries(community.sums, by);
  const rows = marginalMeans(fit, by).map(({ level, mean }) => {
    const interval = mean.kind === 'estimate' ? intervalOf(mean) : undefined;
    const shown = interval && Number.isFinite(interval.high - interval.low) ? interval : undefined;
    const batches = summaries.find((one) => one.level === level)?.batches ?? 0;
    return {
      label: isMethod(level) ? methodLabel(level) : capital(levelWords(level)),
      note: `${countWords(batches, 'batch', 'batches')}, ${countWords(community.membersByLevel[by].get(level) ?? 0, 'cook', 'cooks')}`,
      mean: mean.kind === 'estimate' ? mean.estimate : undefined,
      low: shown && Math.max(0, shown.low),
      high: shown && Math.min(1, shown.high),
      batches: marks.filter((mark) => mark[by] === level),
    };
  });
  const said = rows.map(({ label, mean, low, high }) =>
    mean === undefined
      ? `${label}: not to be told apart from the rest`
      : `${label}: ${finePercentWords(mean)}${low === undefined || high === undefined ? '' : `, ${formatPercentRange(low, high)}`}`,
  );
  const title = by === 'method' ? 'Yield by method, all else alike' : 'Yield by cut, all else alike';
  return {
    name: `yield-by-${by}.png`,
    alt: `${title}, means with 95 % intervals. ${said.join('; ')}.`,
    png: await yieldsPicture({
      title,
      caption: 'Dots: single batches, larger for more fat. Bars: 95 % intervals of the adjusted means.',
      rows,
    }),
  };
}

const NO_FIT_WORDS: Readonly<Record<NoFit, string>> = {
  'no-batches': 'Nothing is logged yet. The first /batch log starts it.',
  'no-residual-df': 'There are too few batches for a comparison yet; /batch list shows them.',
  'no-spread':
    'Every batch gave what the others like it gave, so nothing shows how uncertain a difference is.',
  'no-spread-within-members':
    'Each cook got the same every time, so nothing shows how uncertain a difference is.',
};

function nothingToCompare(because: NoFit, scope: ScopeSaid, community: CommunitySums) {
  return reply({
    title: 'Nothing to compare yet',
    lines: [NO_FIT_WORDS[because], ...scope.lines],
    figures: { ...countFigures(community), ...oddFigures(scope) },
  });
}
