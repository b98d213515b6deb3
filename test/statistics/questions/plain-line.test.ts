import { describe, expect, it } from 'vitest';
import { modelSums } from '../../../src/statistics/model/sufficient-statistics.js';
import { plainLine } from '../../../src/statistics/questions/plain-line.js';

const DESIGN = { factors: [], covariates: [{ name: 'x', shift: 7 }], responseShift: 3 };

const sumsOf = (points: readonly (readonly [number, number])[]) =>
  modelSums(
    DESIGN,
    points.map(([x, y], at) => ({ member: `cook ${at % 3}`, levels: [], covariates: [x], response: y })),
  );

/** Anscombe (1973), The American Statistician 27, 17–21: the first of four sets; y = 3.00 + 0.500 x, Σ(x − x̄)² = 110. */
const ANSCOMBE = [
  [10, 8.04],
  [8, 6.95],
  [13, 7.58],
  [9, 8.81],
  [11, 8.33],
  [14, 9.96],
  [6, 7.24],
  [4, 4.26],
  [12, 10.84],
  [7, 4.82],
  [5, 5.68],
] as const;

describe('the plain line through all batches', () => {
  it('is that of a published example', () => {
    const { slope, sd } = plainLine(sumsOf(ANSCOMBE), 'x');
    expect(slope).toBeCloseTo(0.5, 3);
    expect(sd).toBeCloseTo(Math.sqrt(110 / 11), 12);
  });

  it('is level where all are the same, and where there are none', () => {
    expect(plainLine(sumsOf([1, 2, 3].map((y) => [0.1, y] as const)), 'x')).toEqual({ slope: 0, sd: 0 });
    expect(plainLine(sumsOf([]), 'x')).toEqual({ slope: 0, sd: 0 });
  });
});
