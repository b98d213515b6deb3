import { subcommand } from '../../src/chat/command.js';
import { reply } from '../../src/chat/reply.js';
import { removeBatch } from '../../src/records/batch-changes.js';
import type { Records } from '../../src/records/database.js';
import { batchNumber, suggestNumbers } from './batch-number.js';
import { changeBy, findOwn } from './own-batch.js';
import { oneLineAbout } from './words.js';

/** `/batch remove`: takes a batch out of every list and figure; its number stays taken. */
export function removeSubcommand(db: Records) {
  return subcommand({
    description: 'Take a batch out of every list and figure',
    stores: true,
    options: { number: batchNumber('Which batch') },
    async run({ number }, call) {
      const found = await findOwn(db, number, call);
      if ('kind' in found) return found;
      await removeBatch(db, changeBy(call, number));
      call.saved(`Batch ${number} is removed`);
      return reply({
        title: `Batch ${number} is removed`,
        lines: [`${oneLineAbout(found)} no longer counts anywhere. Its number stays taken.`],
        figures: { batch: number },
      });
    },
    suggest: suggestNumbers(db, 'own'),
  });
}
