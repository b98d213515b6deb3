import { describe, expect, it } from 'vitest';
import type { Design } from '../../../src/statistics/model/design.js';
import { memberTotalsOfCells, modelSums } from '../../../src/statistics/model/sufficient-statistics.js';
import {
  cellCounts,
  levelSummaries,
  membersByLevel,
  onlyUsedWith,
} from '../../../src/statistics/questions/level-summaries.js';

const DESIGN: Design = {
  factors: [
    { name: 'method', levels: ['pot', 'oven', 'smoker'] },
    { name: 'cut', levels: ['ground', 'cubed'] },
  ],
  covariates: [{ name: 'hours', shift: 4 }],
  responseShift: 0.5,
};

const SUMS = modelSums(
  DESIGN,
  (
    [
      ['pot', 'ground', 2, 0.5],
      ['pot', 'cubed', 3, 0.3],
      ['pot', 'ground', 4, 0.55],
      ['smoker', 'ground', 8, 0.4],
    ] as const
  ).map(([method, cut, hours, response]) => ({
    member: 'a',
    levels: [method, cut],
    covariates: [hours],
    response,
  })),
);

describe('plain facts about levels', () => {
  it('are the counts and means that one would take by hand', () => {
    const [pot, smoker, ...others] = levelSummaries(SUMS, 'method');
    expect(others).toEqual([]);
    expect(pot).toMatchObject({ level: 'pot', batches: 3, covariateMeans: { hours: 3 } });
    expect(pot?.mean).toBeCloseTo(0.45, 12);
    expect(smoker).toMatchObject({ level: 'smoker', batches: 1, covariateMeans: { hours: 8 } });
  });

  it('show which levels met', () => {
    expect(
      cellCounts(SUMS, 'method', 'cut').map(({ row, column, batches }) => [row, column, batches]),
    ).toEqual([
      ['pot', 'ground', 2],
      ['pot', 'cubed', 1],
      ['smoker', 'ground', 1],
      ['smoker', 'cubed', 0],
    ]);
  });

  it('say what a level was only ever used with', () => {
    expect(onlyUsedWith(SUMS, { factor: 'method', level: 'smoker' })).toEqual([
      { factor: 'cut', level: 'ground' },
    ]);
    expect(onlyUsedWith(SUMS, { factor: 'method', level: 'pot' })).toEqual([]);
    expect(onlyUsedWith(SUMS, { factor: 'cut', level: 'cubed' })).toEqual([
      { factor: 'method', level: 'pot' },
    ]);
  });

  it('count the members who used a level', () => {
    const totals = ['pot', 'pot', 'oven'].map((method, i) => ({
      member: `m${i}`,
      levels: [method, 'ground'],
      batches: 2,
      covariates: [0],
      response: 0,
    }));
    const counts = membersByLevel(DESIGN, memberTotalsOfCells(DESIGN, totals).values(), 'method');
    expect([...counts]).toEqual([
      ['pot', 2],
      ['oven', 1],
    ]);
  });

  it('refuse a factor that is not there', () => {
    expect(() => levelSummaries(SUMS, 'vessel')).toThrow(RangeError);
  });
});
