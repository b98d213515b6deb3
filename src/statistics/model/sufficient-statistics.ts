/**
 * The sums that the mixed model is fitted from, so that no batch needs to leave the database. Of N batches with full
 * columns x (see design.ts) and response y the fit needs Σ xx', Σ xy and Σ y² over all batches, and over members
 * their number of batches n, s = Σ x and t = Σ y; of those only Σ ss', Σ st and Σ t² over members with the same n.
 *
 * A database gives the first from rows by combination of levels (CellSums, a few dozen rows), and the second either
 * from one row a member (MemberTotals), or already added up by n (EqualSizeGroup), which keeps what is sent small
 * when there are very many members. Both lead to the same ModelSums.
 */
import {
  type ColumnFinder,
  columnFinder,
  covariateColumn,
  type Design,
  fullWidth,
  levelColumn,
  type Observation,
} from './design.js';

/** Symmetric matrix as its upper triangle, row by row: (1,1), (1,2) … (1,k), (2,2) … (k,k). */
export type UpperTriangle = readonly number[];

/** Sums over all batches, in full columns; y is the shifted response. */
export interface CrossProducts {
  readonly batches: number;
  /** Σ xx' */
  readonly xx: UpperTriangle;
  /** Σ xy */
  readonly xy: readonly number[];
  /** Σ y² */
  readonly yy: number;
}

/** Sums over the members that have the same number of batches, in full columns. */
export interface EqualSizeGroup {
  /** Batches of each member. */
  readonly batches: number;
  readonly members: number;
  /** Σ ss' with s = Σ x of a member */
  readonly ss: UpperTriangle;
  /** Σ st with t = Σ y of a member */
  readonly st: readonly number[];
  /** Σ t² */
  readonly tt: number;
}

export interface ModelSums {
  readonly design: Design;
  readonly total: CrossProducts;
  readonly groups: readonly EqualSizeGroup[];
}

/** One member's sums: s = Σ x in full columns (the first is the number of batches) and t = Σ y, shifted. */
export interface MemberTotals {
  readonly member: string;
  readonly columns: readonly number[];
  readonly response: number;
}

/** Sums over the batches that share their levels; covariates and response shifted as the design says. */
export interface CellSums {
  readonly levels: readonly string[];
  readonly batches: number;
  /** Σ z, one for each covariate */
  readonly covariates: readonly number[];
  /** Σ zz' */
  readonly covariateProducts: UpperTriangle;
  /** Σ y */
  readonly response: number;
  /** Σ zy, one for each covariate */
  readonly covariateResponses: readonly number[];
  /** Σ y² */
  readonly responseSquares: number;
}

/** Sums over the batches of one member that share their levels, shifted as the design says. */
export interface MemberCellSums {
  readonly member: string;
  readonly levels: readonly string[];
  readonly batches: number;
  readonly covariates: readonly number[];
  readonly response: number;
}

/** The sums of batches held in memory. */
export function modelSums(design: Design, observations: readonly Observation[]): ModelSums {
  return modelSumsWith(design, observations, memberTotals(design, observations));
}

/** The same where the members' totals of these very batches are known already. */
export function modelSumsWith(
  design: Design,
  observations: Iterable<Observation>,
  totals: ReadonlyMap<string, MemberTotals>,
): ModelSums {
  return { design, total: crossProducts(design, observations), groups: groupBySize(design, totals.values()) };
}

/** Full columns of one observation. */
export function fullRow(
  design: Design,
  { levels, covariates }: Omit<Observation, 'member' | 'response'>,
  columns: ColumnFinder = columnFinder(design),
): number[] {
  const row = new Array<number>(columns.width).fill(0);
  row[0] = 1;
  for (let f = 0; f < levels.length; f += 1) row[columns.level(f, levels[f] ?? '')] = 1;
  for (let c = 0; c < covariates.length; c += 1)
    row[columns.covariate(c)] = (covariates[c] ?? 0) - shiftOf(design, c);
  return row;
}

/**
 * Sums over all batches.
 * @throws RangeError for a number that is not finite or a level that the design does not have.
 */
export function crossProducts(design: Design, observations: Iterable<Observation>): CrossProducts {
  const columns = columnFinder(design);
  const { width } = columns;
  const xx = new Array<number>((width * (width + 1)) / 2).fill(0);
  const xy = new Array<number>(width).fill(0);
  let yy = 0;
  let batches = 0;
  for (const observation of observations) {
    const row = fullRow(design, requireFinite(observation), columns);
    const y = observation.response - design.responseShift;
    addOuterProduct(xx, row);
    for (let k = 0; k < width; k += 1) xy[k] = (xy[k] ?? 0) + (row[k] ?? 0) * y;
    yy += y * y;
    batches += 1;
  }
  return { batches, xx, xy, yy };
}

/** Sums over all batches from their sums by combination of levels. */
export function crossProductsOfCells(design: Design, cells: Iterable<CellSums>): CrossProducts {
  const width = fullWidth(design);
  const xx = new Array<number>((width * (width + 1)) / 2).fill(0);
  const xy = new Array<number>(width).fill(0);
  let yy = 0;
  let batches = 0;
  const add = (i: number, j: number, value: number) => {
    const at = triangleIndex(width, i, j);
    xx[at] = (xx[at] ?? 0) + value;
  };
  for (const cell of cells) {
    const dummies = [0, ...cell.levels.map((level, f) => levelColumn(design, f, level))];
    for (const [a, i] of dummies.entries()) {
      for (const j of dummies.slice(a)) add(i, j, cell.batches);
      for (const [c, sum] of cell.covariates.entries()) add(i, covariateColumn(design, c), sum);
      xy[i] = (xy[i] ?? 0) + cell.response;
    }
    const covariates = design.covariates.length;
    for (let a = 0; a < covariates; a += 1) {
      const column = covariateColumn(design, a);
      for (let b = a; b < covariates; b += 1)
        add(column, covariateColumn(design, b), cell.covariateProducts[triangleIndex(covariates, a, b)] ?? 0);
      xy[column] = (xy[column] ?? 0) + (cell.covariateResponses[a] ?? 0);
    }
    yy += cell.responseSquares;
    batches += cell.batches;
  }
  return { batches, xx, xy, yy };
}

/** One row of sums a member, in the order in which the members first appear. */
export function memberTotals(
  design: Design,
  observations: Iterable<Observation>,
): ReadonlyMap<string, MemberTotals> {
  return addUp(
    design,
    (function* () {
      for (const observation of observations) {
        const { member, levels, covariates, response } = requireFinite(observation);
        yield {
          member,
          levels,
          batches: 1,
          covariates: covariates.map((value, c) => value - shiftOf(design, c)),
          response: response - design.responseShift,
        };
      }
    })(),
  );
}

/** One row of sums a member from their sums by combination of levels. */
export function memberTotalsOfCells(
  design: Design,
  cells: Iterable<MemberCellSums>,
): ReadonlyMap<string, MemberTotals> {
  return addUp(design, cells);
}

function addUp(design: Design, cells: Iterable<MemberCellSums>): ReadonlyMap<string, MemberTotals> {
  const find = columnFinder(design);
  const totals = new Map<string, { member: string; columns: number[]; response: number }>();
  for (const { member, levels, batches, covariates, response } of cells) {
    let total = totals.get(member);
    if (total === undefined) {
      total = { member, columns: new Array<number>(find.width).fill(0), response: 0 };
      totals.set(member, total);
    }
    const { columns } = total;
    columns[0] = (columns[0] ?? 0) + batches;
    for (let f = 0; f < levels.length; f += 1) {
      const column = find.level(f, levels[f] ?? '');
      columns[column] = (columns[column] ?? 0) + batches;
    }
    for (let c = 0; c < covariates.length; c += 1) {
      const column = find.covariate(c);
      columns[column] = (columns[column] ?? 0) + (covariates[c] ?? 0);
    }
    total.response += response;
  }
  return totals;
}

/** One row of sums a member from several of different batches of theirs. */
export function addMemberTotals(rows: Iterable<MemberTotals>): readonly MemberTotals[] {
  const totals = new Map<string, MemberTotals>();
  for (const row of rows) {
    const known = totals.get(row.member);
    totals.set(
      row.member,
      known === undefined
        ? row
        : {
            member: row.member,
            columns: known.columns.map((sum, k) => sum + (row.columns[k] ?? 0)),
            response: known.response + row.response,
          },
    );
  }
  return [...totals.values()];
}

/** Adds up members with the same number of batches; the smallest number comes first. */
export function groupBySize(design: Design, members: Iterable<MemberTotals>): readonly EqualSizeGroup[] {
  const width = fullWidth(design);
  const groups = new Map<
    number,
    { batches: number; members: number; ss: number[]; st: number[]; tt: number }
  >();
  for (const { columns, response } of members) {
    const batches = columns[0] ?? 0;
    if (batches === 0) continue;
    let group = groups.get(batches);
    if (group === undefined) {
      const ss = new Array<number>((width * (width + 1)) / 2).fill(0);
      group = { batches, members: 0, ss, st: new Array<number>(width).fill(0), tt: 0 };
      groups.set(batches, group);
    }
    group.members += 1;
    addOuterProduct(group.ss, columns);
    for (const [k, sum] of columns.entries()) group.st[k] = (group.st[k] ?? 0) + sum * response;
    group.tt += response * response;
  }
  return [...groups.values()].sort((a, b) => a.batches - b.batches);
}

/** Position of row i, column j (in either order) of a symmetric matrix of this width in its upper triangle. */
export function triangleIndex(width: number, i: number, j: number): number {
  return i <= j ? i * width - (i * (i + 1)) / 2 + j : j * width - (j * (j + 1)) / 2 + i;
}

/** Number of batches in each full column of levels, and in the first of all. */
export function columnCounts({ design, total }: Pick<ModelSums, 'design' | 'total'>): readonly number[] {
  const width = fullWidth(design);
  return Array.from({ length: width }, (_, k) => total.xx[triangleIndex(width, k, k)] ?? 0);
}

/** triangle + factor × row row', in place. */
export function addOuterProduct(triangle: number[], row: readonly number[], factor = 1): void {
  const width = row.length;
  let at = 0;
  for (let i = 0; i < width; i += 1) {
    const left = factor * (row[i] ?? 0);
    if (left === 0) {
      at += width - i;
      continue;
    }
    for (let j = i; j < width; j += 1, at += 1) triangle[at] = (triangle[at] ?? 0) + left * (row[j] ?? 0);
  }
}

function shiftOf(design: Design, covariate: number): number {
  return design.covariates[covariate]?.shift ?? 0;
}

function requireFinite(observation: Observation): Observation {
  if (!Number.isFinite(observation.response) || !observation.covariates.every(Number.isFinite))
    throw new RangeError('responses and covariates must be finite');
  return observation;
}
