import { clear, correct, correctHandlers, correctionForm } from '../src/batches/correct.js';
import { changeBatch } from '../src/batches/enter.js';
import { CORRECTIONS, EVERY_FIELD, factsOf, OPTIONS } from '../src/batches/facts.js';
import {
  type Batch,
  batchNumber,
  findBatch,
  findOwn,
  listBatches,
  noSuchBatch,
  suggestNumbers,
} from '../src/batches/find.js';
import { date } from '../src/batches/options.js';
import { describeWhole } from '../src/batches/replies.js';
import { answerHandlers, readWeighingDay, weigh } from '../src/batches/weigh.js';
import { nameInTable, oneLineAbout, yieldOf } from '../src/batches/words.js';
import type { Call } from '../src/chat/call.js';
import { command, subcommand } from '../src/chat/command.js';
import { choice, optional } from '../src/chat/options.js';
import { isRefusal, type Reply, reply } from '../src/chat/reply.js';
import type { Records } from '../src/records/database.js';
import { weightWords } from '../src/words/amounts.js';
import { countWords } from '../src/words/lists.js';
import { percentWords } from '../src/words/yield-words.js';

/** `/batch`: log, list, show, correct and remove what was cooked. */
export function batch(db: Records) {
  return command({
    name: 'batch',
    description: 'Log, list, show, correct or remove batches',
    where: 'server',
    subcommands: {
      log: subcommand({
        description: 'Log a finished batch: its yield and how it stands',
        stores: true,
        options: OPTIONS,
        async run(values, call) {
          const day = await readWeighingDay(db, values.date, call);
          return isRefusal(day) ? day : weigh(db, { facts: factsOf({ ...values, date: day }) }, call);
        },
      }),
      list: subcommand({
        description: 'The newest batches',
        options: {
          whose: whose(),
          ...Object.fromEntries(NARROWING.map(({ name, option }) => [name, optional(option)])),
        },
        run: (values, call) => list(db, values, call),
      }),
      show: subcommand({
        description: 'Everything about one batch',
        options: { number: batchNumber() },
        async run({ number }, call) {
          const found = await findBatch(db, call.community, number);
          return found ? describeWhole(db, found, call) : noSuchBatch(number);
        },
        suggest: suggestNumbers(db, 'everyone'),
      }),
      correct: subcommand({
        description: 'Correct a batch; what was there before is kept',
        stores: true,
        options: {
          number: batchNumber(),
          ...CORRECTIONS,
          date: date('The day it was weighed'),
          clear: clear(),
        },
        async run({ number, clear, ...values }, call, given) {
          const found = await findOwn(db, number, call);
          if (isRefusal(found)) return found;
          if (Object.keys(given).every((name) => name === 'number')) return correctionForm(found);
          const day = await readWeighingDay(db, values.date, call, found);
          if (isRefusal(day)) return day;
          const said = { ...values, date: day };
          return correct(db, { found, since: found.changes, said, given, clear }, call);
        },
        suggest: suggestNumbers(db, 'own'),
      }),
      remove: subcommand({
        description: 'Take a batch out of every list and figure',
        stores: true,
        options: { number: batchNumber() },
        async run({ number }, call) {
          const found = await findOwn(db, number, call);
          if (isRefusal(found)) return found;
          await changeBatch(db, call, number, 'removed');
          call.saved(`Batch ${number} is removed`);
          return reply({
            title: `Batch ${number} is removed`,
            lines: [`${oneLineAbout(found)} no longer counts anywhere. Its number stays taken.`],
            figures: { batch: number },
          });
        },
        suggest: suggestNumbers(db, 'own'),
      }),
    },
    handlers: { ...answerHandlers(db), ...correctHandlers(db) },
  });
}

const MOST_LISTED = 20;

const NARROWING = EVERY_FIELD.filter(({ narrows }) => narrows);

const whose = () =>
  choice({
    description: 'Whose batches',
    required: false,
    choices: [
      { value: 'everyone', label: 'Everyone’s' },
      { value: 'mine', label: 'Mine' },
    ],
  });

/** The newest batches, a line each. */
async function list(db: Records, asked: { readonly [option: string]: unknown }, call: Call): Promise<Reply> {
  const isMine = asked.whose === 'mine';
  const narrowed = NARROWING.filter(({ name }) => asked[name] !== undefined);
  const { batches, total } = await listBatches(
    db,
    call.community,
    {
      member: isMine ? call.member.id : undefined,
      columns: Object.fromEntries(narrowed.map(({ name, column }) => [column, asked[name]])),
    },
    MOST_LISTED,
  );
  if (batches.length === 0) {
    const kinds = narrowed.map(({ name }) => asked[name]).join(', ');
    return describeNone(db, `${kinds && `${kinds} `}batches ${isMine ? 'of yours ' : ''}`, call);
  }
  return reply({
    title:
      batches.length < total
        ? `The newest ${batches.length} of ${total} batches`
        : countWords(total, 'batch', 'batches'),
    lines: ['Details: /batch show number:…'],
    table: tableOf(batches),
    figures: { batches: total, shown: batches.length, numbers: batches.map(({ number }) => number) },
  });
}

/** None of what was asked for; only where there is nothing at all does it speak of the first batch. */
async function describeNone(db: Records, asked: string, call: Call): Promise<Reply> {
  const { total } = await listBatches(db, call.community, {}, 1);
  return reply({
    title: total === 0 ? 'No batches yet' : `No ${asked}yet`,
    lines:
      total === 0
        ? ['Log the first one with /batch log.']
        : [`${countWords(total, 'batch is', 'batches are')} on record in all: /batch list`],
    figures: { batches: 0 },
  });
}

function tableOf(batches: readonly Batch[]) {
  return {
    columns: [
      { title: 'No.', align: 'right' },
      { title: 'Cook', align: 'left' },
      { title: 'Method', align: 'left' },
      { title: 'Cut', align: 'left' },
      { title: 'Fat', align: 'right' },
      { title: 'Yield', align: 'right' },
    ],
    rows: batches.map((one) => [
      String(one.number),
      nameInTable(one.memberName),
      one.method,
      one.cut,
      weightWords(one.fatG, 'metric'),
      percentWords(yieldOf(one)),
    ]),
  } as const;
}
