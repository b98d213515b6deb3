import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { tQuantile } from '../../../src/statistics/algebra/distributions.js';
import { memberSums, type WeighedBatch } from '../../../src/statistics/model/member-sums.js';
import { type PooledYield, pooledYield } from '../../../src/statistics/questions/pooled-yield.js';
import { readReferenceBatches, readReferenceResults, relativeError, SET_NAMES } from '../reference-sets.js';

interface Results {
  readonly batches: number;
  readonly members: number;
  readonly pooled_yield: {
    readonly ratio: {
      readonly estimate: number;
      readonly cr2?: {
        readonly se: number;
        readonly df: number;
        readonly lower: number;
        readonly upper: number;
      };
    };
    readonly effective_batches?: {
      readonly share_of_largest_member: number;
      readonly kish_members: number;
    };
  };
}

function pooled(batches: Iterable<WeighedBatch>): Extract<PooledYield, { kind: 'pooled' }> {
  const result = pooledYield(memberSums(batches).values());
  if (result.kind !== 'pooled') throw new Error('expected batches');
  return result;
}

describe('pooled yield of the reference sets (R packages survey and clubSandwich)', () => {
  for (const set of SET_NAMES) {
    it(`agrees for ${set}`, () => {
      const expected = readReferenceResults<Results>(set);
      const actual = pooled(readReferenceBatches(set));
      const { ratio, effective_batches: effective } = expected.pooled_yield;
      expect(actual.batches).toBe(expected.batches);
      expect(actual.members).toBe(expected.members);
      expect(relativeError(actual.estimate, ratio.estimate)).toBeLessThan(5e-10);
      if (effective !== undefined) {
        expect(relativeError(actual.largestShare, effective.share_of_largest_member)).toBeLessThan(1e-12);
        expect(relativeError(actual.effectiveMembers, effective.kish_members)).toBeLessThan(1e-12);
      }
      if (!ratio.cr2) {
        expect(actual.interval).toEqual({ kind: 'none', because: 'fewer-than-two-members' });
        return;
      }
      if (actual.interval.kind !== 'interval') throw new Error('expected an interval');
      expect(relativeError(actual.interval.standardError, ratio.cr2.se)).toBeLessThan(5e-7);
      expect(relativeError(actual.interval.df, ratio.cr2.df)).toBeLessThan(5e-7);
      expect(relativeError(actual.interval.low, ratio.cr2.lower)).toBeLessThan(5e-7);
      expect(relativeError(actual.interval.high, ratio.cr2.upper)).toBeLessThan(5e-7);
    });
  }
});

describe('pooled yield', () => {
  it('weighs every gram alike, not every batch', () => {
    // Four invented members: 6 150 g of tallow from 12 650 g of fat. The mean of the ten yields would be 0.470126.
    const fat = [[1000, 1200, 900], [2000, 2500], [1500], [800, 700, 1100, 950]];
    const tallow = [[480, 600, 400], [1100, 1350], [660], [330, 300, 510, 420]];
    const batches = fat.flatMap((weights, member) =>
      weights.map((fatG, batch) => ({
        member: `m${member}`,
        fatG,
        tallowG: tallow[member]?.[batch] ?? Number.NaN,
      })),
    );
    expect(pooled(batches).estimate).toBeCloseTo(0.486166, 6);
  });

  it('has nothing to say about no batches', () => {
    expect(pooledYield([])).toEqual({ kind: 'no-batches' });
  });

  it('gives no interval when every batch gave the same yield', () => {
    const same = ['a', 'b', 'b', 'c'].map((member, i) => ({
      member,
      fatG: 1000 + i,
      tallowG: 0.37 * (1000 + i),
    }));
    expect(pooled(same).interval).toEqual({ kind: 'none', because: 'no-spread' });
  });

  it('refuses sums that cannot be', () => {
    expect(() => memberSums([{ member: 'a', fatG: 0, tallowG: 1 }])).toThrow(RangeError);
    expect(() => memberSums([{ member: 'a', fatG: 1, tallowG: Number.NaN }])).toThrow(RangeError);
    expect(() => pooledYield([], 1)).toThrow(RangeError);
  });

  it('agrees with the definition worked with whole matrices', () => {
    const batch = fc.record({
      member: fc.constantFrom('a', 'b', 'c', 'd'),
      fatG: fc.integer({ min: 300, max: 9000 }),
      tallowG: fc.integer({ min: 100, max: 5000 }),
    });
    fc.assert(
      fc.property(fc.array(batch, { minLength: 6, maxLength: 25 }), (batches) => {
        fc.pre(new Set(batches.map(({ member }) => member)).size >= 2);
        const { interval } = pooled(batches);
        if (interval.kind !== 'interval') return;
        const direct = byWholeMatrices(batches);
        expect(relativeError(interval.standardError, direct.standardError)).toBeLessThan(1e-7);
        expect(relativeError(interval.df, direct.df)).toBeLessThan(1e-7);
        expect(interval.high - interval.low).toBeCloseTo(
          2 * tQuantile(0.975, direct.df) * direct.standardError,
          6,
        );
      }),
      { numRuns: 100, seed: 7 },
    );
  });
});

/**
 * CR2 by its definition (Bell, McCaffrey 2002): residual maker I − H with H = 1 w'/W, adjustment of member i by the
 * inverse root of the block of (I − H)(I − H)', found by Denman and Beavers's iteration.
 */
function byWholeMatrices(batches: readonly WeighedBatch[]): { standardError: number; df: number } {
  const W = batches.reduce((sum, { fatG }) => sum + fatG, 0);
  const R = batches.reduce((sum, { tallowG }) => sum + tallowG, 0) / W;
  const n = batches.length;
  const makers = batches.map((_, i) => batches.map(({ fatG }, j) => (i === j ? 1 : 0) - fatG / W));
  const members = [...new Set(batches.map(({ member }) => member))];
  const vectors = members.map((member) => {
    const rows = batches.flatMap((batch, i) => (batch.member === member ? [i] : []));
    const block = rows.map((i) =>
      rows.map((j) => makers[i]?.reduce((sum, value, k) => sum + value * (makers[j]?.[k] ?? 0), 0) ?? 0),
    );
    const root = inverseRoot(block);
    const p = rows.map((_, a) =>
      rows.reduce((sum, j, b) => sum + (root[a]?.[b] ?? 0) * (batches[j]?.fatG ?? 0), 0),
    );
    // g = (I − H)' applied to p placed in the member's rows; p'e = g'y up to the fit
    const g = Array.from({ length: n }, (_, k) =>
      rows.reduce((sum, i, a) => sum + (p[a] ?? 0) * (makers[i]?.[k] ?? 0), 0),
    );
    const residual = rows.reduce((sum, i, a) => {
      const batch = batches[i];
      return batch === undefined ? sum : sum + (p[a] ?? 0) * (batch.tallowG / batch.fatG - R);
    }, 0);
    return { g, residual };
  });
  let trace = 0;
  let squares = 0;
  for (const [i, { g }] of vectors.entries())
    for (const [j, other] of vectors.entries()) {
      const m = g.reduce((sum, value, k) => sum + value * (other.g[k] ?? 0), 0);
      if (i === j) trace += m;
      squares += m * m;
    }
  const variance = vectors.reduce((sum, { residual }) => sum + (residual / W) ** 2, 0);
  return { standardError: Math.sqrt(variance), df: trace ** 2 / squares };
}

function inverseRoot(matrix: readonly (readonly number[])[]): number[][] {
  let y = matrix.map((row) => [...row]);
  let z: number[][] = matrix.map((row, i) => row.map((_, j) => (i === j ? 1 : 0)));
  for (let step = 0; step < 60; step += 1) {
    const [yInverse, zInverse] = [inverse(y), inverse(z)];
    y = y.map((row, i) => row.map((value, j) => (value + (zInverse[i]?.[j] ?? 0)) / 2));
    z = z.map((row, i) => row.map((value, j) => (value + (yInverse[i]?.[j] ?? 0)) / 2));
  }
  return z;
}

function inverse(matrix: readonly (readonly number[])[]): number[][] {
  const n = matrix.length;
  const rows = matrix.map((row, i) => [...row, ...matrix.map((_, j) => (i === j ? 1 : 0))]);
  for (let i = 0; i < n; i += 1) {
    const pivotRow = rows[i] ?? [];
    const pivot = pivotRow[i] ?? Number.NaN;
    for (let k = 0; k < 2 * n; k += 1) pivotRow[k] = (pivotRow[k] ?? 0) / pivot;
    for (const [j, row] of rows.entries()) {
      if (j === i) continue;
      const factor = row[i] ?? 0;
      for (let k = 0; k < 2 * n; k += 1) row[k] = (row[k] ?? 0) - factor * (pivotRow[k] ?? 0);
    }
  }
  return rows.map((row) => row.slice(n));
}
