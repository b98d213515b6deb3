import type { Given } from '../../src/chat/option.js';
import { choice } from '../../src/chat/options.js';
import type { BatchFacts } from '../../src/records/batches.js';

/** What a batch need not say. */
const CLEARABLE = [
  { value: 'note', label: 'Note' },
  { value: 'minutes', label: 'Time' },
  { value: 'water', label: 'Water' },
  { value: 'water-left', label: 'Water left' },
  { value: 'weighed-as', label: 'Weighed as' },
  { value: 'taste', label: 'Taste' },
] as const;
export type Clearable = (typeof CLEARABLE)[number]['value'];

const isClearable = (name: string): name is Clearable => CLEARABLE.some(({ value }) => value === name);

/** Clears where nothing can be typed to stand for nothing, as in a command on Discord. */
export const clear = () =>
  choice({
    description: 'What to take out again, as if it had not been said',
    required: false,
    choices: CLEARABLE,
  });

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

/** Says of what is to be cleared and is not there that it is not; no lines where all of it is. */
export function nothingToClear(found: BatchFacts, names: readonly Clearable[]): readonly string[] {
  const absent = CLEARABLE.filter(({ value }) => names.includes(value) && !isSaid(found, value));
  if (absent.length === 0) return [];
  const labels = absent.map(({ label }) => `“${label}”`).join(' or ');
  return [`It says nothing under ${labels}, so there is nothing to take out.`];
}

function isSaid(found: BatchFacts, name: Clearable): boolean {
  const facts: Readonly<Record<Clearable, unknown>> = {
    note: found.note,
    minutes: found.minutes,
    water: found.waterMl,
    'water-left': found.waterLeftMl,
    'weighed-as': found.weighedAs,
    taste: found.taste[0],
  };
  return facts[name] !== undefined;
}
