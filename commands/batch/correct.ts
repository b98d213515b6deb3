import { z } from 'zod';
import { key, wholeNumberIn } from '../../src/chat/action.js';
import type { Call } from '../../src/chat/call.js';
import { type Handler, handler, type Outcome, refuseUnreadable, subcommand } from '../../src/chat/command.js';
import { type Given, parseOptions } from '../../src/chat/option.js';
import * as option from '../../src/kitchen/options.js';
import { batchHistory } from '../../src/records/batch-changes.js';
import type { Batch } from '../../src/records/batches.js';
import type { Records } from '../../src/records/database.js';
import { batchNumber, batchNumberIn, suggestNumbers } from './batch-number.js';
import { clear, clearedIn, nothingToClear } from './clearing.js';
import { correctedFacts } from './corrected-facts.js';
import {
  changedFields,
  correctionForm,
  formAgain,
  HANDED_IN,
  type Shown,
  shownBy,
} from './correction-form.js';
import { isQuestion } from './doubtful-weights.js';
import { findHandedIn, offerAgain } from './handed-in.js';
import { BATCH_DETAILS } from './options.js';
import { findOwn } from './own-batch.js';
import { weigh } from './weighing.js';
import { readWeighingDay } from './weighing-day.js';

/** `/batch correct`: what is said replaces what was there; with nothing but the number it hands out a form. */
export function correctSubcommand(db: Records) {
  return subcommand({
    description: 'Correct a batch; what was there before is kept',
    stores: true,
    options: {
      number: batchNumber('Which batch'),
      fat: option.fatWeight(false),
      tallow: option.tallowWeight(false),
      method: option.method(false),
      cut: option.cut(false),
      ...BATCH_DETAILS,
      date: { ...BATCH_DETAILS.date, description: 'The day it was weighed' },
      clear: clear(),
    },
    async run(values, call, given) {
      const found = await findOwn(db, values.number, call);
      if ('kind' in found) return found;
      if (Object.keys(given).every((name) => name === 'number')) return correctionForm(found);
      const cleared = clearedIn(given, values.clear);
      if ('problems' in cleared) return refuseUnreadable(cleared.problems);
      const { date, ...said } = values;
      const day =
        date === undefined ? { at: found.finishedAt } : await readWeighingDay(db, date, call, found);
      if ('kind' in day) return day;
      const facts = correctedFacts(found, { ...said, finishedAt: day.at }, cleared.names);
      const outcome = await weigh(db, facts, found, call);
      if (outcome.kind !== 'reply') return outcome;
      return { ...outcome, lines: [...outcome.lines, ...nothingToClear(found, cleared.names)] };
    },
    suggest: suggestNumbers(db, 'own'),
  });
}

/** The form for a correction, when it is asked for and when it is handed in. */
export function correctHandlers(db: Records): { readonly [action: string]: Handler } {
  return {
    'batch.correct': handler({
      audience: 'everyone',
      stores: isHandedIn,
      args: z.tuple([batchNumberIn, wholeNumberIn(0, MOST_CHANGES).optional()]),
      fields: HANDED_IN,
      async press([number, since], fields, call) {
        const found = await findOwn(db, number, call);
        if ('kind' in found) return found;
        // Pressed, not handed in: the form itself is wanted.
        if (!isHandedIn(fields)) return correctionForm(found);
        const changes = Math.min(since ?? found.changes, found.changes);
        const outcome = await handIn(db, found, await shownThen(db, found, changes, call), fields, call);
        const isSaved = outcome.kind !== 'refusal' && !isQuestion(outcome);
        return isSaved ? outcome : offerAgain(db, outcome, { number: found.number, changes, fields }, call);
      },
    }),
    'batch.again': handler({
      audience: 'only you',
      args: z.tuple([key]),
      async press([id], _fields, call) {
        const handedIn = await findHandedIn(db, id, call);
        if ('kind' in handedIn) return handedIn;
        const { number, changes, fields } = handedIn;
        const found = await findOwn(db, number, call);
        if ('kind' in found) return found;
        return formAgain(number, changes, await shownThen(db, found, changes, call), fields);
      },
    }),
  };
}

/** No batch is corrected as often. */
const MOST_CHANGES = 1_000_000;

const isHandedIn = (fields: Given): boolean => Object.keys(fields).length > 0;

async function handIn(db: Records, found: Batch, shown: Shown, fields: Given, call: Call): Promise<Outcome> {
  const changed = changedFields(shown, fields);
  const read = parseOptions(HANDED_IN, changed);
  if (!read.ok) return refuseUnreadable(read.problems);
  const cleared = clearedIn(changed);
  if ('problems' in cleared) return refuseUnreadable(cleared.problems);
  return weigh(db, correctedFacts(found, read.values, cleared.names), found, call);
}

/** What the form showed when it was filled in, after so many corrections; others may have followed. */
async function shownThen(db: Records, found: Batch, changes: number, call: Call): Promise<Shown> {
  if (!(changes < found.changes)) return found;
  const history = await batchHistory(db, call.community, found.number);
  return shownBy(history[changes]?.before) ?? found;
}
