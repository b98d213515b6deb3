import { describe, expect, it } from 'vitest';
import {
  fatWeight,
  hours,
  jarVolume,
  minutes,
  RENDER_OPTIONS,
  tallowWeight,
} from '../../src/kitchen/options.js';
import { G_PER_LB, ML_PER_US_CUP } from '../../src/words/units.js';

const problemOf = (read: { readonly ok: boolean; readonly problem?: string }) => read.problem ?? 'none';

describe('the weight of raw fat', () => {
  it.each([
    ['half a pound', G_PER_LB / 2],
    ['a pound', G_PER_LB],
    ['1 oz', G_PER_LB / 16],
    ['28 g', 28],
    ['1.500 kg', 1500],
  ])('may be “%s”', (text, grams) => {
    expect(fatWeight(true).parse(text)).toMatchObject({ ok: true, value: expect.closeTo(grams, 9) });
  });

  it.each([
    ['0.1 g', 'at least 28 g (1 oz)'],
    ['27 g', 'at least 28 g (1 oz)'],
    ['0 lb', 'at least 28 g (1 oz)'],
    ['1.500 g', 'Write “1500 g” or “1.5 g”.'],
    ['4', 'Write “4 lb” or “4 kg”.'],
    ['16', 'Write “16 oz”, “16 lb” or “16 kg”.'],
    ['1100', 'Write “1100 g” or “1100 oz”.'],
    ['1,100', 'Write “1100 g” or “1100 oz”.'],
  ])('is not guessed from “%s”', (text, words) => {
    expect(problemOf(fatWeight(true).parse(text))).toContain(words);
  });

  it('may give less tallow than the least that is rendered', () => {
    expect(tallowWeight(true).parse('10 g')).toEqual({ ok: true, value: 10 });
    expect(problemOf(tallowWeight(true).parse('1100'))).toContain('“1100 g” or “1100 oz”');
  });
});

describe('a time', () => {
  it.each([
    ['2h30', 150],
    ['2 h 05', 125],
    ['1:30', 90],
    ['0:45', 45],
    ['2 h 30 min', 150],
    ['half an hour', 30],
    ['an hour', 60],
  ])('may be “%s”', (text, value) => {
    expect(minutes().parse(text)).toEqual({ ok: true, value });
    expect(hours('Time').parse(text)).toEqual({ ok: true, value });
  });

  it('that is bare is in the unit of its option', () => {
    expect(minutes().parse('90')).toEqual({ ok: true, value: 90 });
    expect(hours('Time').parse('2')).toEqual({ ok: true, value: 120 });
  });

  it.each(['2h90', '1:5', '1:30:00', '1:75', '2h3', '0:00', '-1:30', '999:00'])('is never “%s”', (text) => {
    expect(minutes().parse(text).ok).toBe(false);
  });
});

describe('the size of a jar', () => {
  it.each([
    ['half pint', ML_PER_US_CUP],
    ['half-pint', ML_PER_US_CUP],
    ['pint', 2 * ML_PER_US_CUP],
    ['a pint', 2 * ML_PER_US_CUP],
    ['Quart', 4 * ML_PER_US_CUP],
    ['1 pt', 2 * ML_PER_US_CUP],
    ['500 ml', 500],
  ])('may be “%s”', (text, ml) => {
    expect(jarVolume().parse(text)).toMatchObject({ ok: true, value: expect.closeTo(ml, 9) });
  });

  it.each([
    ['1', 'Write “1 cup” or “1 ml”.'],
    ['large', '“large” could not be read.'],
    ['half', '“half” could not be read.'],
    ['pound', '“pound” could not be read.'],
  ])('is not guessed from “%s”', (text, words) => {
    expect(problemOf(jarVolume().parse(text))).toContain(words);
  });
});

describe('a price', () => {
  it.each(['free', '-1', '30¢', '$0.30 €', '$', '1001', '0.30 kg', '$$1'])('is never “%s”', (text) => {
    expect(problemOf(RENDER_OPTIONS.price.parse(text))).toContain('For example: 0.17.');
  });
});
