import { oneLine } from './clean.js';
import { type Choice, type Option, type Parsed, parsed, shorten, unreadable } from './option.js';
import { formatQuantityProblem, parseQuantity, type UnitTable } from './quantity.js';
import { readZone } from './when.js';

interface Common<R extends boolean> {
  readonly description: string;
  readonly required: R;
  readonly suggests?: boolean;
}

/** Free words on one line, at most `maxLength` characters. */
export function words<const R extends boolean>(
  spec: Common<R> & { readonly maxLength: number; readonly example: string },
): Option<string, R> {
  return {
    description: spec.description,
    required: spec.required,
    entry: { kind: 'text', maxLength: spec.maxLength },
    example: spec.example,
    suggests: spec.suggests ?? false,
    parse: (text) => {
      const clean = oneLine(text);
      if (clean === '') return unreadable(`that is empty. For example: ${spec.example}.`);
      if ([...clean].length > spec.maxLength)
        return unreadable(`that is too long; ${spec.maxLength} characters at most.`);
      return parsed(clean);
    },
  };
}

/** One of a fixed list, by value, by label, or by an unmistakable beginning of either. */
export function choice<const V extends string, const R extends boolean>(
  spec: Common<R> & { readonly choices: readonly { readonly value: V; readonly label: string }[] },
): Option<V, R> {
  const first = spec.choices[0];
  if (first === undefined) throw new RangeError('a choice needs something to choose from');
  return {
    description: spec.description,
    required: spec.required,
    entry: { kind: 'choice', choices: spec.choices },
    example: first.value,
    suggests: false,
    parse: (text) => {
      const found = pick(spec.choices, text);
      if (found) return parsed(found.value);
      const list = spec.choices.map(({ value }) => value).join(', ');
      return unreadable(`“${shorten(oneLine(text))}” is not one of ${list}.`);
    },
  };
}

function pick<C extends Choice>(choices: readonly C[], text: string): C | undefined {
  const wanted = plain(text);
  if (wanted === '') return undefined;
  const exact = choices.find(({ value, label }) => plain(value) === wanted || plain(label) === wanted);
  if (exact) return exact;
  const beginning = choices.filter(
    ({ value, label }) => plain(value).startsWith(wanted) || plain(label).startsWith(wanted),
  );
  return beginning.length === 1 ? beginning[0] : undefined;
}

const plain = (text: string): string => text.toLowerCase().replace(/[^\p{L}\p{N}]+/gu, '');

/** A whole number between two bounds. */
export function wholeNumber<const R extends boolean>(
  spec: Common<R> & { readonly least: number; readonly most: number; readonly example: string },
): Option<number, R> {
  return {
    description: spec.description,
    required: spec.required,
    entry: { kind: 'whole number', least: spec.least, most: spec.most },
    example: spec.example,
    suggests: spec.suggests ?? false,
    parse: (text) => {
      const trimmed = text.trim().replace(/^#/, '');
      const value = /^[+-]?\d{1,15}$/.test(trimmed) ? Number(trimmed) : Number.NaN;
      if (value >= spec.least && value <= spec.most) return parsed(value);
      return unreadable(
        `“${shorten(oneLine(text))}” is not a whole number from ${spec.least} to ${spec.most}. For example: ${spec.example}.`,
      );
    },
  };
}

/** A number with an optional per cent sign, as a fraction: "80 %" and "80" are 0.8. */
export function percentage<const R extends boolean>(
  spec: Common<R> & { readonly leastPercent: number; readonly mostPercent: number; readonly example: string },
): Option<number, R> {
  return {
    description: spec.description,
    required: spec.required,
    entry: { kind: 'text', maxLength: 20 },
    example: spec.example,
    suggests: false,
    parse: (text) => {
      const match = /^([+-]?\d+(?:[.,]\d+)?)\s*(?:%|percent|per cent)?$/i.exec(text.trim());
      const value = match?.[1] === undefined ? Number.NaN : Number(match[1].replace(',', '.'));
      if (value >= spec.leastPercent && value <= spec.mostPercent) return parsed(value / 100);
      return unreadable(
        `“${shorten(oneLine(text))}” is not a percentage from ${spec.leastPercent} to ${spec.mostPercent}. For example: ${spec.example}.`,
      );
    },
  };
}

/** Yes or no. */
export function yesOrNo<const R extends boolean>(spec: Common<R>): Option<boolean, R> {
  return {
    description: spec.description,
    required: spec.required,
    entry: { kind: 'yes or no' },
    example: 'yes',
    suggests: false,
    parse: (text) => {
      const wanted = text.trim().toLowerCase();
      if (['yes', 'y', 'true', 'on'].includes(wanted)) return parsed(true);
      if (['no', 'n', 'false', 'off'].includes(wanted)) return parsed(false);
      return unreadable(`“${shorten(oneLine(text))}” is neither yes nor no.`);
    },
  };
}

/** A channel, by id or name; whether it exists is for the command to ask. */
export function channel<const R extends boolean>(spec: Common<R>): Option<string, R> {
  return {
    description: spec.description,
    required: spec.required,
    entry: { kind: 'channel' },
    example: '#rendering',
    suggests: false,
    parse: (text) => {
      const clean = oneLine(text)
        .replace(/^<#(\d+)>$/, '$1')
        .replace(/^#/, '');
      return clean === '' ? unreadable('name a channel, for example #rendering.') : parsed(clean);
    },
  };
}

/** A time zone, by its IANA name or a city of it, as its IANA name; the command suggests them. */
export function timeZone<const R extends boolean>(spec: Common<R>): Option<string, R> {
  return {
    description: spec.description,
    required: spec.required,
    entry: { kind: 'text', maxLength: 60 },
    example: 'America/Chicago',
    suggests: true,
    parse: (text) => readZone(text),
  };
}

/** An amount with its unit ("4 lb 8 oz"), as one number in the table's base unit. */
export function quantity<const R extends boolean>(
  spec: Common<R> & {
    readonly units: UnitTable;
    /** A bare number is refused with these two readings offered, or, given one unit, read in it. */
    readonly bare: readonly [string, string] | string;
    readonly example: string;
    /** Inclusive bounds in the base unit, each with the words a refusal uses for it. */
    readonly least: Bound & { readonly exclusive?: boolean };
    readonly most: Bound;
  },
): Option<number, R> {
  return {
    description: spec.description,
    required: spec.required,
    entry: { kind: 'text', maxLength: 60 },
    example: spec.example,
    suggests: spec.suggests ?? false,
    parse: (text) => {
      const result = readAmount(text, spec.units, spec.bare, spec.example);
      if (!result.ok) return result;
      const tooSmall = spec.least.exclusive
        ? result.value <= spec.least.value
        : result.value < spec.least.value;
      if (tooSmall)
        return unreadable(
          `“${shorten(oneLine(text))}” is too little; it must be ${spec.least.exclusive ? 'more than' : 'at least'} ${spec.least.words}. For example: ${spec.example}.`,
        );
      if (result.value > spec.most.value)
        return unreadable(
          `“${shorten(oneLine(text))}” is too much; ${spec.most.words} at most. For example: ${spec.example}.`,
        );
      return parsed(result.value);
    },
  };
}

function readAmount(
  text: string,
  units: UnitTable,
  bare: readonly [string, string] | string,
  example: string,
): Parsed<number> {
  const first = parseQuantity(text, units);
  if (first.ok) return first;
  if (typeof bare !== 'string') return unreadable(formatQuantityProblem(first.problem, bare, example));
  const second = first.problem.kind === 'bare number' ? parseQuantity(`${text} ${bare}`, units) : first;
  return second.ok ? second : unreadable(formatQuantityProblem(second.problem, [bare, bare], example));
}

interface Bound {
  readonly value: number;
  readonly words: string;
}

/** The same option, asked for or not. */
export function optional<T>(option: Option<T>): Option<T, false> {
  return { ...option, required: false };
}
