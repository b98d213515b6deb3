import { describe, expect, it } from 'vitest';
import { batchCandidates, batchDesign, observationOf } from '../../../src/statistics/model/batch-design.js';
import { modelSums } from '../../../src/statistics/model/sufficient-statistics.js';
import { comparisonError } from '../../../src/statistics/questions/next-batch.js';
import { openQuestion } from '../../../src/statistics/questions/open-question.js';

const methods = ['open-pot', 'pressure', 'oven', 'smoker'];
const cuts = ['ground', 'cubed'];
const spread = { batch: 0.05, member: 0.03 };
const cooked = (member: string, method: string, cut: string, at: number) =>
  observationOf({ member, method, cut, fatG: 1000 + 137 * at, minutes: 150 + 11 * (at % 4), tallowG: 500 });

/** Two methods often, the oven twice. */
const sums = modelSums(batchDesign(methods, cuts), [
  ...Array.from({ length: 12 }, (_, at) =>
    cooked(`m${at % 3}`, at % 2 ? 'open-pot' : 'pressure', cuts[(at >> 1) % 2] ?? '', at),
  ),
  cooked('m0', 'oven', 'ground', 3),
  cooked('m1', 'oven', 'cubed', 8),
]);
const anything = batchCandidates(methods, cuts, [500, 2000]);

describe('the open question', () => {
  it('is the pair of levels in use that is known worst', () => {
    const found = openQuestion(sums, ['method'], { sums: undefined, candidates: anything }, spread);
    const widest = [
      ['open-pot', 'pressure'],
      ['open-pot', 'oven'],
      ['pressure', 'oven'],
    ].map(([first = '', second = '']) => ({
      pair: [first, second],
      error: comparisonError(sums, { factor: 'method', first, second }, spread) ?? Number.NaN,
    }));
    widest.sort((a, b) => b.error - a.error);
    expect([found?.comparison.first, found?.comparison.second]).toEqual(widest[0]?.pair);
    expect(found?.batches[0]?.standardErrorAfter).toBeLessThan(widest[0]?.error ?? 0);
  });

  it('is one that the cook can help with before any other', () => {
    const candidates = batchCandidates(['pressure'], cuts, [2000]);
    const found = openQuestion(sums, ['method'], { sums: undefined, candidates }, spread);
    expect([found?.comparison.first, found?.comparison.second]).toContain('pressure');
  });

  it('asks for a second method where only one was used', () => {
    const one = modelSums(
      batchDesign(methods, cuts),
      Array.from({ length: 6 }, (_, at) => cooked(`m${at % 2}`, 'oven', cuts[at % 2] ?? '', at)),
    );
    const found = openQuestion(one, ['method'], { sums: undefined, candidates: anything }, spread);
    expect(found?.batches[0]?.reason).toBe('makes-it-possible');
  });

  it('is none where no batch helps', () => {
    const none = modelSums(batchDesign(methods, cuts), []);
    expect(openQuestion(none, ['method'], { sums: undefined, candidates: anything }, spread)).toBeUndefined();
  });
});
