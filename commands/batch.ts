import { command } from '../src/chat/command.js';
import type { Records } from '../src/records/database.js';
import { answerHandlers } from './batch/answers.js';
import { correctHandlers, correctSubcommand } from './batch/correct.js';
import { listSubcommand } from './batch/list.js';
import { logSubcommand } from './batch/log.js';
import { removeSubcommand } from './batch/remove.js';
import { showSubcommand } from './batch/show.js';

/** `/batch`: log, list, show, correct and remove what was cooked. */
export function batch(db: Records) {
  return command({
    name: 'batch',
    description: 'Log, list, show, correct or remove batches',
    where: 'server',
    subcommands: {
      log: logSubcommand(db),
      list: listSubcommand(db),
      show: showSubcommand(db),
      correct: correctSubcommand(db),
      remove: removeSubcommand(db),
    },
    handlers: { ...answerHandlers(db), ...correctHandlers(db) },
  });
}
