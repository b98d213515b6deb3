import { describe, expect, it } from 'vitest';
import {
  CUTS,
  cutLabel,
  isCut,
  isMethod,
  METHODS,
  methodLabel,
  moistureOf,
} from '../../src/words/methods.js';

describe('methods and cuts', () => {
  it('knows six methods by the label people see', () => {
    expect(METHODS.map(({ value, label }) => `${value}: ${label}`)).toEqual([
      'open-pot: Open pot, wet',
      'pressure: Pressure cooker, wet',
      'slow-cooker: Slow cooker',
      'stovetop-dry: Stovetop, dry',
      'oven: Oven, dry',
      'smoker: Smoker, dry',
    ]);
  });

  it('says in the label what it says in the moisture', () => {
    for (const { value, label } of METHODS) {
      expect(methodLabel(value)).toBe(label);
      const said = /, (wet|dry)$/.exec(label)?.[1] ?? 'either';
      expect(moistureOf(value)).toBe(said);
    }
  });

  it('knows three cuts, finest first', () => {
    expect(CUTS.map(({ value }) => value)).toEqual(['ground', 'minced', 'cubed']);
    expect(cutLabel('minced')).toBe('Minced');
  });

  it('tells its own values from anything else', () => {
    expect(METHODS.every(({ value }) => isMethod(value))).toBe(true);
    expect(CUTS.every(({ value }) => isCut(value))).toBe(true);
    for (const other of ['Open pot, wet', 'microwave', '', 'toString', undefined, 3, null]) {
      expect(isMethod(other)).toBe(false);
      expect(isCut(other)).toBe(false);
    }
  });
});
