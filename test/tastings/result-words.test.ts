import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { TastingCounts, TastingPlan } from '../../src/records/tastings.js';
import { readCounts, readingFigures, showsDifference } from '../../src/tastings/reading.js';
import { resultWords } from '../../src/tastings/result-words.js';

const TRIANGLE: TastingPlan = {
  kind: 'triangle',
  products: [{ words: 'one wash' }, { words: 'two washes' }],
  quality: undefined,
  expected: undefined,
  planned: 24,
  matters: { share: 0.3 },
};
const PAIR: TastingPlan = { ...TRIANGLE, kind: 'pair', quality: 'beefy' };
const RANKING: TastingPlan = {
  ...TRIANGLE,
  kind: 'ranking',
  products: ['none', 'light', 'heavy'].map((words) => ({ words })),
  quality: 'smoky',
};

const said = (plan: TastingPlan, counts: TastingCounts, significance?: number) => {
  const { verdict, more } = resultWords(plan, readCounts(plan, counts, significance));
  return [verdict, ...more].join(' ');
};
const triangle = (correct: number, assessors: number): TastingCounts => ({
  kind: 'triangle',
  correct,
  assessors,
});

describe('the words of a result', () => {
  it('say how much may hide where there is no sign of a difference', () => {
    expect(said(TRIANGLE, triangle(9, 24))).toContain('with 24 tasters a small one could hide.');
    expect(said(TRIANGLE, triangle(3, 6))).toContain('with 6 tasters even a large one could hide.');
    expect(said(TRIANGLE, triangle(1, 1))).toContain('with 1 taster even a large one could hide.');
    expect(said(PAIR, { kind: 'pair', first: 7, second: 9 })).toContain(
      '9 of 16 found two washes more beefy, 7 one wash: no clear difference, but',
    );
  });

  it('say how few can tell where enough tasters did no better than guessing, and that this is no proof', () => {
    // construction of ISO 4120, table A.2: of 60 tasters 21 is the most for "no more than 20 %" at 95 % (computed)
    const words = said(TRIANGLE, triangle(21, 60));
    expect(words).toContain(
      '21 of 60 picked the odd one, about what guessing brings. At most 20 % can tell, at 95 %.',
    );
    expect(said(TRIANGLE, triangle(22, 60))).toContain(
      'no sign of a difference, but with 60 tasters a small one',
    );
    expect(words).toContain('not proof that they are the same');
  });

  it('name the order of a ranking, clear or not', () => {
    const all = (count: number, ...ranks: readonly number[]) => Array.from({ length: count }, () => ranks);
    expect(said(RANKING, { kind: 'ranking', rankings: all(8, 3, 2, 1) })).toContain(
      'There is a difference. Most smoky first: heavy, light and none.',
    );
    const split = [...all(3, 1, 2, 3), ...all(3, 3, 2, 1)];
    expect(said(RANKING, { kind: 'ranking', rankings: split })).toContain('no sign of a difference');
    expect(said(RANKING, { kind: 'ranking', rankings: all(1, 1, 2, 3) })).toContain('cannot rank for others');
  });

  it('wait where a sum that was looked at several times is only likely', () => {
    // P(X ≥ 13 of 24) is 0.028: enough for one look, not for the half of 5 % that the second has
    expect(said(TRIANGLE, triangle(13, 24))).toContain('There is a difference');
    expect(said(TRIANGLE, triangle(13, 24), 0.025)).toBe(
      '13 of 24 picked the odd one: perhaps a difference, not clear yet.',
    );
  });

  it('claim a difference exactly where chance is below 5 %, never that there is none, and have plain figures', () => {
    const counts = fc
      .tuple(
        fc.constantFrom('triangle', 'pair'),
        fc.integer({ min: 0, max: 60 }),
        fc.integer({ min: 0, max: 60 }),
      )
      .filter(([, right, wrong]) => right + wrong > 0);
    fc.assert(
      fc.property(
        counts,
        fc.constantFrom<0 | 1 | undefined>(0, 1, undefined),
        ([kind, right, wrong], expected) => {
          const plan = kind === 'pair' ? { ...PAIR, expected } : TRIANGLE;
          const reading = readCounts(
            plan,
            kind === 'pair' ? { kind, first: right, second: wrong } : triangle(right, right + wrong),
          );
          const { verdict, more } = resultWords(plan, reading);
          const words = [verdict, ...more].join(' ');
          const figures = readingFigures(reading);
          expect(words.includes('There is a difference')).toBe(Number(figures.p) <= 0.05);
          expect(showsDifference(reading)).toBe(Number(figures.p) <= 0.05);
          expect(words).not.toMatch(/proven|no difference|undefined|NaN|Infinity/);
          expect(words.replace('not proof that they are the same', '')).not.toMatch(/the same(?! question)/);
          for (const value of Object.values(figures))
            expect(value === null || Number.isFinite(value)).toBe(true);
        },
      ),
      { numRuns: 400 },
    );
  });
});
