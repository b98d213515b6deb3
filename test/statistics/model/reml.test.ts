import fc from 'fast-check';
import { determinant, inverse, Matrix } from 'ml-matrix';
import { describe, expect, it } from 'vitest';
import { batchDesign, observationOf } from '../../../src/statistics/model/batch-design.js';
import { keptColumns, modelFrame, sumsOfKept } from '../../../src/statistics/model/model-frame.js';
import { curvatureAt, minimise, slopeAt, solveAt } from '../../../src/statistics/model/reml.js';
import { fullRow, modelSums } from '../../../src/statistics/model/sufficient-statistics.js';
import { CUTS, METHODS, relativeError } from '../reference-sets.js';
import { normal, uniform } from '../seeded.js';

const DESIGN = batchDesign(METHODS, CUTS);

/** Seven invented cooks with one to seven batches each. */
function community(seed: number) {
  const draw = normal(uniform(seed));
  return Array.from({ length: 7 }, (_, cook) => {
    const own = 0.5 + 0.05 * draw();
    return Array.from({ length: cook + 1 }, (__, i) => {
      const fatG = 1500 + 700 * Math.abs(draw());
      const method = METHODS[(cook + i) % 3] ?? '';
      return observationOf({
        member: `m${cook}`,
        method,
        cut: CUTS[i % 2] ?? '',
        fatG,
        minutes: 150 + 60 * Math.abs(draw()),
        tallowG: fatG * (own + 0.05 * draw()),
      });
    });
  }).flat();
}

/** −2 × the restricted log-likelihood by its definition, with whole matrices, σ² at its best for this θ. */
function criterionByDefinition(observations: ReturnType<typeof community>, theta: number): number {
  const frame = modelFrame(modelSums(DESIGN, observations));
  const kept = keptColumns(frame).map(({ fullColumn }) => fullColumn);
  const x = new Matrix(
    observations.map((one) => kept.map((column) => fullRow(DESIGN, one)[column] ?? Number.NaN)),
  );
  const y = Matrix.columnVector(observations.map(({ response }) => response - DESIGN.responseShift));
  const v = new Matrix(
    observations.map(({ member }, i) =>
      observations.map((other, j) => (i === j ? 1 : 0) + (member === other.member ? theta ** 2 : 0)),
    ),
  );
  const vInverse = inverse(v);
  const a = x.transpose().mmul(vInverse).mmul(x);
  const b = inverse(a).mmul(x.transpose().mmul(vInverse).mmul(y));
  const r = Matrix.sub(y, x.mmul(b));
  const df = observations.length - kept.length;
  const variance = r.transpose().mmul(vInverse).mmul(r).get(0, 0) / df;
  return Math.log(determinant(v)) + Math.log(determinant(a)) + df * (1 + Math.log(2 * Math.PI * variance));
}

function sumsOf(observations: ReturnType<typeof community>) {
  const sums = modelSums(DESIGN, observations);
  return sumsOfKept(sums, modelFrame(sums));
}

function solutionAt(sums: ReturnType<typeof sumsOf>, theta: number) {
  const solution = solveAt(sums, theta);
  if (solution === undefined) throw new Error(`no solution at ${theta}`);
  return solution;
}

describe('the REML criterion', () => {
  it('is the restricted likelihood by its definition', () => {
    fc.assert(
      fc.property(fc.nat(1000), fc.double({ min: 0, max: 5, noNaN: true }), (seed, theta) => {
        const observations = community(seed);
        const { criterion } = solutionAt(sumsOf(observations), theta);
        expect(criterion).toBeCloseTo(criterionByDefinition(observations, theta), 7);
      }),
      { numRuns: 40, seed: 1 },
    );
  });

  it('has the slope and the curvature that small steps show', () => {
    fc.assert(
      fc.property(fc.nat(1000), fc.double({ min: 0.1, max: 3, noNaN: true }), (seed, theta) => {
        const sums = sumsOf(community(seed));
        const solution = solutionAt(sums, theta);
        const slope = slopeAt(sums, solution);
        const step = 1e-4 * theta;
        const [before, after] = [solutionAt(sums, theta - step), solutionAt(sums, theta + step)];
        const steepness = (after.criterion - before.criterion) / (2 * step);
        expect(Math.abs(slope.first - steepness)).toBeLessThan(1e-4 * (1 + Math.abs(steepness)));
        const bend = (slopeAt(sums, after).first - slopeAt(sums, before).first) / (2 * step);
        const { second } = curvatureAt(sums, solution, slope);
        expect(Math.abs(second - bend)).toBeLessThan(1e-4 * (1 + Math.abs(bend)));
      }),
      { numRuns: 40, seed: 2 },
    );
  });

  it('is nowhere lower than at the minimum found', () => {
    for (let seed = 0; seed < 40; seed += 1) {
      const sums = sumsOf(community(seed));
      const best = minimise(sums);
      if (best === undefined) throw new Error('expected a minimum');
      for (let k = 0; k <= 200; k += 1)
        expect(solutionAt(sums, k / 40).criterion).toBeGreaterThan(best.criterion - 1e-8);
      if (best.theta > 0)
        for (const factor of [0.999, 1.001])
          expect(solutionAt(sums, factor * best.theta).criterion).toBeGreaterThan(best.criterion - 1e-10);
    }
  });

  it('keeps its digits when members differ far more than batches', () => {
    const observations = community(3);
    const apart = observations.map((one) => ({
      ...one,
      response: one.response + 40 * Number(one.member.slice(1)),
    }));
    const best = minimise(sumsOf(apart));
    if (best === undefined) throw new Error('expected a minimum');
    expect(best.theta).toBeGreaterThan(500);
    expect(relativeError(best.criterion, criterionByDefinition(apart, best.theta))).toBeLessThan(1e-7);
  });
});
