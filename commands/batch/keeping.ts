import type { Call } from '../../src/chat/call.js';
import type { Outcome } from '../../src/chat/command.js';
import { type Reply, reply } from '../../src/chat/reply.js';
import { batchHistory, correctBatch } from '../../src/records/batch-changes.js';
import { type Batch, type BatchFacts, findBatch, logBatch } from '../../src/records/batches.js';
import { communityZone } from '../../src/records/communities.js';
import type { Records } from '../../src/records/database.js';
import { shownCautions } from '../shared/cautions-shown.js';
import { standingOf, standingWords } from '../shared/standing.js';
import { weightWords } from '../shared/words.js';
import { batchFigures } from './figures.js';
import { changedWords } from './history-words.js';
import { mergedFacts } from './merged-facts.js';
import { changeBy, noSuchBatch } from './own-batch.js';
import { dayUnlessToday } from './weighing-day.js';
import { batchTitle, oneLineAbout } from './words.js';

/** What was weighed: a new batch, or the batch with a number as it should have been. */
export interface Weighed {
  readonly number: number | undefined;
  readonly facts: BatchFacts;
  /** As the batch was found when it was corrected. */
  readonly found: BatchFacts | undefined;
}

/** Writes down what was weighed and says so; the same interaction writes it once. */
export async function keep(db: Records, weighed: Weighed, call: Call): Promise<Outcome> {
  const { number, facts, found = facts } = weighed;
  return number === undefined
    ? keepNew(db, facts, call)
    : keepCorrected(db, number, (now) => mergedFacts(now, found, facts), call);
}

async function keepNew(db: Records, facts: BatchFacts, call: Call): Promise<Outcome> {
  const { community, member, interaction, now } = call;
  const number = await logBatch(db, { community, member, interaction, now, facts });
  const stored = await findBatch(db, community, number);
  return stored ? describeLogged(db, stored, call) : noSuchBatch(number);
}

async function keepCorrected(
  db: Records,
  number: number,
  facts: (now: Batch) => BatchFacts,
  call: Call,
): Promise<Outcome> {
  const correction = await correctBatch(db, changeBy(call, number), facts);
  if (!correction) return noSuchBatch(number);
  const { batch: corrected, isRecorded } = correction;
  return isRecorded ? describeCorrected(db, corrected, call) : describeUnchanged(corrected);
}

async function describeLogged(db: Records, stored: Batch, call: Call): Promise<Reply> {
  const [standing, dayLines] = await Promise.all([
    standingOf(db, call.community, stored),
    dayUnlessToday(db, stored, call),
  ]);
  return reply({
    title: batchTitle(stored),
    lines: [
      `${weightWords(stored.tallowG)} of tallow from ${weightWords(stored.fatG)} of fat, logged by ${stored.memberName}.`,
      ...dayLines,
      standingWords(stored, standing),
      `If a number is wrong: /batch correct number:${stored.number}`,
    ],
    cautions: shownCautions({ method: stored.method, cut: stored.cut, activity: 'store' }).slice(0, 1),
    figures: {
      ...batchFigures(stored),
      othersYield: standing.pooledYield,
      othersBatches: standing.batches,
      othersMembers: standing.members,
    },
  });
}

async function describeCorrected(db: Records, corrected: Batch, call: Call): Promise<Reply> {
  const [history, zone] = await Promise.all([
    batchHistory(db, call.community, corrected.number),
    communityZone(db, call.community),
  ]);
  // This one; others may have followed already.
  const changes = history
    .slice(corrected.changes - 1, corrected.changes)
    .flatMap((recorded) => changedWords(recorded, zone));
  return reply({
    title: `Batch ${corrected.number} is corrected`,
    lines: [
      oneLineAbout(corrected),
      ...changes,
      ...(await dayUnlessToday(db, corrected, call)),
      `What it said before is kept: /batch show number:${corrected.number}`,
    ],
    figures: { ...batchFigures(corrected), changes: corrected.changes },
  });
}

/** Says to the one who pressed again that it was kept the first time. */
export async function describeKept(db: Records, number: number, call: Call): Promise<Outcome> {
  const stored = await findBatch(db, call.community, number);
  if (!stored) return noSuchBatch(number);
  return reply({
    title: `Batch ${number} is kept already`,
    audience: 'only you',
    lines: [oneLineAbout(stored)],
    figures: batchFigures(stored),
  });
}

function describeUnchanged(batch: Batch): Reply {
  return reply({
    title: `Batch ${batch.number} stays as it is`,
    audience: 'only you',
    lines: [oneLineAbout(batch), 'That changes nothing in it, so no correction was recorded.'],
    figures: { ...batchFigures(batch), changes: batch.changes },
  });
}
