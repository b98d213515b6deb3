import type { z } from 'zod';
import { capitalise } from '../words/lists.js';
import type { Call } from './call.js';
import type { Choice, Given, Options, ValuesOf } from './option.js';
import { parseOptions, unknownNames } from './option.js';
import { type Audience, type Fault, type Refusal, type Reply, refusal } from './reply.js';

/**
 * Fields for a person to fill in: a dialog on Discord, prompts in the terminal. One that is handed in empty is empty;
 * one that was filled in beforehand and is not handed in stays as it was.
 */
export interface Form {
  readonly kind: 'form';
  /** The action that receives what was filled in. */
  readonly id: string;
  readonly title: string;
  readonly fields: readonly FormField[];
}

export interface FormField {
  readonly name: string;
  readonly label: string;
  readonly hint: string;
  readonly required: boolean;
  readonly long: boolean;
  readonly maxLength: number;
  /** Filled in beforehand. */
  readonly value: string | undefined;
}

/** What a command answers. */
export type Outcome = Reply | Refusal | Form;

/** What a person gets to see. */
export type Answer = Outcome | Fault;

/**
 * What an answer takes: nothing but words that are at hand, for somebody who cannot wait; a few reads; some milliseconds of
 * the processor; or a picture, which is drawn after those that were asked for before it.
 */
export type Work = 'urgent' | 'quick' | 'long' | 'picture';

/** How a request is answered. */
export interface Answering {
  /** Who sees the waiting notice when the answer takes longer than a moment. */
  readonly audience: Audience;
  readonly work: Work;
  /** Whether it would have stored something of what was given, so that a refusal says that nothing was saved. */
  stores(given: Given): boolean;
  /** `args` are what stands in a button's id behind the action's name. */
  answer(given: Given, call: Call, args: readonly string[]): Promise<Outcome>;
}

/** Something a person can type: its options and what it answers. */
export interface Subcommand extends Answering {
  readonly description: string;
  readonly options: Options;
  suggest(option: string, typed: string, given: Given, call: Call): Promise<readonly Choice[]>;
}

/** What happens when a button is pressed or a form is handed in. */
export interface Handler extends Answering {
  readonly who: Who;
  /** Of the form that it receives; a button has none. */
  readonly fields: Options;
}

export type Who = 'anyone' | 'managers';

export interface Command {
  readonly name: string;
  readonly description: string;
  readonly who: Who;
  /** `server`: only inside a community. `anywhere`: in direct messages too. */
  readonly where: 'server' | 'anywhere';
  /** One subcommand, or several by the name that follows the command's. */
  readonly subcommands: Subcommand | { readonly [name: string]: Subcommand };
  readonly handlers: { readonly [action: string]: Handler };
  /** Whether it is what somebody needs who said this without knowing its name. Of an urgent command only. */
  readonly hears?: (said: string) => boolean;
}

/** Whether it is answered at once and whatever is given to it. */
export const isUrgent = ({ subcommands }: Command): boolean =>
  isSingle(subcommands) && subcommands.work === 'urgent';

interface AnsweringSpec {
  /** Everyone unless said otherwise. */
  readonly audience?: Audience;
  /** Quick unless said otherwise. */
  readonly work?: Work;
  /** Always, never, or depending on what was given; never unless said. */
  readonly stores?: boolean | ((given: Given) => boolean);
}

const filledIn = ({ audience = 'everyone', work = 'quick', stores = false }: AnsweringSpec) => ({
  audience,
  work,
  stores: (given: Given) => (typeof stores === 'function' ? stores(given) : stores),
});

interface SubcommandSpec<O extends Options> extends AnsweringSpec {
  readonly description: string;
  readonly options: O;
  /** `given` is what was typed, for those who must say again what was asked. */
  run(values: ValuesOf<O>, call: Call, given: Given): Outcome | Promise<Outcome>;
  readonly suggest?: Subcommand['suggest'];
}

/** Declares a subcommand: its options are parsed before `run` sees them; what cannot be read is refused in one reply. */
export const subcommand = <const O extends Options>(spec: SubcommandSpec<O>): Subcommand => ({
  ...filledIn(spec),
  description: spec.description,
  options: spec.options,
  async answer(given, call) {
    const read = parseOptions(spec.options, given);
    return read.ok ? spec.run(read.values, call, given) : refuseUnreadable(read.problems);
  },
  suggest: spec.suggest ?? (async () => []),
});

interface HandlerSpec<A> extends AnsweringSpec {
  readonly who?: Who;
  readonly audience: Audience;
  /** Reads what stands in the id behind the action's name. */
  readonly args: z.ZodType<A>;
  /** Of the form that it receives: fields of other names are refused. What is in them is for `press` to read. */
  readonly fields?: Options;
  press(args: A, fields: Given, call: Call): Outcome | Promise<Outcome>;
}

/** Declares a handler: its arguments are read before `press` sees them; others than ours are refused as out of date. */
export const handler = <A>({ who = 'anyone', fields = {}, ...spec }: HandlerSpec<A>): Handler => ({
  ...filledIn(spec),
  who,
  fields,
  async answer(given, call, args) {
    const read = spec.args.safeParse(args);
    if (!read.success) return outOfDate();
    const strange = unknownNames(fields, given);
    return strange.length > 0 ? refuseUnreadable(strange) : spec.press(read.data, given, call);
  },
});

/** The refusal of a button or form that is none of ours, or no longer one. */
export const outOfDate = (): Refusal =>
  refusal('That button is out of date', 'Ask again with the command to get a fresh one.');

/** The refusal that names everything that could not be read. */
export const refuseUnreadable = (problems: readonly string[]): Refusal =>
  refusal('That could not be read', problems.map(capitalise).join(' '));

/** Declares a command; for anyone and anywhere unless said otherwise. */
export const command = (spec: Omit<Command, 'who' | 'where' | 'handlers'> & Partial<Command>): Command => ({
  who: 'anyone',
  where: 'anywhere',
  handlers: {},
  ...spec,
});

export function isSingle(subcommands: Command['subcommands']): subcommands is Subcommand {
  return typeof subcommands.answer === 'function';
}

/** Every subcommand of a command with the words that call it: `["water"]`, `["batch", "log"]`. */
export function subcommandsOf(
  of: Command,
): readonly { readonly path: readonly string[]; readonly subcommand: Subcommand }[] {
  if (isSingle(of.subcommands)) return [{ path: [of.name], subcommand: of.subcommands }];
  return Object.entries(of.subcommands).map(([name, one]) => ({ path: [of.name, name], subcommand: one }));
}

/** A form whose fields are options: the same parsers, the same words. At most five fields, Discord's limit for a dialog. */
export function formOf(
  id: string,
  title: string,
  options: Options,
  filled: { readonly [name: string]: string | undefined } = {},
): Form {
  const fields = Object.entries(options).map(([name, option]) => ({
    name,
    label: option.description.slice(0, 45),
    hint:
      option.entry.kind === 'choice'
        ? option.entry.choices.map(({ value }) => value).join(', ')
        : `for example ${option.example}`,
    required: option.required,
    long: option.entry.kind === 'text' && option.entry.maxLength > 100,
    maxLength: option.entry.kind === 'text' ? option.entry.maxLength : 60,
    value: filled[name],
  }));
  if (fields.length === 0 || fields.length > 5)
    throw new RangeError(`a form has 1 to 5 fields, not ${fields.length}`);
  return { kind: 'form', id, title: title.slice(0, 45), fields };
}
