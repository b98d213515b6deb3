import { numericQuantity } from 'numeric-quantity';
import { listWords } from '../words/lists.js';
import { oneLine } from './clean.js';
import { quoted, shorten } from './option.js';

/** A unit as people spell it. Value in the base unit = number × toBase + offset. */
interface Unit {
  readonly names: readonly string[];
  readonly toBase: number;
  readonly offset?: number;
  /** People write thousands of it and never thousandths, so “1.500” of it may be one thousand five hundred. */
  readonly isWrittenInThousands?: boolean;
  /** Units add up ("4 lb 8 oz") only inside one family. */
  readonly family: string;
}

export type UnitTable = readonly Unit[];

type Quantity =
  | { readonly ok: true; readonly value: number }
  | {
      readonly ok: false;
      readonly kind:
        | 'empty'
        | 'bare number'
        | 'not a quantity'
        | 'unknown unit'
        | 'ambiguous mark'
        | 'units do not add'
        | 'only once'
        | 'negative part';
      /** What was wrong and what would have worked. */
      readonly problem: string;
    };

/** A bare number is read in one unit, or refused with several offered: always the same, or those for so many. */
export type Bare = string | readonly string[] | ((size: number) => readonly string[]);

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
export function parseQuantity(
  text: string,
  units: UnitTable,
  { bare, example }: { readonly bare: Bare; readonly example: string } = { bare: [], example: '' },
): Quantity {
  const refuse = (kind: Problem, problem: string): Quantity => ({ ok: false, kind, problem });
  const withExample = (kind: Problem, problem: string) => refuse(kind, `${problem} For example: ${example}.`);
  const notRead = () => withExample('not a quantity', `${quoted(text)} could not be read.`);

  let rest = inDigits(oneLine(text.slice(0, 200)).toLowerCase());
  if (rest === '') return withExample('empty', 'that is empty.');
  let total = 0;
  let previous: Spelling | undefined;
  while (rest !== '') {
    const number = NUMBER.exec(rest)?.[0];
    if (number === undefined) return notRead();
    rest = rest.slice(number.length).trimStart();
    if (rest === '') {
      if (previous !== undefined) return notRead();
      if (typeof bare !== 'string') return refuse('bare number', ofWhat(number, bare));
      rest = bare.toLowerCase();
    }
    const spelling = spellingsOf(units).find(({ name }) => startsWithWord(rest, name));
    if (spelling === undefined) {
      const unit = /^[^\d\s]+/.exec(rest)?.[0];
      return unit === undefined
        ? notRead()
        : withExample('unknown unit', `“${shorten(unit)}” is not a unit that fits here.`);
    }
    const { unit, name } = spelling;
    if (isAmbiguous(number, unit)) return refuse('ambiguous mark', twoNumbers(number, spelling));
    const value = readNumber(number);
    if (Number.isNaN(value)) return notRead();
    if (previous !== undefined) {
      if (previous.unit.family !== unit.family || unit.offset !== undefined)
        return refuse(
          'units do not add',
          `${previous.name} and ${name} do not add up here. Use one kind, for example: ${example}.`,
        );
      if (unit.toBase >= previous.unit.toBase)
        return refuse('only once', `put the larger unit first and each unit once, for example: ${example}.`);
      if (value < 0) return withExample('negative part', `${quoted(text)} has a minus sign in the middle.`);
    }
    const part = value * unit.toBase + (unit.offset ?? 0);
    total = previous !== undefined && total < 0 ? total - part : total + part;
    previous = spelling;
    rest = rest
      .slice(name.length)
      .replace(/^\.(?!\d)/, '')
      .replace(/^\s*(?:(?:,|\+|&|and\b)\s*(?=[\d.,¼-¾⅐-⅞]))?/, '')
      .trimStart();
  }
  return Number.isFinite(total) ? { ok: true, value: total } : notRead();
}

type Problem = Extract<Quantity, { ok: false }>['kind'];

function ofWhat(number: string, bare: Exclude<Bare, string>): string {
  const units = typeof bare === 'function' ? bare(Number.parseFloat(number.replaceAll(',', ''))) : bare;
  return `${shorten(number)} of what? Write ${eitherOf(units.map((unit) => counted(number, unit)))}.`;
}

function twoNumbers(number: string, { unit, name }: Spelling): string {
  const ways = [withoutMarks(number), plainDecimal(number, unit)].map((way) => `${way} ${name}`);
  return `${number} could mean two numbers. Write ${eitherOf(ways)}.`;
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

/** “a”, “b” or “c”. */
const eitherOf = (ways: readonly string[]): string =>
  listWords(
    ways.map((way) => `“${way}”`),
    'or',
  );

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
