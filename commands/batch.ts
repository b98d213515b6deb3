import { command } from '../src/chat/command.js';
import type { Records } from '../src/records/database.js';
import { answerHandlers } from './batch/answers.js';
import { correctDeed, correctHandlers } from './batch/correct.js';
import { listDeed } from './batch/list.js';
import { logDeed } from './batch/log.js';
import { removeDeed } from './batch/remove.js';
import { showDeed } from './batch/show.js';

/** `/batch`: log, list, show, correct and remove what was cooked. */
export function batch(db: Records) {
  return command({
    name: 'batch',
    description: 'Log, list, show, correct or remove batches',
    where: 'server',
    deeds: {
      log: logDeed(db),
      list: listDeed(db),
      show: showDeed(db),
      correct: correctDeed(db),
      remove: removeDeed(db),
    },
    handlers: { ...answerHandlers(db), ...correctHandlers(db) },
  });
}
