import { nearest } from '../words/nearest.js';
import { oneLine } from './clean.js';
import { type Choice, type Entry, type Option, type Parsed, parsed, quoted, unreadable } from './option.js';
import { type Bare, parseQuantity, type UnitTable } from './quantity.js';
import { readZone } from './when.js';

interface Common<R extends boolean> {
  readonly description: string;
  readonly required: R;
  readonly suggests?: boolean;
}

const optionOf = <T, R extends boolean>(
  { description, required, suggests = false }: Common<R>,
  entry: Entry,
  example: string,
  parse: (text: string) => Parsed<T>,
): Option<T, R> => ({ description, required, suggests, entry, example, parse });

const textOf = (maxLength: number) => ({ kind: 'text', maxLength }) as const;

/** Free words on one line, at most `maxLength` characters. */
export const words = <const R extends boolean>(
  spec: Common<R> & { readonly maxLength: number; readonly example: string },
): Option<string, R> =>
  optionOf(spec, textOf(spec.maxLength), spec.example, (text) => {
    const clean = oneLine(text);
    if (clean === '') return unreadable(`that is empty. For example: ${spec.example}.`);
    return [...clean].length > spec.maxLength
      ? unreadable(`that is too long; ${spec.maxLength} characters at most.`)
      : parsed(clean);
  });

/** One of a fixed list, by value, by label, by an alias, or by an unmistakable beginning of value or label. */
export function choice<const V extends string, const R extends boolean>({
  choices,
  ...spec
}: Common<R> & {
  readonly choices: readonly (Choice & { readonly value: V })[];
}): Option<V, R> {
  const [first] = choices;
  if (first === undefined) throw new RangeError('a choice needs something to choose from');
  return optionOf(spec, { kind: 'choice', choices }, first.value, (text) => {
    const found = pick(choices, text);
    if (found) return parsed(found.value);
    const values = choices.map(({ value }) => value);
    const meant = nearest(text, values);
    return unreadable(
      `${quoted(text)} is not one of ${values.join(', ')}.${meant === undefined ? '' : ` Did you mean ${meant}?`}`,
    );
  });
}

function pick<C extends Choice>(choices: readonly C[], text: string): C | undefined {
  const wanted = plain(text);
  if (wanted === '') return undefined;
  const exact = choices.find(({ value, label, aliases = [] }) =>
    [value, label, ...aliases].some((name) => plain(name) === wanted),
  );
  if (exact) return exact;
  const beginning = choices.filter(
    ({ value, label }) => plain(value).startsWith(wanted) || plain(label).startsWith(wanted),
  );
  return beginning.length === 1 ? beginning[0] : undefined;
}

const plain = (text: string): string => text.toLowerCase().replace(/[^\p{L}\p{N}]+/gu, '');

/** A whole number between two bounds. */
export const wholeNumber = <const R extends boolean>({
  least,
  most,
  example,
  ...spec
}: Common<R> & {
  readonly least: number;
  readonly most: number;
  readonly example: string;
}): Option<number, R> =>
  optionOf(spec, { kind: 'whole number', least, most }, example, (text) => {
    const trimmed = text.trim().replace(/^#/, '');
    const value = /^[+-]?\d{1,15}$/.test(trimmed) ? Number(trimmed) : Number.NaN;
    if (value >= least && value <= most) return parsed(value);
    return unreadable(
      `${quoted(text)} is not a whole number from ${least} to ${most}. For example: ${example}.`,
    );
  });

/** A number with an optional per cent sign, as a fraction: "80 %" and "80" are 0.8. */
export const percentage = <const R extends boolean>({
  leastPercent: least,
  mostPercent: most,
  example,
  ...spec
}: Common<R> & {
  readonly leastPercent: number;
  readonly mostPercent: number;
  readonly example: string;
}): Option<number, R> =>
  optionOf(spec, textOf(20), example, (text) => {
    const number = /^([+-]?\d+(?:[.,]\d+)?)\s*(?:%|percent|per cent)?$/i.exec(text.trim())?.[1];
    const percent = Number(number?.replace(',', '.') ?? Number.NaN);
    if (percent >= least && percent <= most) return parsed(percent / 100);
    return unreadable(
      `${quoted(text)} is not a percentage from ${least} to ${most}. For example: ${example}.`,
    );
  });

/** Yes or no. */
export const yesOrNo = <const R extends boolean>(spec: Common<R>): Option<boolean, R> =>
  optionOf(spec, { kind: 'yes or no' }, 'yes', (text) => {
    const wanted = text.trim().toLowerCase();
    if (['yes', 'y', 'true', 'on'].includes(wanted)) return parsed(true);
    if (['no', 'n', 'false', 'off'].includes(wanted)) return parsed(false);
    return unreadable(`${quoted(text)} is neither yes nor no.`);
  });

/** A channel, by id or name; whether it exists is for the command to ask. */
export const channel = <const R extends boolean>(spec: Common<R>): Option<string, R> =>
  optionOf(spec, { kind: 'channel' }, '#rendering', (text) => {
    const clean = oneLine(text)
      .replace(/^<#(\d+)>$/, '$1')
      .replace(/^#/, '');
    return clean === '' ? unreadable('name a channel, for example #rendering.') : parsed(clean);
  });

/** A time zone, by its IANA name or a city of it, as its IANA name; the command suggests them. */
export const timeZone = <const R extends boolean>(spec: Common<R>): Option<string, R> =>
  optionOf({ ...spec, suggests: true }, textOf(60), 'America/Chicago', (text) => readZone(text));

/** An amount with its unit ("4 lb 8 oz"), as one number in the table's base unit. */
export const quantity = <const R extends boolean>(
  spec: Common<R> & {
    readonly units: UnitTable;
    readonly bare: Bare;
    readonly example: string;
    /** Inclusive bounds in the base unit, each with the words a refusal uses for it. */
    readonly least: Bound & { readonly exclusive?: boolean };
    readonly most: Bound;
  },
): Option<number, R> =>
  optionOf(spec, textOf(60), spec.example, (text) => {
    const { units, least, most, example } = spec;
    const read = parseQuantity(text, units, spec);
    if (!read.ok) return read;
    const isTooLittle = least.exclusive ? read.value <= least.value : read.value < least.value;
    if (isTooLittle)
      return unreadable(
        `${quoted(text)} is too little; it must be ${least.exclusive ? 'more than' : 'at least'} ${least.words}. For example: ${example}.`,
      );
    return read.value > most.value
      ? unreadable(`${quoted(text)} is too much; ${most.words} at most. For example: ${example}.`)
      : read;
  });

interface Bound {
  readonly value: number;
  readonly words: string;
}

/** The same option, asked for or not. */
export const optional = <T>(option: Option<T>): Option<T, false> => ({ ...option, required: false });
