import { oneLine } from './clean.js';

/** What a parser made of a person's words: a value, or what was wrong and what would have worked. */
export type Parsed<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly problem: string };

export const parsed = <T>(value: T): Parsed<T> => ({ ok: true, value });
export const unreadable = (problem: string): { readonly ok: false; readonly problem: string } => ({
  ok: false,
  problem,
});

export interface Choice {
  /** What is sent back and stored. */
  readonly value: string;
  /** What is shown. */
  readonly label: string;
  /** What people say for it besides. */
  readonly aliases?: readonly string[];
}

/** How a person enters it; adapters that can offer a list or a picker use this. */
export type Entry =
  | { readonly kind: 'text'; readonly maxLength: number }
  | { readonly kind: 'choice'; readonly choices: readonly Choice[] }
  | { readonly kind: 'whole number'; readonly least: number; readonly most: number }
  | { readonly kind: 'yes or no' }
  | { readonly kind: 'channel' };

/** One named thing a command asks for. Everything arrives as text; `parse` turns it into one typed SI value. */
export interface Option<T, Required extends boolean = boolean> {
  readonly description: string;
  readonly required: Required;
  readonly entry: Entry;
  /** What a person could type, shown in help and in refusals. */
  readonly example: string;
  parse(text: string): Parsed<T>;
  /** Whether the adapter may ask the command for suggestions while the person types. */
  readonly suggests: boolean;
}

export type Options = { readonly [name: string]: Option<unknown> };

export type ValuesOf<O extends Options> = {
  readonly [K in keyof O]: O[K] extends Option<infer T, infer R>
    ? R extends true
      ? T
      : T | undefined
    : never;
};

/** Options as they were typed, by name. */
export type Given = { readonly [name: string]: string };

type ParsedOptions<O extends Options> =
  | { readonly ok: true; readonly values: ValuesOf<O> }
  | { readonly ok: false; readonly problems: readonly string[] };

/**
 * Reads every option of `options` from what was given. Unknown names, missing required ones and unreadable ones are
 * all reported at once.
 */
export function parseOptions<O extends Options>(options: O, given: Given): ParsedOptions<O> {
  const problems = [...unknownNames(options, given)];
  const values: Record<string, unknown> = {};
  for (const [name, option] of Object.entries(options)) {
    const text = Object.hasOwn(given, name) ? given[name]?.trim() : undefined;
    if (text === undefined || text === '') {
      if (option.required)
        problems.push(`${name} is missing. For example: ${name}:${quoteIfNeeded(option.example)}.`);
      values[name] = undefined;
      continue;
    }
    const result = text.length > LONGEST ? TOO_LONG : option.parse(text);
    if (result.ok) values[name] = result.value;
    else problems.push(`${name}: ${result.problem}`);
  }
  return problems.length > 0 ? { ok: false, problems } : { ok: true, values: values as ValuesOf<O> };
}

/** No option asks for as much. Discord's own limit for one: Application Command Option Structure, `max_length`. */
const LONGEST = 6000;
const TOO_LONG = unreadable(`that is too long; ${LONGEST} characters at most.`);

/** What is wrong with names that are none of `options`; nothing where all are known. */
export function unknownNames(options: Options, given: Given): readonly string[] {
  const [first, ...others] = Object.keys(given).filter((name) => !Object.hasOwn(options, name));
  if (first === undefined) return [];
  const more = others.length === 0 ? '' : ` (and ${others.length} more such)`;
  return [`There is no option ${quoted(first)}${more}. ${describeNames(Object.keys(options))}`];
}

function describeNames(names: readonly string[]): string {
  return names.length === 0 ? 'It takes none.' : `It takes ${names.join(', ')}.`;
}

export function quoteIfNeeded(text: string): string {
  return /[\s"]/.test(text) ? `"${text.replaceAll('"', '\\"')}"` : text;
}

/** A person's words cut to a length that can be quoted back. */
export function shorten(text: string, most = 60): string {
  const characters = [...text];
  return characters.length <= most ? text : `${characters.slice(0, most - 1).join('')}…`;
}

/** A person's words, to be said again. */
export const quoted = (text: string): string => `“${shorten(oneLine(text))}”`;
