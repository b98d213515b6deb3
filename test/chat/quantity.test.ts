import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseQuantity, type UnitTable } from '../../src/chat/quantity.js';

// NIST SP 811, appendix B: the pound is exactly 453.59237 g, the ounce a sixteenth of it.
const LB = 453.59237;
const OZ = LB / 16;

const weights: UnitTable = [
  { names: ['lb', 'lbs', 'pound', 'pounds'], toBase: LB, family: 'avoirdupois' },
  { names: ['oz', 'ounce', 'ounces'], toBase: OZ, family: 'avoirdupois' },
  { names: ['kg', 'kilo'], toBase: 1000, family: 'metric' },
  { names: ['g', 'gram', 'grams'], toBase: 1, family: 'metric' },
];

const temperatures: UnitTable = [
  { names: ['°c', 'c'], toBase: 1, family: 'celsius' },
  { names: ['°f', 'f'], toBase: 5 / 9, offset: -160 / 9, family: 'fahrenheit' },
];

const read = (text: string) => parseQuantity(text, weights);

describe('reading an amount', () => {
  it.each([
    ['4 lb 8 oz', 4.5 * LB],
    ['4lb8oz', 4.5 * LB],
    ['4.5 lb', 4.5 * LB],
    ['4½ pounds', 4.5 * LB],
    ['4 ½ pounds', 4.5 * LB],
    ['4 1/2 lb', 4.5 * LB],
    ['4-1/2 lb', 4.5 * LB],
    ['½ lb', 0.5 * LB],
    ['1/2 lb', 0.5 * LB],
    ['72oz', 4.5 * LB],
    ['2kg', 2000],
    ['2,3 kg', 2300],
    ['0,125 kg', 125],
    ['2300 g', 2300],
    ['1 lb 4.5oz', LB + 4.5 * OZ],
    ['  4   LB   8   OZ ', 4.5 * LB],
    ['4 lb. 8 oz.', 4.5 * LB],
    ['4 lb, 8 oz', 4.5 * LB],
    ['4 lb and 8 oz', 4.5 * LB],
    ['2 kg 300 g', 2300],
    ['.5 kg', 500],
    ['4\u00a0lb', 4 * LB],
  ])('understands “%s”', (text, grams) => {
    const result = read(text);
    expect(result.ok && result.value).toBeCloseTo(grams, 9);
  });

  it.each([
    ['', 'empty'],
    ['   ', 'empty'],
    ['4', 'bare number'],
    ['½', 'bare number'],
    ['lb', 'not a quantity'],
    ['four pounds', 'not a quantity'],
    ['4 stone', 'unknown unit'],
    ['4 lbx', 'unknown unit'],
    ['3 lb 2 kg', 'units do not add'],
    ['8 oz 4 lb', 'only once'],
    ['4 lb 4 lb', 'only once'],
    ['1,500 g', 'ambiguous comma'],
    ['4 lb -8 oz', 'negative part'],
    ['4 lb 8', 'not a quantity'],
    ['1/0 lb', 'not a quantity'],
    ['1.2.3 lb', 'not a quantity'],
    ['NaN lb', 'not a quantity'],
    ['Infinity kg', 'not a quantity'],
    ['1e9999 kg', 'unknown unit'],
  ])('does not guess at “%s”', (text, kind) => {
    const result = read(text);
    expect(result.ok ? result.value : result.problem.kind).toBe(kind);
  });

  it('reads temperatures, whose zero points differ, one at a time', () => {
    // 240 °F = 115.5556 °C; -40 is the same on both scales (NIST SP 811, appendix B.8).
    expect(parseQuantity('240 °F', temperatures)).toMatchObject({
      ok: true,
      value: expect.closeTo(115.5556, 4),
    });
    expect(parseQuantity('-40F', temperatures)).toMatchObject({ ok: true, value: expect.closeTo(-40, 9) });
    expect(parseQuantity('200 °F 10 °F', temperatures)).toMatchObject({ ok: false });
  });

  it('never throws and never answers with a number that is not finite, whatever is typed', () => {
    const numeric = fc.stringMatching(/^[-+0-9.,/½⅓ lbogzk°]{0,24}$/);
    fc.assert(
      fc.property(fc.oneof(fc.string({ unit: 'binary' }), numeric), (text) => {
        const result = read(text);
        expect(!result.ok || Number.isFinite(result.value)).toBe(true);
      }),
      { numRuns: 2000 },
    );
  });
});
