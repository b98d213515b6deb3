/** Reads the amounts back out of a sentence, so that a test can hold them against the figures they were made from. */

export type Dimension =
  | 'mass'
  | 'volume'
  | 'time'
  | 'temperature'
  | 'length'
  | 'power'
  | 'energy'
  | 'share'
  | 'clock'
  | 'count';

export interface SpokenAmount {
  readonly text: string;
  readonly dimension: Dimension;
  /** In g, mL, minutes, °C, m, W, kWh, as a fraction, or as minutes of the day for a clock time. */
  readonly value: number;
  /** What the last place spoken is worth: half of it may be rounding. */
  readonly step: number;
}

/** NIST SP 811, appendix B, and Handbook 44, appendix C. A month counts 30 days. */
const UNITS: readonly (readonly [names: string, dimension: Dimension, factor: number])[] = [
  ['lb', 'mass', 453.59237],
  ['oz', 'mass', 28.349523125],
  ['kg', 'mass', 1000],
  ['mg', 'mass', 0.001],
  ['g', 'mass', 1],
  ['gal', 'volume', 3785.411784],
  ['qt', 'volume', 946.352946],
  ['cups|cup', 'volume', 236.5882365],
  ['tbsp', 'volume', 14.78676478125],
  ['tsp', 'volume', 4.92892159375],
  ['L', 'volume', 1000],
  ['ml', 'volume', 1],
  ['months|month', 'time', 43_200],
  ['days|day', 'time', 1440],
  ['hours|hour|h', 'time', 60],
  ['min', 'time', 1],
  ['s', 'time', 1 / 60],
  ['°F|°C', 'temperature', 1],
  ['ft', 'length', 0.3048],
  ['in', 'length', 0.0254],
  ['cm', 'length', 0.01],
  ['m', 'length', 1],
  ['kWh', 'energy', 1],
  ['W', 'power', 1],
  ['%', 'share', 0.01],
];

const FRACTIONS: Readonly<Record<string, number>> = {
  '¼': 1 / 4,
  '½': 1 / 2,
  '¾': 3 / 4,
  '⅓': 1 / 3,
  '⅔': 2 / 3,
  '⅛': 1 / 8,
  '⅜': 3 / 8,
  '⅝': 5 / 8,
  '⅞': 7 / 8,
};

const NUMBER = String.raw`-?(?:\d+(?:\.\d+)?(?: [¼½¾⅓⅔⅛⅜⅝⅞])?|[¼½¾⅓⅔⅛⅜⅝⅞])`;
const UNIT = [...UNITS.flatMap(([names]) => names.split('|'))].sort((a, b) => b.length - a.length).join('|');
const ONE = String.raw`(${NUMBER}) (${UNIT})(?![\p{L}\d])`;
const CLOCK = /(?<!\d)(\d{2}):(\d{2})(?!\d)/gu;
const DATE = /\b\d{1,2} (?:Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)\b/gu;
const PAIR = new RegExp(String.raw`(${NUMBER}) (?:to|by) (?=(${NUMBER}) (${UNIT})(?![\p{L}\d]))`, 'gu');
const COMPOUND = new RegExp(`${ONE}(?: ${ONE})?`, 'gu');

/** Every amount in a text; days of the month are left to the clock times beside them. */
export function spokenAmounts(text: string): readonly SpokenAmount[] {
  const found: SpokenAmount[] = [];
  let rest = text.replace(CLOCK, (whole, hours, minutes) => {
    found.push({ text: whole, dimension: 'clock', value: Number(hours) * 60 + Number(minutes), step: 1 });
    return ' ';
  });
  rest = rest.replace(DATE, ' ');
  // "12 to 18 cups": the first number has the unit of the second.
  rest = rest.replace(PAIR, (_whole, number, _second, unit) => `${number} ${unit} & `);
  rest = rest.replace(COMPOUND, (whole, number, unit, nextNumber, nextUnit) => {
    const first = amountOf(number, unit, whole);
    if (nextUnit === undefined) {
      found.push(first);
      return ' ';
    }
    const second = amountOf(nextNumber, nextUnit, whole);
    if (second.dimension === first.dimension && factorOf(nextUnit) < factorOf(unit))
      found.push({ ...second, value: first.value + second.value });
    else found.push(first, second);
    return ' ';
  });
  for (const [number] of rest.matchAll(new RegExp(NUMBER, 'gu')))
    found.push({ text: number, dimension: 'count', value: numberOf(number), step: 0 });
  return found;
}

function amountOf(number: string, unit: string, text: string): SpokenAmount {
  const [, dimension = 'count', factor = 1] = UNITS.find(([names]) => names.split('|').includes(unit)) ?? [];
  const value = numberOf(number);
  const decimals = /\.(\d+)/.exec(number)?.[1]?.length ?? 0;
  const step = 10 ** -decimals;
  if (unit === '°F') return { text, dimension, value: ((value - 32) * 5) / 9, step: (step * 5) / 9 };
  return { text, dimension, value: value * factor, step: step * factor };
}

function factorOf(unit: string): number {
  return UNITS.find(([names]) => names.split('|').includes(unit))?.[2] ?? 1;
}

function numberOf(text: string): number {
  return text.split(' ').reduce((sum, part) => sum + (FRACTIONS[part] ?? Number(part)), 0);
}
