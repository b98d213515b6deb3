import type { Call } from '../../src/chat/call.js';
import { subcommand } from '../../src/chat/command.js';
import { type Reply, reply } from '../../src/chat/reply.js';
import { standingOf, standingWords } from '../../src/findings/standing.js';
import { batchHistory } from '../../src/records/batch-changes.js';
import { type Batch, findBatch } from '../../src/records/batches.js';
import { communityZone } from '../../src/records/communities.js';
import type { Records } from '../../src/records/database.js';
import { dayWords, minutesWords, volumeWords, weightWords } from '../../src/words/amount-words.js';
import { cutLabel, methodLabel } from '../../src/words/methods.js';
import { batchNumber, suggestNumbers } from './batch-number.js';
import { batchFigures } from './figures.js';
import { historyLines } from './history-words.js';
import { noSuchBatch } from './own-batch.js';
import { batchTitle } from './words.js';

/** `/batch show`: everything about one batch, with what it said before it was corrected. */
export function showSubcommand(db: Records) {
  return subcommand({
    description: 'Everything about one batch',
    options: { number: batchNumber('Which batch') },
    async run({ number }, call) {
      const found = await findBatch(db, call.community, number);
      return found ? describe(db, found, call) : noSuchBatch(number);
    },
    suggest: suggestNumbers(db, 'everyone'),
  });
}

async function describe(db: Records, found: Batch, call: Call): Promise<Reply> {
  const [standing, history, zone] = await Promise.all([
    standingOf(db, call.community, found),
    batchHistory(db, call.community, found.number),
    communityZone(db, call.community),
  ]);
  return reply({
    title: batchTitle(found),
    lines: [...factLines(found, zone), standingWords(found, standing), ...historyLines(history, zone)],
    figures: {
      ...batchFigures(found),
      waterMl: found.waterMl ?? null,
      minutes: found.minutes ?? null,
      changes: history.length,
    },
  });
}

function factLines(found: Batch, zone: string): readonly string[] {
  const facts: readonly (readonly [name: string, words: string | undefined])[] = [
    ['Logged by', found.memberName],
    ['Day', dayWords(found.finishedAt, zone)],
    ['Method', methodLabel(found.method)],
    ['Cut', cutLabel(found.cut)],
    ['Raw fat', weightWords(found.fatG)],
    ['Tallow', weightWords(found.tallowG)],
    ['Weighed as', found.weighedAs],
    ['Water', found.waterMl === undefined ? undefined : volumeWords(found.waterMl)],
    ['Water left', found.waterLeftMl === undefined ? undefined : volumeWords(found.waterLeftMl)],
    ['Time', found.minutes === undefined ? undefined : minutesWords(found.minutes)],
    ['Taste', found.taste.length > 0 ? found.taste.join(', ') : undefined],
    ['Note', found.note],
  ];
  return facts.flatMap(([name, words]) => (words === undefined ? [] : [`${name}: ${words}`]));
}
