import { z } from 'zod';
import { actionId, button, key, readActionId, wholeNumberIn } from '../chat/action.js';
import type { Call } from '../chat/call.js';
import { type Form, formOf, type Handler, handler, type Outcome, refuseUnreadable } from '../chat/command.js';
import { type Given, type Options, parseOptions } from '../chat/option.js';
import { choice } from '../chat/options.js';
import { isRefusal, type Refusal } from '../chat/reply.js';
import type { Records } from '../records/database.js';
import { findTyped, keepTyped } from './drafts.js';
import { batchHistory } from './enter.js';
import { CORRECTIONS, correctedFacts, EVERY_FIELD, type Said } from './facts.js';
import type { BatchFacts, OptionName } from './fields.js';
import { type Batch, batchNumberIn, findOwn } from './find.js';
import { isQuestion, keep, weigh } from './weigh.js';

const CLEARABLE = EVERY_FIELD.filter(({ clearable }) => clearable);

/** Clears where nothing can be typed to stand for nothing, as in a command on Discord. */
export const clear = () =>
  choice({
    description: 'What to take out again, as if it had not been said',
    required: false,
    choices: CLEARABLE.map(({ name, label }) => ({ value: name, label })),
  });

export interface Correction {
  readonly found: Batch;
  /** How often the batch had been corrected when its cook looked at it. */
  readonly since: number;
  readonly said: Said;
  /** As it was typed: what is empty is taken out. */
  readonly given: Given;
  /** Taken out too. */
  readonly clear?: OptionName | undefined;
}

/** Puts what was said in place of what a batch says. Weights that it had before were asked about then. */
export async function correct(db: Records, correction: Correction, call: Call): Promise<Outcome> {
  const { found, since, said } = correction;
  const cleared = clearedBy(correction);
  if (isRefusal(cleared)) return cleared;
  const facts = correctedFacts(found, said, cleared);
  const isAsWeighed = facts.fatG === found.fatG && facts.tallowG === found.tallowG;
  const store = isAsWeighed ? keep : weigh;
  const outcome = await store(db, { facts, corrects: { number: found.number, since } }, call);
  if (outcome.kind !== 'reply') return outcome;
  return { ...outcome, lines: [...outcome.lines, ...nothingToClear(found, cleared)] };
}

function clearedBy({ given, clear }: Correction): readonly OptionName[] | Refusal {
  const empty = Object.keys(given).filter((name) => given[name]?.trim() === '');
  const problems = empty
    .filter((name) => !CLEARABLE.some((field) => field.name === name))
    .map((name) => `${name} cannot be empty; leave it out to keep it.`);
  if (clear !== undefined && Object.hasOwn(given, clear) && !empty.includes(clear))
    problems.push(`${clear} is given and cleared at once; say one or the other.`);
  if (problems.length > 0) return refuseUnreadable(problems);
  return CLEARABLE.map(({ name }) => name).filter((name) => name === clear || empty.includes(name));
}

/** One line that names what was to be cleared but was never said; none otherwise. */
function nothingToClear(found: BatchFacts, cleared: readonly OptionName[]): readonly string[] {
  const absent = CLEARABLE.filter(({ fact, name }) => cleared.includes(name) && found[fact] === undefined);
  if (absent.length === 0) return [];
  const labels = absent.map(({ label }) => `“${label}”`).join(' or ');
  return [`It says nothing under ${labels}, so there is nothing to take out.`];
}

const IN_FORM = EVERY_FIELD.flatMap(({ typed, ...field }) => (typed ? [{ ...field, typed }] : []));

const FORM: Options = Object.fromEntries(
  IN_FORM.map(({ name, option, inForm, clearable }) => [
    name,
    { ...option, ...inForm, required: !clearable },
  ]),
);

/** The form for correcting a batch, filled in with what it says, and over that with what was `typed` before. */
export function correctionForm(found: Batch, typed: Given = {}): Form {
  const id = actionId('batch.correct', found.number, found.changes);
  return formOf(id, `Correct batch ${found.number}`, FORM, { ...filledIn(found), ...typed });
}

const filledIn = (facts: BatchFacts): { readonly [name: string]: string | undefined } =>
  Object.fromEntries(
    IN_FORM.map(({ fact, name, typed }) => [
      name,
      facts[fact] === undefined ? undefined : typed(facts[fact]),
    ]),
  );

/** The fields that say something else than the form did: what it shows is rounded, and must not be taken for new. */
function newFields(shown: BatchFacts, handedIn: Given): Given {
  const before = filledIn(shown);
  return Object.fromEntries(
    Object.entries(handedIn).filter(([name, text]) => text.trim() !== (before[name] ?? '').trim()),
  );
}

/** No batch is corrected as often. */
const MOST_CHANGES = 1_000_000;

const isHandedIn = (fields: Given): boolean => Object.keys(fields).length > 0;

/** The form for a correction, when it is asked for, when it is handed in, and when it is opened again. */
export function correctHandlers(db: Records): { readonly [action: string]: Handler } {
  return {
    'batch.correct': handler({
      audience: 'everyone',
      stores: isHandedIn,
      args: z.tuple([batchNumberIn, wholeNumberIn(0, MOST_CHANGES).optional()]),
      fields: FORM,
      async press([number, since], fields, call) {
        const found = await findOwn(db, number, call);
        if (isRefusal(found)) return found;
        return isHandedIn(fields)
          ? handIn(db, found, since ?? found.changes, fields, call)
          : correctionForm(found);
      },
    }),
    'batch.again': handler({
      audience: 'only you',
      args: z.tuple([key]),
      async press([id], _fields, call) {
        const kept = await findTyped(db, id, call);
        if (isRefusal(kept)) return kept;
        const found = await findOwn(db, kept.number, call);
        return isRefusal(found) ? found : correctionForm(found, kept.typed);
      },
    }),
  };
}

async function handIn(db: Records, found: Batch, since: number, fields: Given, call: Call): Promise<Outcome> {
  const given = newFields(await shownAfter(db, found, since, call), fields);
  const read = parseOptions(CORRECTIONS, given);
  const outcome = read.ok
    ? await correct(db, { found, since, given, said: { ...read.values, date: undefined } }, call)
    : refuseUnreadable(read.problems);
  const isSaved = !isRefusal(outcome) && !isQuestion(outcome);
  if (isSaved || outcome.kind === 'form' || call.platform.losesForms !== true) return outcome;
  // Here the form would be gone with everything typed into it.
  const id = await keepTyped(db, { number: found.number, typed: given }, call);
  const others = outcome.actions.filter((one) => readActionId(one.id)?.name !== 'batch.correct');
  return { ...outcome, actions: [...others, button('Open the form again', actionId('batch.again', id))] };
}

/** What the form showed when it was filled in, after so many corrections; others may have followed. */
async function shownAfter(db: Records, found: Batch, since: number, call: Call): Promise<BatchFacts> {
  if (since >= found.changes) return found;
  const history = await batchHistory(db, call.community, found.number);
  return history[since]?.before ?? found;
}
