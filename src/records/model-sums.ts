import { sql } from 'kysely';
import {
  batchDesign,
  type CovariateRanges,
  HOURS_SHIFT,
  LOG_FAT_KG_SHIFT,
  YIELD_SHIFT,
} from '../statistics/model/batch-design.js';
import { type Design, fullWidth } from '../statistics/model/design.js';
import type { Interval } from '../statistics/model/linear-estimate.js';
import {
  addMemberTotals,
  type CellSums,
  crossProductsOfCells,
  type EqualSizeGroup,
  groupBySize,
  type MemberTotals,
  type ModelSums,
  memberTotalsOfCells,
  type UpperTriangle,
} from '../statistics/model/sufficient-statistics.js';
import { chooseTerms } from '../statistics/model/term-choice.js';
import { membersByLevel } from '../statistics/questions/level-summaries.js';
import { CUTS, METHODS } from '../words/methods.js';
import type { Records } from './database.js';
import { countedBatches, type PooledSums, type PoolFilter } from './pooled-sums.js';

/** Yield on method, cut, logarithm of the starting weight and hours, with the levels that are stored. */
export const MODEL_DESIGN: Design = batchDesign(
  METHODS.map(({ value }) => value),
  CUTS.map(({ value }) => value),
);

export type ModelFactor = 'method' | 'cut';

/** A community's batches as the mixed model sees them. */
export interface CommunitySums {
  /** Without `hours` in its design when time is not allowed for. */
  readonly sums: ModelSums;
  /** How many members have used each level. */
  readonly membersByLevel: Readonly<Record<ModelFactor, ReadonlyMap<string, number>>>;
  readonly members: number;
  /** False when fewer than half of the batches say how long they rendered: then all of them count. */
  readonly timeAllowedFor: boolean;
  /** Batches that say no time; left out when time is allowed for. */
  readonly withoutTime: number;
  /** What was logged of each covariate of the design, by name; empty where there are no batches. */
  readonly logged: CovariateRanges;
}

/**
 * Up to so many batches they are added up in one scan that comes back with a row for each member. It takes half of the
 * time that the two queries for many take at a thousand batches, and as much at thirty thousand.
 */
const MOST_IN_ONE_QUERY = 20_000;

/** Everything that the mixed model is fitted from; no batch leaves the database. */
export async function communitySums(
  db: Records,
  community: string,
  filter: PoolFilter = {},
  mostInOneQuery = MOST_IN_ONE_QUERY,
): Promise<CommunitySums> {
  const row = await db
    .selectFrom('communities')
    .select('last_batch')
    .where('community_id', '=', community)
    .executeTakeFirst();
  return (row?.last_batch ?? 0) <= mostInOneQuery
    ? sumsOfFew(db, community, filter)
    : sumsOfMany(db, community, filter);
}

async function sumsOfFew(db: Records, community: string, filter: PoolFilter): Promise<CommunitySums> {
  const all = await cellAndMemberSums(db, community, filter);
  const time = timeOf(all.cells);
  const counted = ({ hasTime }: { readonly hasTime: boolean }) => hasTime || !time.timeAllowedFor;
  const totals = addMemberTotals(all.members.filter(counted));
  const usedBy = (factor: ModelFactor) => membersByLevel(MODEL_DESIGN, totals, factor);
  return {
    sums: withTimeOr(time, {
      design: MODEL_DESIGN,
      total: crossProductsOfCells(MODEL_DESIGN, all.cells.filter(counted)),
      groups: groupBySize(MODEL_DESIGN, totals),
    }),
    membersByLevel: { method: usedBy('method'), cut: usedBy('cut') },
    members: totals.length,
    logged: rangesOf(all.cells.filter(counted), time),
    ...time,
  };
}

/**
 * Two aggregates over one snapshot. The first groups by method and cut and answers with at most 36 rows: their
 * cross-products, which Postgres adds up in parallel. The second groups by member, keeping only counts by level and
 * sums of the covariates and the yield, and adds up members with the same number of batches at once, so that a hundred
 * thousand members come back as a few hundred rows. One scan for both, with grouping sets, was measured at a million
 * rows and is no faster: Postgres does not run it in parallel, and carries every sum through both groupings.
 */
async function sumsOfMany(db: Records, community: string, filter: PoolFilter): Promise<CommunitySums> {
  return db
    .transaction()
    .setIsolationLevel('repeatable read')
    .setAccessMode('read only')
    .execute(async (tx) => {
      const cells = await cellSums(tx, community, filter);
      const time = timeOf(cells);
      const sizes = await sizeGroups(tx, community, filter, time.timeAllowedFor);
      const counted = cells.filter(({ hasTime }) => hasTime || !time.timeAllowedFor);
      return {
        sums: withTimeOr(time, {
          design: MODEL_DESIGN,
          total: crossProductsOfCells(MODEL_DESIGN, counted),
          groups: sizes.groups,
        }),
        logged: rangesOf(counted, time),
        membersByLevel: sizes.membersByLevel,
        members: sizes.groups.reduce((sum, { members }) => sum + members, 0),
        ...time,
      };
    });
}

type Time = Pick<CommunitySums, 'timeAllowedFor' | 'withoutTime'>;

function timeOf(cells: readonly TimedCell[]): Time {
  const count = (some: readonly TimedCell[]) => some.reduce((sum, { batches }) => sum + batches, 0);
  const timed = count(cells.filter(({ hasTime }) => hasTime));
  const withoutTime = count(cells) - timed;
  return { timeAllowedFor: timed >= withoutTime, withoutTime };
}

/** The smallest and the largest of each covariate that is allowed for. */
function rangesOf(cells: readonly TimedCell[], { timeAllowedFor }: Time): CovariateRanges {
  if (cells.length === 0) return {};
  const range = (of: (cell: TimedCell) => Interval, shift: number): Interval => ({
    low: shift + Math.min(...cells.map((cell) => of(cell).low)),
    high: shift + Math.max(...cells.map((cell) => of(cell).high)),
  });
  return {
    log_fat_kg: range(({ logFat }) => logFat, LOG_FAT_KG_SHIFT),
    ...(timeAllowedFor ? { hours: range(({ hours }) => hours, HOURS_SHIFT) } : {}),
  };
}

/** The sums as they are, or without the hours where those are not allowed for. */
function withTimeOr({ timeAllowedFor }: Time, sums: ModelSums): ModelSums {
  const factors = MODEL_DESIGN.factors.map(({ name }) => name);
  return timeAllowedFor ? sums : chooseTerms(sums, { factors, covariates: ['log_fat_kg'] });
}

/** One member's sums in the design that the community's have; undefined when none of their batches count. */
export async function memberSumsOf(
  db: Records,
  community: string,
  member: string,
  { timeAllowedFor, sums: { design } }: CommunitySums,
  filter: PoolFilter = {},
): Promise<MemberTotals | undefined> {
  const rows = await modelBatches(db, community, filter)
    .where('batches.member_id', '=', member)
    .$if(timeAllowedFor, (q) => q.where('batches.minutes', 'is not', null))
    .execute();
  const cells = rows.map(({ method, cut, log_fat, hours, yield: response }) => ({
    member,
    levels: [method, cut],
    batches: 1,
    covariates: timeAllowedFor ? [log_fat, hours] : [log_fat],
    response,
  }));
  return memberTotalsOfCells(design, cells).get(member);
}

/** The sums of the model of nothing but a typical cook. */
export function interceptSums(members: readonly PooledSums[]): ModelSums {
  const design: Design = { factors: [], covariates: [], responseShift: YIELD_SHIFT };
  const shifted = ({ batches, yieldSum }: PooledSums) => yieldSum - batches * YIELD_SHIFT;
  const sum = (part: (one: PooledSums) => number) => members.reduce((total, one) => total + part(one), 0);
  const batches = sum((one) => one.batches);
  // One by one, as a hundred thousand at once would be held beside the members themselves
  function* totals(): Iterable<MemberTotals> {
    for (const one of members) yield { member: one.member, columns: [one.batches], response: shifted(one) };
  }
  return {
    design,
    total: { batches, xx: [batches], xy: [sum(shifted)], yy: sum(({ yieldSquares }) => yieldSquares) },
    groups: groupBySize(design, totals()),
  };
}

/** The columns of the model for each batch that counts, shifted; one without a time stands at the shift. */
function modelBatches(db: Records, community: string, filter: PoolFilter) {
  return countedBatches(db, community, filter).select([
    'batches.member_id as member',
    'batches.method as method',
    'batches.cut as cut',
    sql<boolean>`batches.minutes is not null`.as('has_time'),
    sql<number>`ln(batches.fat_g / 1000) - ${sql.lit(LOG_FAT_KG_SHIFT)}`.as('log_fat'),
    sql<number>`coalesce(batches.minutes / 60 - ${sql.lit(HOURS_SHIFT)}, 0)`.as('hours'),
    sql<number>`batches.tallow_g / batches.fat_g - ${sql.lit(YIELD_SHIFT)}`.as('yield'),
  ]);
}

interface TimedCell extends CellSums {
  readonly hasTime: boolean;
  /** Smallest and largest, shifted. */
  readonly logFat: Interval;
  readonly hours: Interval;
}

const CELL_SUMS = [
  sql<number>`count(*)`.as('batches'),
  sql<number>`sum(log_fat)`.as('f'),
  sql<number>`sum(hours)`.as('h'),
  sql<number>`sum(log_fat * log_fat)`.as('ff'),
  sql<number>`sum(log_fat * hours)`.as('fh'),
  sql<number>`sum(hours * hours)`.as('hh'),
  sql<number>`sum(yield)`.as('y'),
  sql<number>`sum(log_fat * yield)`.as('fy'),
  sql<number>`sum(hours * yield)`.as('hy'),
  sql<number>`sum(yield * yield)`.as('yy'),
  sql<number>`min(log_fat)`.as('least_fat'),
  sql<number>`max(log_fat)`.as('most_fat'),
  sql<number>`min(hours)`.as('least_hours'),
  sql<number>`max(hours)`.as('most_hours'),
] as const;

async function cellSums(db: Records, community: string, filter: PoolFilter): Promise<readonly TimedCell[]> {
  const rows = await db
    .selectFrom(modelBatches(db, community, filter).as('batch'))
    .select(['method', 'cut', 'has_time', ...CELL_SUMS])
    .groupBy(['method', 'cut', 'has_time'])
    .execute();
  return rows.map(timedCell);
}

interface MemberRow extends MemberTotals {
  readonly hasTime: boolean;
}

/** Both groupings in one scan: sums by method and cut, and sums by member, each of batches with and without a time. */
async function cellAndMemberSums(
  db: Records,
  community: string,
  filter: PoolFilter,
): Promise<{ readonly cells: readonly TimedCell[]; readonly members: readonly MemberRow[] }> {
  const rows = await db
    .selectFrom(modelBatches(db, community, filter).as('batch'))
    .select([
      sql<string | null>`member`.as('member'),
      'method',
      'cut',
      'has_time',
      ...CELL_SUMS,
      LEVEL_COUNTS.as('levels'),
    ])
    .groupBy(sql`grouping sets ((method, cut, has_time), (member, has_time))`)
    .execute();
  const cells: TimedCell[] = [];
  const members: MemberRow[] = [];
  // A grouping leaves empty what it does not group by.
  for (const row of rows)
    if (row.member === null) cells.push(timedCell(row));
    else
      members.push({
        member: row.member,
        hasTime: row.has_time,
        columns: [row.batches, ...row.levels, row.f, row.h],
        response: row.y,
      });
  return { cells, members };
}

interface CellRow {
  readonly method: string;
  readonly cut: string;
  readonly has_time: boolean;
  readonly batches: number;
  readonly f: number;
  readonly h: number;
  readonly ff: number;
  readonly fh: number;
  readonly hh: number;
  readonly y: number;
  readonly fy: number;
  readonly hy: number;
  readonly yy: number;
  readonly least_fat: number;
  readonly most_fat: number;
  readonly least_hours: number;
  readonly most_hours: number;
}

function timedCell(row: CellRow): TimedCell {
  const { method, cut, has_time, batches, f, h, ff, fh, hh, y, fy, hy, yy } = row;
  return {
    levels: [method, cut],
    hasTime: has_time,
    logFat: { low: row.least_fat, high: row.most_fat },
    hours: { low: row.least_hours, high: row.most_hours },
    batches,
    covariates: [f, h],
    covariateProducts: [ff, fh, hh],
    response: y,
    covariateResponses: [fy, hy],
    responseSquares: yy,
  };
}

interface SizeGroups {
  readonly groups: readonly EqualSizeGroup[];
  readonly membersByLevel: Readonly<Record<ModelFactor, ReadonlyMap<string, number>>>;
}

const LEVELS = MODEL_DESIGN.factors.flatMap(({ name, levels }) =>
  levels.map((level) => ({ factor: name, level })),
);

/** Full columns of the design and the response last, each summed over one member's batches. */
const MEMBER_COLUMNS = [
  'count(*)',
  ...LEVELS.map(({ factor, level }) => `count(*) filter (where ${factor} = '${level}')`),
  'sum(log_fat)',
  'sum(hours)',
  'sum(yield)',
].map((column, i) => sql.raw<number>(`(${column})::double precision`).as(`s${i}`));

// One fragment of text: a hundred built one by one take longer than the query does in an ordinary community.
const LEVEL_COUNTS = sql.raw<number[]>(
  `array[${LEVELS.map(({ factor, level }) => `count(*) filter (where ${factor} = '${level}')`).join()}]::double precision[]`,
);
const PRODUCTS = sql.raw<number[]>(
  `array[${MEMBER_COLUMNS.flatMap((_, i) => MEMBER_COLUMNS.slice(i).map((_column, k) => `sum(s${i} * s${i + k})`)).join()}]`,
);
const USERS = sql.raw<number[]>(
  `array[${LEVELS.map((_, i) => `count(*) filter (where s${i + 1} > 0)`).join()}]::double precision[]`,
);

async function sizeGroups(
  db: Records,
  community: string,
  filter: PoolFilter,
  withTimeOnly: boolean,
): Promise<SizeGroups> {
  const byMember = db
    .selectFrom(
      modelBatches(db, community, filter)
        .$if(withTimeOnly, (q) => q.where('batches.minutes', 'is not', null))
        .as('batch'),
    )
    .select(MEMBER_COLUMNS)
    .groupBy('member');
  const rows = await db
    .selectFrom(byMember.as('member'))
    .select([
      sql<number>`s0`.as('batches'),
      sql<number>`count(*)`.as('members'),
      PRODUCTS.as('products'),
      USERS.as('users'),
    ])
    .groupBy('s0')
    .orderBy('s0')
    .execute();
  const usersOf = (position: number) => rows.reduce((total, row) => total + (row.users[position] ?? 0), 0);
  const byFactor = (factor: ModelFactor) =>
    new Map(
      LEVELS.flatMap((one, position) => {
        const members = usersOf(position);
        return one.factor === factor && members > 0 ? [[one.level, members] as const] : [];
      }),
    );
  return {
    groups: rows.map(({ batches, members, products: triangle }) => ({
      batches,
      members,
      ...takeOffResponse(triangle, fullWidth(MODEL_DESIGN)),
    })),
    membersByLevel: { method: byFactor('method'), cut: byFactor('cut') },
  };
}

/** The response is the last column of the triangle. */
function takeOffResponse(triangle: UpperTriangle, width: number): Pick<EqualSizeGroup, 'ss' | 'st' | 'tt'> {
  const ss: number[] = [];
  const st: number[] = [];
  let at = 0;
  for (let i = 0; i < width; i += 1) {
    ss.push(...triangle.slice(at, at + width - i));
    at += width - i;
    st.push(triangle[at] ?? 0);
    at += 1;
  }
  return { ss, st, tt: triangle[at] ?? 0 };
}
