import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  expectedTallow,
  fatInRawG,
  jarsFor,
  plausibilityOf,
  pouringMl,
  recoveryAssumptions,
  TALLOW_DENSITY_G_PER_ML,
} from '../../../src/cooking/blends/tallow.js';
import { CUTS } from '../../../src/words/methods.js';
import { ML_PER_US_CUP } from '../../../src/words/units.js';

describe('tallow to expect', () => {
  // Common practice, no source.
  it('is 36 to 60 % of ground fat and 12 to 28 % of cubes', () => {
    expect(expectedTallow({ fatG: 1000, cut: 'ground' })).toMatchObject({
      tallowLowG: 360,
      tallowHighG: 600,
    });
    const cubed = expectedTallow({ fatG: 1000, cut: 'cubed' });
    expect(cubed.tallowLowG).toBeCloseTo(120, 9);
    expect(cubed.tallowHighG).toBeCloseTo(280, 9);
  });

  it('falls with the lean left on the fat, in proportion to the fat that is held', () => {
    const piece = fc.record({
      cut: fc.constantFrom(...CUTS.map(({ value }) => value)),
      rawFat: fc.constantFrom('trimmings', 'suet'),
      share: fc.option(fc.constant({ low: 0.4, expected: 0.5, high: 0.9 }), { nil: undefined }),
    });
    const leanShares = fc.tuple(
      fc.double({ min: 0, max: 0.89, noNaN: true }),
      fc.double({ min: 1e-4, max: 0.1, noNaN: true }),
    );
    fc.assert(
      fc.property(piece, leanShares, (of, [leanFraction, more]) => {
        const fatter = expectedTallow({ fatG: 1000, ...of, leanFraction });
        const leaner = expectedTallow({ fatG: 1000, ...of, leanFraction: leanFraction + more });
        const holds = (lean: number) => fatInRawG({ fatG: 1000, rawFat: of.rawFat, leanFraction: lean });
        const proportion = holds(leanFraction + more) / holds(leanFraction);
        for (const end of ['tallowLowG', 'tallowHighG'] as const) {
          expect(leaner[end]).toBeLessThan(fatter[end]);
          expect(leaner[end] / fatter[end]).toBeCloseTo(proportion, 9);
        }
        expect(leaner.tallowHighG).toBeLessThanOrEqual(holds(leanFraction + more) + 1e-9);
        expect(leaner.tallowLowG).toBeLessThan(leaner.tallowHighG);
      }),
    );
  });

  it('has the most likely amount between the ends, where a share says it', () => {
    const share = { low: 0.4, expected: 0.5, high: 0.6 };
    expect(expectedTallow({ fatG: 1000, cut: 'ground' }).tallowExpectedG).toBeUndefined();
    expect(expectedTallow({ fatG: 1000, cut: 'ground', share }).tallowExpectedG).toBe(500);
    const { tallowExpectedG } = expectedTallow({ fatG: 1000, cut: 'ground', share, leanFraction: 0.5 });
    expect(tallowExpectedG).toBeCloseTo((500 * (708.9 + 73.7)) / 2 / 708.9, 9);
  });

  it('is shown for minced as for ground, and says so', () => {
    const minced = expectedTallow({ fatG: 1000, cut: 'minced' });
    expect(minced).toMatchObject({ tallowLowG: 360, tallowHighG: 600 });
    expect(minced.assumptions.map(({ text }) => text).join(' ')).toContain('no figure of its own');
  });

  it('is never as much as the raw fat, and less at the least', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 500_000, noNaN: true }),
        fc.constantFrom(...CUTS),
        (fatG, { value: cut }) => {
          const expected = expectedTallow({ fatG, cut });
          expect(expected.tallowLowMl).toBeLessThan(expected.tallowHighMl);
          expect(expected.tallowHighG).toBeLessThan(fatG);
        },
      ),
    );
  });

  // USDA SR Legacy, NDB 04001: a cup of tallow weighs 205 g, a tablespoon 12.8 g.
  it('by the cup agrees with the household weight of the USDA within 4 %', () => {
    expect(Math.abs(pouringMl(205) / ML_PER_US_CUP - 1)).toBeLessThan(0.04);
    expect(Math.abs(pouringMl(12.8 * 16) / ML_PER_US_CUP - 1)).toBeLessThan(0.04);
  });

  // Relative density at 40 °C against water at 20 °C (998.2 g/L). Codex CXS 211: 0.894 to 0.904, from memory.
  // Malaysian Food Regulations 1985, regulation 181: 0.893 to 0.898.
  it('poured is a little lighter than published at 40 °C, and set heavier', () => {
    const at40 = [0.894, 0.904, 0.893, 0.898].map((relative) => relative * 0.9982);
    expect(TALLOW_DENSITY_G_PER_ML.pouring).toBeLessThan(Math.min(...at40));
    expect(Math.max(...at40) / TALLOW_DENSITY_G_PER_ML.pouring).toBeLessThan(1.02);
    expect(TALLOW_DENSITY_G_PER_ML.set).toBeGreaterThan(Math.max(...at40));
  });

  // ASHRAE Handbook, Refrigeration: 925.59 − 0.41757 t kg/m³ gives 900.5 at 60 °C.
  it('poured is within 2 % of the food model at 60 °C', () => {
    expect(
      Math.abs(TALLOW_DENSITY_G_PER_ML.pouring / 0.92559 / (1 - (0.41757 * 60) / 925.59) - 1),
    ).toBeLessThan(0.02);
  });
});

describe('jars', () => {
  it('are enough for the tallow, and not one more', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 100_000, noNaN: true }),
        fc.double({ min: 50, max: 4000, noNaN: true }),
        (tallowG, jarMl) => {
          const jars = jarsFor({ tallowG, jarMl });
          expect(jars * jarMl).toBeGreaterThan(pouringMl(tallowG));
          expect((jars - 1) * jarMl * 0.9).toBeLessThan(pouringMl(tallowG));
        },
      ),
    );
  });

  it('of half a litre hold 400 g each, so a kilogram takes three', () => {
    expect(jarsFor({ tallowG: 400, jarMl: 500 })).toBe(1);
    expect(jarsFor({ tallowG: 402, jarMl: 500 })).toBe(2);
    expect(jarsFor({ tallowG: 1000, jarMl: 500 })).toBe(3);
  });
});

describe('a yield', () => {
  // USDA SR Legacy: suet is 94 % fat, average separable fat 70.89 %.
  it.each([
    [950, 'unlikely'],
    [951, 'impossible'],
    [750, 'plausible'],
    [751, 'unlikely'],
    [1, 'scant'],
    [59, 'scant'],
    [60, 'plausible'],
    [0, 'not positive'],
    [-5, 'not positive'],
    [Number.NaN, 'not positive'],
    [Number.POSITIVE_INFINITY, 'impossible'],
  ])('of %d g from a kilogram is %s', (tallowG, verdict) => {
    expect(plausibilityOf(1000, tallowG)).toBe(verdict);
  });

  it('from no fat is not one', () => {
    expect(plausibilityOf(0, 100)).toBe('not positive');
  });
});

describe('recovery', () => {
  // Mass balance of 1000 g of separable fat (USDA NDB 13019): 708.9 g fat; suet (NDB 13335) 940 g.
  it('is of the fat in the raw piece', () => {
    expect(fatInRawG({ fatG: 1000, rawFat: 'trimmings' })).toBeCloseTo(708.9, 9);
    expect(fatInRawG({ fatG: 1000, rawFat: 'suet' })).toBeCloseTo(940, 9);
  });

  // Common practice against the same record: 36–60 % is 51–85 % of the fat, 12–28 % is 17–39 %.
  it.each([
    ['ground', 0.51, 0.85],
    ['cubed', 0.17, 0.39],
  ] as const)('to expect of %s trimmings is %d to %d', (cut, low, high) => {
    const { tallowLowG, tallowHighG } = expectedTallow({ fatG: 1000, cut });
    const recovery = (tallowG: number) => tallowG / fatInRawG({ fatG: 1000, rawFat: 'trimmings' });
    expect(recovery(tallowLowG)).toBeCloseTo(low, 2);
    expect(Math.abs(recovery(tallowHighG) - high)).toBeLessThan(0.0051);
  });

  it('to expect is of the share that is known, where one is', () => {
    const share = { low: 0.41, high: 0.47 };
    expect(expectedTallow({ fatG: 1000, cut: 'cubed', share })).toMatchObject({
      tallowLowG: 410,
      tallowHighG: 470,
    });
    expect(() => expectedTallow({ fatG: 1000, cut: 'cubed', share: { low: 0.5, high: 1.1 } })).toThrow(
      RangeError,
    );
  });

  // USDA NDB 13019 and 23296: separable fat is 70.89 % fat, external fat of grass-fed beef 51.36 %; NDB 13335: suet 94 %.
  it('says how much fat the raw piece is taken to hold', () => {
    const said = (rawFat: 'trimmings' | 'suet') =>
      recoveryAssumptions({ fatG: 1000, rawFat }).map(({ text }) => text);
    expect(said('trimmings')).toEqual([
      'Trimmings are about 71 % fat on average; leaner pieces hold down to 51 %.',
    ]);
    expect(said('suet')).toEqual(['Raw suet is 94 % fat.']);
  });

  // USDA NDB 13023: brisket lean is 7.37 % fat.
  it('counts lean left on the trim with the little fat it holds', () => {
    const piece = { fatG: 1000, rawFat: 'trimmings', leanFraction: 0.2 } as const;
    expect(fatInRawG(piece)).toBeCloseTo(0.8 * 708.9 + 0.2 * 73.7, 9);
    expect(recoveryAssumptions(piece).flatMap(({ sources }) => sources)).toContain('usda-brisket-lean');
  });

  it('of nothing, or of all lean, throws', () => {
    expect(() => fatInRawG({ fatG: 0, rawFat: 'suet' })).toThrow(RangeError);
    expect(() => fatInRawG({ fatG: 1, rawFat: 'suet', leanFraction: 1 })).toThrow(RangeError);
    expect(() => expectedTallow({ fatG: Number.NaN, cut: 'ground' })).toThrow(RangeError);
  });
});
