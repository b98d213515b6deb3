import { actionId } from '../../src/chat/action.js';
import { type Form, formOf } from '../../src/chat/command.js';
import type { Given, ValuesOf } from '../../src/chat/option.js';
import { choice, optional } from '../../src/chat/options.js';
import type { Batch, BatchFacts } from '../../src/records/batches.js';
import type { Cut, Method } from '../../src/trade/methods.js';
import * as option from '../shared/options.js';
import { BATCH_DETAILS, TASTES } from './options.js';

/** What a batch need not say. */
const CLEARABLE = [
  { value: 'note', label: 'Note' },
  { value: 'minutes', label: 'Time' },
  { value: 'water', label: 'Water' },
  { value: 'water-left', label: 'Water left' },
  { value: 'weighed-as', label: 'Weighed as' },
  { value: 'taste', label: 'Taste' },
] as const;
type Clearable = (typeof CLEARABLE)[number]['value'];

const isClearable = (name: string): name is Clearable => CLEARABLE.some(({ value }) => value === name);

/** Clears where nothing can be typed to stand for nothing, as in a command on Discord. */
export const clear = () =>
  choice({
    description: 'What to take out again, as if it had not been said',
    required: false,
    choices: CLEARABLE,
  });

/** What fits into a dialog of five fields. */
const FORM = {
  fat: option.fatWeight(true),
  tallow: option.tallowWeight(true),
  minutes: option.minutes('How long it rendered'),
  taste: { ...BATCH_DETAILS.taste, description: 'How it tastes', example: TASTES.join(', ') },
  note: BATCH_DETAILS.note,
} as const;

/** The same fields when they are handed in: one that is missing stays as it is. */
export const HANDED_IN = { ...FORM, fat: optional(FORM.fat), tallow: optional(FORM.tallow) } as const;

/** The form for correcting a batch, filled in with what it says. */
export function correctionForm(found: Batch): Form {
  return formOf(
    actionId('batch.correct', found.number),
    `Correct batch ${found.number}`,
    FORM,
    filledIn(found),
  );
}

function filledIn(found: Batch): { readonly [name: string]: string | undefined } {
  return {
    fat: `${trimmed(found.fatG)} g`,
    tallow: `${trimmed(found.tallowG)} g`,
    minutes: found.minutes === undefined ? undefined : `${trimmed(found.minutes)} min`,
    taste: found.taste.length > 0 ? found.taste.join(', ') : undefined,
    note: found.note,
  };
}

const trimmed = (value: number): string => String(Number(value.toFixed(1)));

/** The fields that say something else than the form did: what it shows is rounded, and must not be taken for new. */
export function changedFields(found: Batch, handedIn: Given): Given {
  const before = filledIn(found);
  return Object.fromEntries(
    Object.entries(handedIn).filter(([name, text]) => text.trim() !== (before[name] ?? '').trim()),
  );
}

/** What was said of a batch that is corrected. */
interface Said extends ValuesOf<typeof HANDED_IN> {
  readonly method?: Method | undefined;
  readonly cut?: Cut | undefined;
  readonly water?: number | undefined;
  readonly 'water-left'?: number | undefined;
  readonly 'weighed-as'?: BatchFacts['weighedAs'];
  readonly finishedAt?: Date | undefined;
}

/** The facts with what was said put in and what was `cleared` taken out; what was not mentioned stays. */
export function correctedFacts(found: Batch, said: Said, cleared: readonly Clearable[]): BatchFacts {
  const unlessCleared = <T>(name: Clearable, fact: T | undefined): T | undefined =>
    cleared.includes(name) ? undefined : fact;
  return {
    method: said.method ?? found.method,
    cut: said.cut ?? found.cut,
    fatG: said.fat ?? found.fatG,
    tallowG: said.tallow ?? found.tallowG,
    waterMl: unlessCleared('water', said.water ?? found.waterMl),
    waterLeftMl: unlessCleared('water-left', said['water-left'] ?? found.waterLeftMl),
    minutes: unlessCleared('minutes', said.minutes ?? found.minutes),
    weighedAs: unlessCleared('weighed-as', said['weighed-as'] ?? found.weighedAs),
    taste: unlessCleared('taste', said.taste ?? found.taste) ?? [],
    note: unlessCleared('note', said.note ?? found.note),
    finishedAt: said.finishedAt ?? found.finishedAt,
  };
}

export type Cleared = { readonly names: readonly Clearable[] } | { readonly problems: readonly string[] };

/** What is to be cleared: the options that were given empty, and the one that `named` names. */
export function clearedIn(given: Given, named?: Clearable): Cleared {
  const empty = Object.keys(given).filter((name) => given[name]?.trim() === '');
  const problems = empty
    .filter((name) => !isClearable(name))
    .map((name) => `${name} cannot be empty; leave it out to keep it.`);
  if (named !== undefined && Object.hasOwn(given, named) && !empty.includes(named))
    problems.push(`${named} is given and cleared at once; say one or the other.`);
  if (problems.length > 0) return { problems };
  return { names: [...empty.filter(isClearable), ...(named === undefined ? [] : [named])] };
}
