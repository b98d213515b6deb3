import { communitySettings, type WeeklySettings } from '../records/communities.js';
import type { Records } from '../records/database.js';
import { weekCoveredFrom } from '../records/deliveries.js';
import { communitySums } from '../records/model-sums.js';
import { nearMissTopics } from '../records/near-misses.js';
import { countsOddBatches, findOddBatches } from '../records/odd-batches.js';
import { countedBatches, type PoolFilter, pooledSums, pooledSumsByMethod } from '../records/pooled-sums.js';
import type { MemberSums } from '../statistics/model/member-sums.js';
import { type PooledYield, pooledYield } from '../statistics/questions/pooled-yield.js';
import { METHODS, type Method } from '../words/methods.js';
import {
  type AdjustedMean,
  adjustedMeans,
  type Changes,
  changesBetween,
  communityQuestion,
  comparedWith,
  judgedPairs,
  type OpenQuestion,
} from './comparisons.js';

const DAY_MS = 86_400_000;
/** Weeks that were folded into this one are told back to here. */
const FURTHEST_BACK_MS = 35 * DAY_MS;

/** Marks behind the means in the picture, the newest batches; more would hide one another. */
const MOST_MARKS = 400;

export interface MethodYields {
  readonly method: Method;
  readonly week: PooledYield;
  readonly all: PooledYield;
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
  readonly fatGByMethod: ReadonlyMap<Method, number>;
  readonly changes: Changes;
  readonly adjusted: readonly AdjustedMean[];
  readonly marks: readonly { readonly method: string; readonly yield: number; readonly fatG: number }[];
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
}

/** Whether the week brought no batch at all, not even one that was finished earlier or is left out. */
export const isQuiet = ({ week, finishedEarlier, odd }: WeeklyFacts): boolean =>
  week.kind === 'no-batches' && finishedEarlier === 0 && odd.length === 0;

/** Gathers what is to be told of a community's week that ended at `until`. */
export async function gatherWeek(db: Records, community: string, until: Date): Promise<WeeklyFacts> {
  const [{ weekly: settings }, from, counted, found] = await Promise.all([
    communitySettings(db, community),
    weekCoveredFrom(db, community, until, new Date(until.getTime() - FURTHEST_BACK_MS)),
    countsOddBatches(db, community),
    findOddBatches(db, community),
  ]);
  const odd = found.kind === 'judged' ? found.odd.filter(({ finishedAt }) => finishedAt < until) : [];
  const oddCounted = counted || found.kind === 'too-many';
  const exceptNumbers = oddCounted ? undefined : odd.map(({ number }) => number);
  const spans = {
    week: { from, until, exceptNumbers },
    before: { until: from, exceptNumbers },
    all: { until, exceptNumbers },
  };
  const [
    week,
    before,
    all,
    weekByMethod,
    allByMethod,
    sumsBefore,
    sums,
    marks,
    earlier,
    newcomers,
    nearMisses,
  ] = await Promise.all([
    pooledSums(db, community, spans.week),
    pooledSums(db, community, spans.before),
    pooledSums(db, community, spans.all),
    pooledSumsByMethod(db, community, spans.week),
    pooledSumsByMethod(db, community, spans.all),
    communitySums(db, community, spans.before),
    communitySums(db, community, spans.all),
    newestMarks(db, community, spans.all),
    loggedLate(db, community, from, until),
    firstTimers(db, community, from, until),
    nearMissTopics(db, community, from, until),
  ]);
  const compared = comparedWith(sums);
  const judged = judgedPairs(compared);
  return {
    from,
    until,
    settings,
    week: pooledYield(week),
    before: pooledYield(before),
    all: pooledYield(all),
    byMethod: METHODS.flatMap(({ value }) => {
      const inAll = pooledYield(allByMethod.get(value) ?? []);
      return inAll.kind === 'pooled'
        ? [{ method: value, week: pooledYield(weekByMethod.get(value) ?? []), all: inAll }]
        : [];
    }),
    fatGByMethod: fatGByMethod(week.length > 0 ? weekByMethod : allByMethod),
    changes: changesBetween(judgedPairs(comparedWith(sumsBefore)), judged),
    adjusted: adjustedMeans(compared),
    marks,
    question: communityQuestion(compared, judged),
    finishedEarlier: earlier.size,
    odd: odd
      .filter(({ number, finishedAt }) => finishedAt >= from || earlier.has(number))
      .map(({ number }) => number),
    oddCounted,
    newcomers,
    nearMisses,
  };
}

function fatGByMethod(byMethod: ReadonlyMap<Method, readonly MemberSums[]>): ReadonlyMap<Method, number> {
  return new Map(
    [...byMethod].map(([method, sums]) => [method, sums.reduce((total, { fatG }) => total + fatG, 0)]),
  );
}

async function newestMarks(db: Records, community: string, filter: PoolFilter) {
  const rows = await countedBatches(db, community, filter)
    .select(['batches.method', 'batches.fat_g', 'batches.tallow_g'])
    .orderBy('batches.finished_at', 'desc')
    .limit(MOST_MARKS)
    .execute();
  return rows.map(({ method, fat_g, tallow_g }) => ({ method, yield: (tallow_g ?? 0) / fat_g, fatG: fat_g }));
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
