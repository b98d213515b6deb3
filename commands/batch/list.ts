import type { Call } from '../../src/chat/call.js';
import { subcommand } from '../../src/chat/command.js';
import type { ValuesOf } from '../../src/chat/option.js';
import { choice } from '../../src/chat/options.js';
import { type Reply, reply } from '../../src/chat/reply.js';
import * as option from '../../src/kitchen/options.js';
import { type Batch, listBatches } from '../../src/records/batches.js';
import type { Records } from '../../src/records/database.js';
import { countWords, percentWords, weightWords } from '../../src/words/amount-words.js';
import { yieldOf } from './figures.js';
import { nameInTable } from './words.js';

const MOST_LISTED = 20;

const OPTIONS = {
  whose: choice({
    description: 'Whose batches',
    required: false,
    choices: [
      { value: 'everyone', label: 'Everyone’s' },
      { value: 'mine', label: 'Mine' },
    ],
  }),
  method: option.method(false),
  cut: option.cut(false),
} as const;

/** `/batch list`: the newest batches, a line each. */
export function listSubcommand(db: Records) {
  return subcommand({
    description: 'The newest batches',
    options: OPTIONS,
    async run(asked, call) {
      const { whose, method, cut } = asked;
      const member = whose === 'mine' ? call.member.id : undefined;
      const { batches, total } = await listBatches(db, call.community, { member, method, cut }, MOST_LISTED);
      if (batches.length === 0) return describeNone(db, asked, call);
      return reply({
        title:
          batches.length < total
            ? `The newest ${batches.length} of ${total} batches`
            : countWords(total, 'batch', 'batches'),
        lines: ['Details: /batch show number:…'],
        table: tableOf(batches),
        figures: { batches: total, shown: batches.length, numbers: batches.map(({ number }) => number) },
      });
    },
  });
}

/** Nothing of what was asked for; only where there is nothing at all does it speak of the first batch. */
async function describeNone(
  db: Records,
  { whose, method, cut }: ValuesOf<typeof OPTIONS>,
  call: Call,
): Promise<Reply> {
  const { total } = await listBatches(db, call.community, {}, 1);
  const kinds = [method, cut].filter((kind) => kind !== undefined);
  const kind = kinds.length === 0 ? '' : `${kinds.join(', ')} `;
  return reply({
    title: total === 0 ? 'No batches yet' : `No ${kind}batches ${whose === 'mine' ? 'of yours ' : ''}yet`,
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
