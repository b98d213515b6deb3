import { randomInt } from 'node:crypto';
import { type BatchModel, batchModel } from '../findings/community-model.js';
import {
  allComparisons,
  comparisonKey,
  type EstimatedComparison,
  FACTORS,
  isClear,
  type LevelRow,
  levelRows,
} from '../findings/level-comparisons.js';
import { worstKnown } from '../findings/next.js';
import { type Scope, scopeOf } from '../findings/scope.js';
import { type BatchMark, batchMarks } from '../records/batch-marks.js';
import { communitySettings, type WeeklySettings } from '../records/communities.js';
import type { Records } from '../records/database.js';
import { weekCoveredFrom } from '../records/deliveries.js';
import { communitySums } from '../records/model-sums.js';
import { nearMissTopics } from '../records/near-misses.js';
import { countedBatches, pooledSums, pooledSumsByMethod } from '../records/pooled-sums.js';
import { type BatchCandidate, candidateFatG } from '../statistics/model/batch-design.js';
import type { Comparison } from '../statistics/questions/next-batch.js';
import { type PooledYield, pooledYield } from '../statistics/questions/pooled-yield.js';
import type { Verdict } from '../statistics/questions/verdict.js';
import { tastingsOfWeek } from '../tastings/week.js';
import { METHODS, type Method } from '../words/methods.js';
import { DAY_MS } from '../words/moments.js';

/** Weeks that were folded into this one are told back to here. */
const FURTHEST_BACK_MS = 35 * DAY_MS;

/** Marks behind the means in the picture, the newest batches; more would hide one another. */
const MOST_MARKS = 400;

export interface MethodYields {
  readonly method: Method;
  readonly week: PooledYield;
  readonly all: PooledYield;
}

/** What became clear or unclear in the week, the largest difference first; as it stands now. */
export interface Changes {
  readonly clear: readonly EstimatedComparison[];
  readonly unclear: readonly EstimatedComparison[];
}

/** The comparison that is known worst, and the batch that would narrow it most. */
export interface OpenQuestion {
  readonly comparison: Comparison;
  /** What may be said of it by now; undefined where it cannot be estimated. */
  readonly verdict: Verdict | undefined;
  readonly method: string;
  readonly cut: string;
  readonly fatG: number;
}

/** Everything that the weekly post is written from. */
export interface WeeklyFacts {
  readonly from: Date;
  readonly until: Date;
  readonly settings: WeeklySettings | undefined;
  readonly week: PooledYield;
  /** Everything before the week. */
  readonly before: PooledYield;
  readonly all: PooledYield;
  readonly byMethod: readonly MethodYields[];
  readonly changes: Changes;
  /** Each method with everything else alike. */
  readonly adjusted: readonly LevelRow[];
  readonly marks: readonly BatchMark[];
  readonly question: OpenQuestion | undefined;
  /** How many batches were logged in the week and finished before it, so that its figures are without them. */
  readonly finishedEarlier: number;
  /** Numbers of the batches finished or logged in the week that look odd. */
  readonly odd: readonly number[];
  /** Whether odd batches are in the figures. */
  readonly oddCounted: boolean;
  /** Names of those whose first batch was logged in the week, the first first. */
  readonly newcomers: readonly string[];
  /** Topics of the week's near misses. */
  readonly nearMisses: readonly (string | undefined)[];
  /** What blind tastings closed in the week found, a line each. */
  readonly tastings: readonly string[];
}

/** Whether the week brought no tasting and no batch at all, not even one that was finished earlier or is left out. */
export const isQuiet = ({ week, finishedEarlier, odd, tastings }: WeeklyFacts): boolean =>
  week.kind === 'no-batches' && finishedEarlier === 0 && odd.length === 0 && tastings.length === 0;

/** Gathers what is to be told of a community's week that ended at `until`. */
export async function gatherWeek(db: Records, community: string, until: Date): Promise<WeeklyFacts> {
  const [{ weekly: settings }, from, scope] = await Promise.all([
    communitySettings(db, community),
    weekCoveredFrom(db, community, until, new Date(until.getTime() - FURTHEST_BACK_MS)),
    scopeOf(db, community, { until }),
  ]);
  const inAll = scope.filter;
  const inWeek = { ...inAll, from };
  const inBefore = { ...inAll, until: from };
  const [week, before, all, byMethod, sumsBefore, sums, marks, earlier, newcomers, nearMisses, tastings] =
    await Promise.all([
      pooledSums(db, community, inWeek),
      pooledSums(db, community, inBefore),
      pooledSums(db, community, inAll),
      Promise.all([pooledSumsByMethod(db, community, inWeek), pooledSumsByMethod(db, community, inAll)]),
      communitySums(db, community, inBefore),
      communitySums(db, community, inAll),
      batchMarks(db, community, inAll, MOST_MARKS),
      loggedLate(db, community, from, until),
      firstTimers(db, community, from, until),
      nearMissTopics(db, community, from, until),
      tastingsOfWeek(db, community, { from, until }, randomInt),
    ]);
  const model = batchModel(sums);
  const comparisons = allComparisons(model);
  return {
    from,
    until,
    settings,
    week: pooledYield(week),
    before: pooledYield(before),
    all: pooledYield(all),
    byMethod: methodYields(...byMethod),
    changes: changesBetween(allComparisons(batchModel(sumsBefore)), comparisons),
    adjusted: levelRows('method', sums, model.forecastModel.fit),
    marks,
    question: openQuestion(model, comparisons),
    finishedEarlier: earlier.size,
    odd: oddIn(scope, from, earlier),
    oddCounted: scope.counted,
    newcomers,
    nearMisses,
    tastings,
  };
}

type SumsByMethod = Awaited<ReturnType<typeof pooledSumsByMethod>>;

const methodYields = (week: SumsByMethod, all: SumsByMethod): readonly MethodYields[] =>
  METHODS.filter(({ value }) => all.has(value)).map(({ value: method }) => ({
    method,
    week: pooledYield(week.get(method) ?? []),
    all: pooledYield(all.get(method) ?? []),
  }));

const oddIn = ({ odd }: Scope, from: Date, earlier: ReadonlySet<number>): readonly number[] =>
  odd
    .filter(({ number, finishedAt }) => finishedAt >= from || earlier.has(number))
    .map(({ number }) => number);

function changesBetween(
  before: readonly EstimatedComparison[],
  now: readonly EstimatedComparison[],
): Changes {
  const wasClear = new Set(before.filter(({ verdictOfAll }) => isClear(verdictOfAll)).map(comparisonKey));
  const largestFirst = [...now].sort(
    (a, b) => Math.abs(b.difference.estimate) - Math.abs(a.difference.estimate),
  );
  const changed = largestFirst.filter(
    (one) => isClear(one.verdictOfAll) !== wasClear.has(comparisonKey(one)),
  );
  return {
    clear: changed.filter((one) => isClear(one.verdictOfAll)),
    unclear: changed.filter((one) => !isClear(one.verdictOfAll)),
  };
}

/** Asked of a cook who can cook anything and has logged nothing: the post does not know who reads it. */
function openQuestion(
  model: BatchModel,
  comparisons: readonly EstimatedComparison[],
): OpenQuestion | undefined {
  const { question } = worstKnown(model, FACTORS);
  const best: BatchCandidate | undefined = question?.batches[0]?.candidate;
  if (!question || !best) return undefined;
  const [method, cut] = best.levels;
  const asked = comparisonKey(question.comparison);
  const verdict = comparisons.find((one) => comparisonKey(one) === asked)?.verdictOfAll;
  return { comparison: question.comparison, verdict, method, cut, fatG: Math.round(candidateFatG(best)) };
}

/** Numbers of the batches logged from `from` until before `until` that were finished before it. */
async function loggedLate(
  db: Records,
  community: string,
  from: Date,
  until: Date,
): Promise<ReadonlySet<number>> {
  const rows = await countedBatches(db, community, { until: from })
    .select('batches.number')
    .where('batches.logged_at', '>=', from)
    .where('batches.logged_at', '<', until)
    .execute();
  return new Set(rows.map(({ number }) => number));
}

/** Members none of whose batches were logged before `from`. */
async function firstTimers(
  db: Records,
  community: string,
  from: Date,
  until: Date,
): Promise<readonly string[]> {
  const rows = await countedBatches(db, community, {})
    .innerJoin('members', (join) =>
      join
        .onRef('members.community_id', '=', 'batches.community_id')
        .onRef('members.member_id', '=', 'batches.member_id'),
    )
    .select((e) => ['members.name as name', e.fn.min('batches.logged_at').as('first')])
    .groupBy(['batches.member_id', 'members.name'])
    .having((e) => e.fn.min('batches.logged_at'), '>=', from)
    .having((e) => e.fn.min('batches.logged_at'), '<', until)
    .orderBy('first')
    .execute();
  return rows.map(({ name }) => name);
}
