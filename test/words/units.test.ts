import { describe, expect, it } from 'vitest';
import {
  celsiusFromFahrenheit,
  DURATION_UNITS,
  fahrenheitFromCelsius,
  G_PER_BUTTER_STICK,
  KPA_PER_PSI,
  LENGTH_UNITS,
  MASS_UNITS,
  ML_PER_US_CUP,
  ML_PER_US_FL_OZ,
  ML_PER_US_TBSP,
  ML_PER_US_TSP,
  POWER_UNITS,
  PRESSURE_UNITS,
  TEMPERATURE_UNITS,
  type UnitsOfMeasure,
  VOLUME_UNITS,
} from '../../src/words/units.js';

const TABLES: Readonly<Record<string, UnitsOfMeasure>> = {
  mass: MASS_UNITS,
  volume: VOLUME_UNITS,
  length: LENGTH_UNITS,
  temperature: TEMPERATURE_UNITS,
  pressure: PRESSURE_UNITS,
  power: POWER_UNITS,
  duration: DURATION_UNITS,
};

function unit(table: UnitsOfMeasure, name: string) {
  const found = table.find((entry) => entry.names.includes(name));
  if (found === undefined) throw new Error(`no unit is spelled ${name}`);
  return found;
}

function toBase(table: UnitsOfMeasure, number: number, name: string): number {
  const { toBase: factor, offset = 0 } = unit(table, name);
  return number * factor + offset;
}

describe('units agree with the tables of NIST SP 811 appendix B and Handbook 44 appendix C', () => {
  it.each([
    ['lb', 453.59237],
    ['oz', 28.349523125],
    ['kg', 1000],
  ])('one %s is %d g exactly', (name, grams) => {
    expect(toBase(MASS_UNITS, 1, name)).toBe(grams);
  });

  it.each([
    ['gallon', 3785.411784],
    ['quart', 946.352946],
    ['pint', 473.176473],
    ['cup', 236.5882365],
    ['fl oz', 29.5735295625],
    ['tbsp', 14.78676478125],
    ['tsp', 4.92892159375],
    ['imperial gallon', 4546.09],
    ['imperial quart', 1136.5225],
    ['imperial pint', 568.26125],
    ['imperial fl oz', 28.4130625],
  ])('one %s is %d mL', (name, millilitres) => {
    expect(toBase(VOLUME_UNITS, 1, name)).toBeCloseTo(millilitres, 10);
  });

  it.each([
    ['in', 0.0254],
    ['ft', 0.3048],
    ['mi', 1609.344],
  ])('one %s is %d m', (name, metres) => {
    expect(toBase(LENGTH_UNITS, 1, name)).toBe(metres);
  });

  it('one psi is 6.894757293168 kPa and 15 psi are 103.421 kPa', () => {
    expect(KPA_PER_PSI).toBeCloseTo(6.894757293168, 12);
    expect(toBase(PRESSURE_UNITS, 15, 'psi')).toBeCloseTo(103.421, 3);
  });

  it('a bar is 100 kPa, an atmosphere 101.325, an inch of mercury 3.386389', () => {
    expect(toBase(PRESSURE_UNITS, 1, 'bar')).toBe(100);
    expect(toBase(PRESSURE_UNITS, 1, 'atm')).toBe(101.325);
    expect(toBase(PRESSURE_UNITS, 1, 'inHg')).toBe(3.386389);
  });

  it('20,000 Btu an hour are 5861.42 W', () => {
    expect(toBase(POWER_UNITS, 20_000, 'BTU/h')).toBeCloseTo(5861.42, 2);
    expect(toBase(POWER_UNITS, 1, 'BTU/h')).toBeCloseTo(0.29307107, 8);
  });

  it.each([
    [240, 115.5556],
    [100, 37.7778],
    [-40, -40],
    [212, 100],
    [32, 0],
  ])('%d °F is %d °C', (fahrenheit, celsius) => {
    expect(toBase(TEMPERATURE_UNITS, fahrenheit, '°F')).toBeCloseTo(celsius, 4);
    expect(celsiusFromFahrenheit(fahrenheit)).toBeCloseTo(celsius, 4);
    expect(fahrenheitFromCelsius(celsiusFromFahrenheit(fahrenheit))).toBeCloseTo(fahrenheit, 10);
  });

  it('eight US cups are 1892.706 mL', () => {
    expect(toBase(VOLUME_UNITS, 8, 'cups')).toBeCloseTo(1892.706, 3);
  });
});

describe('kitchen measures', () => {
  // Handbook 44: 16 tbsp, 48 tsp and 8 fl oz to the cup.
  it('spoons and fluid ounces fill a cup', () => {
    expect(ML_PER_US_TBSP * 16).toBe(ML_PER_US_CUP);
    expect(ML_PER_US_TSP * 48).toBeCloseTo(ML_PER_US_CUP, 12);
    expect(ML_PER_US_FL_OZ * 8).toBe(ML_PER_US_CUP);
  });

  // USDA SR Legacy, NDB 01001: one stick is 113 g.
  it('a stick of butter weighs 4 oz and fills half a cup', () => {
    expect(G_PER_BUTTER_STICK).toBeCloseTo(113.398, 3);
    expect(toBase(MASS_UNITS, 1, 'stick')).toBeCloseTo(113, 0);
    expect(toBase(VOLUME_UNITS, 2, 'sticks')).toBe(ML_PER_US_CUP);
  });
});

describe.each(Object.entries(TABLES))('the table of %s', (dimension, table) => {
  it('spells every unit in one way only once, without regard to case', () => {
    const names = table.flatMap((entry) => [...new Set(entry.names.map((name) => name.toLowerCase()))]);
    expect(names).toHaveLength(new Set(names).size);
  });

  it('has a finite positive factor and no stray spaces', () => {
    for (const { names, toBase: factor } of table) {
      expect(factor).toBeGreaterThan(0);
      expect(Number.isFinite(factor)).toBe(true);
      for (const name of names) expect(name).toBe(name.trim().replace(/\s+/g, ' '));
    }
  });

  it('never gives two units of a family the same size', () => {
    const sizes = table.map(({ family, toBase: factor, offset }) => `${family} ${factor} ${offset}`);
    expect(sizes).toHaveLength(new Set(sizes).size);
  });

  it('offsets temperatures and nothing else', () => {
    for (const { offset } of table) expect(offset !== undefined).toBe(dimension === 'temperature');
  });
});
