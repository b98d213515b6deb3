import { numericQuantity } from 'numeric-quantity';
import { oneLine } from './clean.js';
import { shorten } from './option.js';

/** A unit as people spell it. Value in the base unit = number × toBase + offset. */
export interface Unit {
  readonly names: readonly string[];
  readonly toBase: number;
  readonly offset?: number;
  /** People write thousands of it and never thousandths, so “1.500” of it may be one thousand five hundred. */
  readonly isWrittenInThousands?: boolean;
  /** Units add up ("4 lb 8 oz") only inside one family. */
  readonly family: string;
}

export type UnitTable = readonly Unit[];

export type QuantityProblem =
  | { readonly kind: 'empty' }
  | { readonly kind: 'bare number'; readonly number: string }
  | { readonly kind: 'not a quantity'; readonly text: string }
  | { readonly kind: 'unknown unit'; readonly unit: string }
  | {
      readonly kind: 'ambiguous mark';
      readonly number: string;
      readonly unit: string;
      readonly decimal: string;
    }
  | { readonly kind: 'units do not add'; readonly first: string; readonly second: string }
  | { readonly kind: 'only once'; readonly unit: string }
  | { readonly kind: 'negative part'; readonly text: string };

export type Quantity =
  | { readonly ok: true; readonly value: number }
  | { readonly ok: false; readonly problem: QuantityProblem };

const FRACTIONS = '¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞';
const SLASHED = String.raw`\d+\s*[/⁄]\s*\d+`;
// The mixed and the plain fraction come first: "4 1/2" must not be read as 4 followed by 1/2.
const NUMBER = new RegExp(
  String.raw`^[+\-−]?(?:\d+(?:\s+|-)${SLASHED}|${SLASHED}|\d+\s*[${FRACTIONS}]|[${FRACTIONS}]|\d+(?:[.,]\d+)*|[.,]\d+)`,
);

/** "half a pound", "a quarter pound", "an ounce": only before a unit, and only at the beginning. */
const WORDED_NUMBER = /^(?:(?:an? )?(half|quarter)(?: of)?(?: an?)?|an?)[ -](?=\p{L})/u;

/**
 * Reads "4 lb 8 oz", "4½ pounds", "half a pound", "2,3 kg" and the like against a table of units: one number in the
 * table's base unit.
 * Parts are added when their units belong to one family and grow smaller. Never throws.
 */
export function parseQuantity(text: string, units: UnitTable): Quantity {
  const spellings = spellingsOf(units);
  let rest = inDigits(oneLine(text.slice(0, 200)).toLowerCase());
  if (rest === '') return { ok: false, problem: { kind: 'empty' } };
  let total = 0;
  let previous: { unit: Unit; name: string } | undefined;
  while (rest !== '') {
    const numberText = NUMBER.exec(rest)?.[0];
    if (numberText === undefined) return { ok: false, problem: { kind: 'not a quantity', text } };
    rest = rest.slice(numberText.length).trimStart();
    if (rest === '') {
      return previous === undefined
        ? { ok: false, problem: { kind: 'bare number', number: numberText } }
        : { ok: false, problem: { kind: 'not a quantity', text } };
    }
    const spelling = spellings.find(({ name }) => startsWithWord(rest, name));
    if (spelling === undefined) {
      const unit = /^[^\d\s]+/.exec(rest)?.[0];
      return {
        ok: false,
        problem: unit === undefined ? { kind: 'not a quantity', text } : { kind: 'unknown unit', unit },
      };
    }
    const unit = spelling.unit;
    if (isAmbiguous(numberText, unit))
      return {
        ok: false,
        problem: {
          kind: 'ambiguous mark',
          number: numberText,
          unit: spelling.name,
          decimal: plainDecimal(numberText, unit),
        },
      };
    const number = readNumber(numberText);
    if (Number.isNaN(number)) return { ok: false, problem: { kind: 'not a quantity', text } };
    if (previous !== undefined) {
      if (previous.unit.family !== unit.family || unit.offset !== undefined)
        return {
          ok: false,
          problem: { kind: 'units do not add', first: previous.name, second: spelling.name },
        };
      if (unit.toBase >= previous.unit.toBase)
        return { ok: false, problem: { kind: 'only once', unit: spelling.name } };
      if (number < 0) return { ok: false, problem: { kind: 'negative part', text } };
    }
    const part = number * unit.toBase + (unit.offset ?? 0);
    total = previous !== undefined && total < 0 ? total - part : total + part;
    previous = { unit, name: spelling.name };
    rest = rest
      .slice(spelling.name.length)
      .replace(/^\.(?!\d)/, '')
      .replace(/^\s*(?:(?:,|\+|&|and\b)\s*(?=[\d.,¼-¾⅐-⅞]))?/, '')
      .trimStart();
  }
  return Number.isFinite(total)
    ? { ok: true, value: total }
    : { ok: false, problem: { kind: 'not a quantity', text } };
}

/**
 * What a refusal says of it: what was wrong, and what would have worked. A bare number is offered with each of the units
 * in `bareReadings`.
 */
export function formatQuantityProblem(
  problem: QuantityProblem,
  bareReadings: readonly string[],
  example: string,
): string {
  switch (problem.kind) {
    case 'empty':
      return `that is empty. For example: ${example}.`;
    case 'bare number':
      return `${shorten(problem.number)} of what? Write ${eitherOf(bareReadings.map((unit) => counted(problem.number, unit)))}.`;
    case 'not a quantity':
      return `“${shorten(oneLine(problem.text))}” could not be read. For example: ${example}.`;
    case 'unknown unit':
      return `“${shorten(problem.unit)}” is not a unit that fits here. For example: ${example}.`;
    case 'ambiguous mark':
      return `${problem.number} could mean two numbers. Write ${eitherOf([withoutMarks(problem.number), problem.decimal].map((number) => `${number} ${problem.unit}`))}.`;
    case 'units do not add':
      return `${problem.first} and ${problem.second} do not add up here. Use one kind, for example: ${example}.`;
    case 'only once':
      return `put the larger unit first and each unit once, for example: ${example}.`;
    case 'negative part':
      return `“${shorten(oneLine(problem.text))}” has a minus sign in the middle. For example: ${example}.`;
  }
}

interface Spelling {
  readonly name: string;
  readonly unit: Unit;
}

const spellingCache = new WeakMap<UnitTable, readonly Spelling[]>();

function spellingsOf(units: UnitTable): readonly Spelling[] {
  const known = spellingCache.get(units);
  if (known) return known;
  const spellings = units
    .flatMap((unit) => unit.names.map((name) => ({ name: name.toLowerCase(), unit })))
    .sort((a, b) => b.name.length - a.name.length);
  spellingCache.set(units, spellings);
  return spellings;
}

function startsWithWord(text: string, word: string): boolean {
  if (!text.startsWith(word)) return false;
  const next = text[word.length];
  return next === undefined || !/\p{L}/u.test(next) || !/\p{L}$/u.test(word);
}

function inDigits(text: string): string {
  return text.replace(WORDED_NUMBER, (_words, part: string | undefined) => {
    if (part === undefined) return '1 ';
    return part === 'half' ? '1/2 ' : '1/4 ';
  });
}

/** "“a”, “b” or “c”". */
function eitherOf(ways: readonly string[]): string {
  const quoted = ways.map((way) => `“${way}”`);
  return [quoted.slice(0, -1).join(', '), ...quoted.slice(-1)].filter((part) => part !== '').join(' or ');
}

/** A number of a unit, as it can be read: "1 cup", "2 cups", "1100 g". */
function counted(number: string, unit: string): string {
  const shown = /^[1-9]\d{0,2}(?:,\d{3})+$/.test(number) ? withoutMarks(number) : number;
  const isOne = readNumber(number) <= 1;
  return `${shorten(shown)} ${isOne ? unit.replace(/s$/, '') : unit}`;
}

const THREE_DECIMALS = /^[+\-−]?(?!0)\d{1,3}([.,])\d{3}$/;

/** Whether the mark could part decimals or thousands. */
function isAmbiguous(number: string, { isWrittenInThousands = false }: Unit): boolean {
  const mark = THREE_DECIMALS.exec(number)?.[1];
  return mark === ',' || (mark === '.' && isWrittenInThousands);
}

/** An ambiguous number as a decimal that no longer is: "1.5", "1.2340". */
function plainDecimal(number: string, unit: Unit): string {
  const decimal = number.replace(',', '.').replace(/\.?0+$/, '');
  return isAmbiguous(decimal, unit) ? `${decimal}0` : decimal;
}

const withoutMarks = (number: string): string => number.replace(/[.,]/g, '');

/** NaN when it is no number. */
function readNumber(text: string): number {
  const compact = text
    .replace('−', '-')
    .replace(/\s*[/⁄]\s*/, '/')
    .replace(/^([+-]?\d+)-(\d+\/\d+)$/, '$1 $2');
  // Two marks of one kind can only part thousands.
  if (/^[+-]?[1-9]\d{0,2}([.,])\d{3}(?:\1\d{3})+$/.test(compact)) return Number(withoutMarks(compact));
  if (compact.includes(',')) {
    if (!/^[+-]?\d*,\d+$/.test(compact)) return Number.NaN;
    return Number(compact.replace(',', '.'));
  }
  if (compact.split('.').length > 2) return Number.NaN;
  return numericQuantity(compact, { round: false });
}
