import { sql } from 'kysely';
import {
  batchDesign,
  type CovariateRanges,
  HOURS_SHIFT,
  LOG_FAT_KG_SHIFT,
  YIELD_SHIFT,
} from '../statistics/model/batch-design.js';
import type { Design } from '../statistics/model/design.js';
import type { Interval } from '../statistics/model/linear-estimate.js';
import {
  addMemberTotals,
  type CellSums,
  crossProductsOfCells,
  groupBySize,
  type MemberTotals,
  type ModelSums,
  memberTotalsOfCells,
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
 * Everything that the mixed model is fitted from. Postgres adds up in one scan, by method and cut and by member; no batch
 * leaves the database.
 */
export async function communitySums(
  db: Records,
  community: string,
  filter: PoolFilter = {},
): Promise<CommunitySums> {
  const all = await cellAndMemberSums(db, community, filter);
  const time = timeOf(all.cells);
  const counts = ({ hasTime }: { readonly hasTime: boolean }) => hasTime || !time.timeAllowedFor;
  const cells = all.cells.filter(counts);
  const members = addMemberTotals(all.members.filter(counts));
  const usedBy = (factor: ModelFactor) => membersByLevel(MODEL_DESIGN, members, factor);
  return {
    sums: withTimeOr(time, {
      design: MODEL_DESIGN,
      total: crossProductsOfCells(MODEL_DESIGN, cells),
      groups: groupBySize(MODEL_DESIGN, members),
    }),
    membersByLevel: { method: usedBy('method'), cut: usedBy('cut') },
    members: members.length,
    logged: rangesOf(cells, time),
    ...time,
  };
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
      sql<number>`count(*)`.as('batches'),
      LEVEL_COUNTS.as('levels'),
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
    ])
    .groupBy(sql`grouping sets ((method, cut, has_time), (member, has_time))`)
    .execute();
  const cells: TimedCell[] = [];
  const members: MemberRow[] = [];
  // A grouping leaves empty what it does not group by.
  for (const row of rows) {
    const { member, has_time: hasTime, batches, levels, f, h, y } = row;
    if (member !== null) members.push({ member, hasTime, columns: [batches, ...levels, f, h], response: y });
    else
      cells.push({
        levels: [row.method, row.cut],
        hasTime,
        logFat: { low: row.least_fat, high: row.most_fat },
        hours: { low: row.least_hours, high: row.most_hours },
        batches,
        covariates: [f, h],
        covariateProducts: [row.ff, row.fh, row.hh],
        response: y,
        covariateResponses: [row.fy, row.hy],
        responseSquares: row.yy,
      });
  }
  return { cells, members };
}

/** How many batches have each level of the design. One fragment of text, as nine built one by one take longer. */
const LEVEL_COUNTS = sql.raw<number[]>(
  `array[${MODEL_DESIGN.factors
    .flatMap(({ name, levels }) => levels.map((level) => `count(*) filter (where ${name} = '${level}')`))
    .join()}]::double precision[]`,
);
