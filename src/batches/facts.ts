import { z } from 'zod';
import type { Option } from '../chat/option.js';
import { optional } from '../chat/options.js';
import { type BatchFacts, type FactName, FIELDS, type Field, type OptionName } from './fields.js';

// What follows from the table of facts: options, columns, and facts out of either.

type Fields = typeof FIELDS;
type NamedField = Field<unknown, OptionName> & { readonly fact: FactName };

/** Every fact with its field, in the order of the table. */
export const EVERY_FIELD: readonly NamedField[] = (Object.keys(FIELDS) as FactName[]).map((fact) => ({
  ...(FIELDS[fact] as Field<unknown, OptionName>),
  fact,
}));

type FactOptions = { readonly [F in FactName as Fields[F]['name']]: Fields[F]['option'] };

/** How each fact is asked for. */
export const OPTIONS = Object.fromEntries(
  EVERY_FIELD.map(({ name, option }) => [name, option]),
) as FactOptions;

/** The same where a batch is corrected: what is left out stays as it is. */
export const CORRECTIONS = Object.fromEntries(
  EVERY_FIELD.map(({ name, option }) => [name, optional(option)]),
) as { readonly [N in OptionName]: FactOptions[N] extends Option<infer T> ? Option<T, false> : never };

const factsFrom = (of: (field: NamedField) => unknown): BatchFacts =>
  Object.fromEntries(EVERY_FIELD.map((field) => [field.fact, of(field)])) as BatchFacts;

/** What was said, by option; of the day, the moment that stands for it. */
export type Said = { readonly [F in FactName as Fields[F]['name']]: BatchFacts[F] | undefined };

/** The facts of a batch that is logged. */
export const factsOf = (said: Said): BatchFacts => factsFrom(({ name }) => said[name]);

/** The facts with what was said put in and what was `cleared` taken out; what was not mentioned stays. */
export const correctedFacts = (found: BatchFacts, said: Said, cleared: readonly OptionName[]): BatchFacts =>
  factsFrom(({ fact, name }) => (cleared.includes(name) ? undefined : (said[name] ?? found[fact])));

/** What a column holds: nothing said is null, in a list an empty one. */
type Held<T> = T extends undefined ? null : T;
type FactRow = {
  readonly [F in FactName as Fields[F]['column']]: BatchFacts[F] extends readonly unknown[] | undefined
    ? NonNullable<BatchFacts[F]>
    : Held<BatchFacts[F]>;
};

/** The columns that hold the facts, in a row as in JSON. */
export const columnsOf = (facts: BatchFacts): FactRow =>
  Object.fromEntries(
    EVERY_FIELD.map(({ fact, column, ifNone = null }) => [column, facts[fact] ?? ifNone]),
  ) as FactRow;

/** Reads facts out of a row or its JSON; a column from after it was written may be missing. */
export const storedFacts = z
  .object(
    Object.fromEntries(
      EVERY_FIELD.map(({ column, stored, clearable }) => [column, clearable ? stored.nullish() : stored]),
    ),
  )
  .transform((row) => factsFrom(({ column }) => unlessNone(row[column])));

const unlessNone = (held: unknown): unknown =>
  held === null || (Array.isArray(held) && held.length === 0) ? undefined : held;
