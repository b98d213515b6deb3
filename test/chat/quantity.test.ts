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
  { names: ['g', 'gram', 'grams'], toBase: 1, family: 'metric', isWrittenInThousands: true },
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
    ['a pound', LB],
    ['an ounce', OZ],
    ['half a pound', 0.5 * LB],
    ['half pound', 0.5 * LB],
    ['Half-pound', 0.5 * LB],
    ['a half pound', 0.5 * LB],
    ['quarter of a pound', 0.25 * LB],
    ['half a pound and 2 oz', 0.5 * LB + 2 * OZ],
    ['1.500 kg', 1500],
    ['2.268 kg', 2268],
    ['0.125 g', 0.125],
    ['1500.125 g', 1500.125],
    ['1,500,000 g', 1_500_000],
    ['1.500.000 g', 1_500_000],
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
    ['1,500 g', 'ambiguous mark'],
    ['1,500 kg', 'ambiguous mark'],
    ['1.500 g', 'ambiguous mark'],
    ['150.250 g', 'ambiguous mark'],
    ['half', 'not a quantity'],
    ['a', 'not a quantity'],
    ['half 4 lb', 'not a quantity'],
    ['half half pound', 'unknown unit'],
    ['pound', 'not a quantity'],
    ['4 lb -8 oz', 'negative part'],
    ['4 lb 8', 'not a quantity'],
    ['1/0 lb', 'not a quantity'],
    ['1.2.3 lb', 'not a quantity'],
    ['NaN lb', 'not a quantity'],
    ['Infinity kg', 'not a quantity'],
    ['1e9999 kg', 'unknown unit'],
  ])('does not guess at “%s”', (text, kind) => {
    const result = read(text);
    expect(result.ok ? result.value : result.kind).toBe(kind);
  });

  it('offers two ways of writing an amount that could mean two, and both can be read', () => {
    const offered = (text: string) => {
      const result = read(text);
      if (result.ok) throw new Error(`${text} was read`);
      return [...result.problem.matchAll(/“([^”]+)”/g)].map(([, way]) => way);
    };
    expect(offered('1.500 g')).toEqual(['1500 g', '1.5 g']);
    expect(offered('1,500 g')).toEqual(['1500 g', '1.5 g']);
    expect(offered('1,500 kg')).toEqual(['1500 kg', '1.5 kg']);
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 999 }),
        fc.integer({ min: 0, max: 999 }),
        fc.constantFrom('.', ','),
        (whole, rest, mark) => {
          const decimals = String(rest).padStart(3, '0');
          const [thousands = '', decimal = ''] = offered(`${whole}${mark}${decimals} g`);
          expect(read(thousands)).toEqual({ ok: true, value: whole * 1000 + rest });
          expect(read(decimal)).toMatchObject({ ok: true, value: expect.closeTo(whole + rest / 1000, 9) });
        },
      ),
    );
  });

  it('asks for the unit of a bare number, one of it in the singular', () => {
    const asked = (number: string, ...bare: string[]) => {
      const result = parseQuantity(number, weights, { bare, example: '6 cups' });
      return result.ok ? result.value : result.problem;
    };
    expect(asked('1', 'cups', 'ml')).toBe('1 of what? Write “1 cup” or “1 ml”.');
    expect(asked('½', 'cups', 'L')).toBe('½ of what? Write “½ cup” or “½ L”.');
    expect(asked('2', 'cups', 'ml')).toBe('2 of what? Write “2 cups” or “2 ml”.');
    expect(asked('16', 'oz', 'lb', 'kg')).toBe('16 of what? Write “16 oz”, “16 lb” or “16 kg”.');
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
