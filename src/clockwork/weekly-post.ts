import { DateTime } from 'luxon';
import { type Figures, type Reply, reply, type Table } from '../chat/reply.js';
import { communityZone } from '../records/communities.js';
import type { Records } from '../records/database.js';
import { cautionsShownSince, weekCoveredFrom } from '../records/deliveries.js';
import { pooledSums, pooledSumsByMethod } from '../records/pooled-sums.js';
import type { MemberSums } from '../statistics/member-sums.js';
import { type PooledYield, pooledYield } from '../statistics/pooled-yield.js';
import { formatPercent, formatPercentRange, formatWeight } from '../trade/amounts.js';
import type { Caution } from '../trade/cautions.js';
import { METHODS, type Method, methodLabel } from '../trade/methods.js';
import { briefCitation, weightiestFirst } from '../trade/sources.js';
import { REMINDER_REST_MS, reminderFor } from '../trade/weekly-reminder.js';
import type { Composed } from './deliver.js';
import { seasonAt } from './season.js';

const DAY_MS = 86_400_000;
/** Weeks that were folded into this one are told back to here. */
const FURTHEST_BACK_MS = 35 * DAY_MS;
/** Later than this after the hour, the post says so. */
const LATE_MS = 60 * 60_000;

/** The weekly post of a community for the week that ended at `until`, as it reads at `now`. */
export async function composeWeekly(
  db: Records,
  community: string,
  until: Date,
  now: Date,
): Promise<Composed> {
  const zone = await communityZone(db, community);
  const from = await weekCoveredFrom(db, community, until, new Date(until.getTime() - FURTHEST_BACK_MS));
  const [week, all, weekByMethod, allByMethod, recent] = await Promise.all([
    pooledSums(db, community, { from, until }),
    pooledSums(db, community, { until }),
    pooledSumsByMethod(db, community, { from, until }),
    pooledSumsByMethod(db, community, { until }),
    cautionsShownSince(db, community, new Date(now.getTime() - REMINDER_REST_MS)),
  ]);
  const reminder = reminderFor({
    fatGByMethod: fatGByMethod(week.length > 0 ? weekByMethod : allByMethod),
    season: seasonAt(until, zone),
    recentlyShown: recent,
    now,
  });
  const post = writePost({
    week: pooledYield(week),
    all: pooledYield(all),
    byMethod: METHODS.flatMap(({ value }) => {
      const inAll = pooledYield(allByMethod.get(value) ?? []);
      return inAll.kind === 'pooled'
        ? [{ method: value, week: pooledYield(weekByMethod.get(value) ?? []), all: inAll }]
        : [];
    }),
    from,
    until,
    now,
    zone,
    reminder,
  });
  return { reply: post, caution: reminder.id };
}

interface MethodYields {
  readonly method: Method;
  readonly week: PooledYield;
  readonly all: PooledYield;
}

interface PostParts {
  readonly week: PooledYield;
  readonly all: PooledYield;
  readonly byMethod: readonly MethodYields[];
  readonly from: Date;
  readonly until: Date;
  readonly now: Date;
  readonly zone: string;
  readonly reminder: Caution;
}

function writePost({ week, all, byMethod, from, until, now, zone, reminder }: PostParts): Reply {
  return reply({
    title: `The week in tallow, ${spanWords(from, until, zone)}`,
    lines: [
      week.kind === 'no-batches'
        ? 'A quiet week: nobody logged a batch. The next one is yours: /batch log.'
        : `This week: ${sumWords(week)}.`,
      all.kind === 'no-batches'
        ? 'Nothing is logged yet, so there is nothing to pool.'
        : `In all: ${sumWords(all)}.`,
      ...(now.getTime() - until.getTime() > LATE_MS
        ? ['This post is late: the bot was away at its hour.']
        : []),
    ],
    ...(byMethod.length === 0 ? {} : { table: methodTable(byMethod) }),
    cautions: [
      {
        id: reminder.id,
        text: reminder.short,
        source: weightiestFirst(reminder.sources).slice(0, 1).map(briefCitation).join(''),
      },
    ],
    sources: all.kind === 'no-batches' ? [] : ['this community’s batches; intervals by member (CR2)'],
    figures: {
      week: figuresOf(week),
      all: figuresOf(all),
      byMethod: Object.fromEntries(
        byMethod.map((one) => [one.method, { week: figuresOf(one.week), all: figuresOf(one.all) }]),
      ),
    },
  });
}

function methodTable(byMethod: readonly MethodYields[]): Table {
  return {
    columns: [
      { title: 'Pooled yield', align: 'left' },
      { title: 'This week', align: 'right' },
      { title: 'In all', align: 'right' },
      { title: 'Batches', align: 'right' },
    ],
    rows: byMethod.map(({ method, week, all }) => [
      methodLabel(method),
      week.kind === 'pooled' ? formatPercent(week.estimate) : '–',
      all.kind === 'pooled' ? formatPercent(all.estimate) : '–',
      all.kind === 'pooled' ? String(all.batches) : '0',
    ]),
  };
}

/** "9 batches from 6 members, 41 lb (19 kg) of fat gave 19 lb (8.6 kg) of tallow: 47 % (45 to 50 %)". */
function sumWords(pooled: PooledYield): string {
  if (pooled.kind === 'no-batches') return 'no batches';
  const { batches, members, fatG, tallowG, estimate, interval } = pooled;
  const sure =
    interval.kind === 'interval'
      ? ` (95 % interval ${formatPercentRange(Math.max(0, interval.low), Math.min(1, interval.high))})`
      : '';
  const counts = `${batches} ${batches === 1 ? 'batch' : 'batches'} from ${members} ${members === 1 ? 'member' : 'members'}`;
  return `${counts}; ${bothWeights(fatG)} of fat gave ${bothWeights(tallowG)} of tallow: ${formatPercent(estimate)}${sure}`;
}

const bothWeights = (grams: number): string =>
  `${formatWeight(grams, 'us')} (${formatWeight(grams, 'metric')})`;

function figuresOf(pooled: PooledYield): Figures {
  if (pooled.kind === 'no-batches') return { batches: 0, members: 0, fatG: 0, tallowG: 0 };
  const { batches, members, fatG, tallowG, estimate, interval } = pooled;
  return {
    batches,
    members,
    fatG,
    tallowG,
    pooledYield: estimate,
    pooledYieldLow: interval.kind === 'interval' ? interval.low : null,
    pooledYieldHigh: interval.kind === 'interval' ? interval.high : null,
  };
}

function fatGByMethod(byMethod: ReadonlyMap<Method, readonly MemberSums[]>): ReadonlyMap<Method, number> {
  return new Map(
    [...byMethod].map(([method, sums]) => [method, sums.reduce((total, { fatG }) => total + fatG, 0)]),
  );
}

/** "16 to 22 November", in the community's zone; the last day is the one that the week ended in. */
function spanWords(from: Date, until: Date, zone: string): string {
  const first = DateTime.fromJSDate(from, { zone });
  const last = DateTime.fromJSDate(until, { zone });
  const sameMonth = first.hasSame(last, 'month');
  return `${first.toFormat(sameMonth ? 'd' : 'd LLLL')} to ${last.toFormat('d LLLL yyyy')}`;
}
