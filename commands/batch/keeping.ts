import type { Call } from '../../src/chat/call.js';
import type { Outcome } from '../../src/chat/command.js';
import { ifReadable } from '../../src/chat/if-readable.js';
import { type Reply, reply } from '../../src/chat/reply.js';
import { type Standing, standingOf, standingWords } from '../../src/findings/standing.js';
import { correctBatch, type RecordedChange } from '../../src/records/batch-changes.js';
import { type Batch, type BatchFacts, findBatch, logBatch } from '../../src/records/batches.js';
import { communityZone } from '../../src/records/communities.js';
import type { Records } from '../../src/records/database.js';
import { shownCautions } from '../../src/safety/cautions-shown.js';
import { weightWords } from '../../src/words/amount-words.js';
import { batchFigures } from './figures.js';
import { changedWords } from './history-words.js';
import { layAside, type Weighed } from './laid-aside.js';
import { mergedFacts } from './merged-facts.js';
import { changeBy, noSuchBatch } from './own-batch.js';
import { askWhetherAnother } from './twin.js';
import { dayUnlessToday } from './weighing-day.js';
import { batchTitle, oneLineAbout } from './words.js';

/** What the one who weighed it has said to questions about it. */
export interface Answered {
  /** Under what it was laid aside for them. */
  readonly laidAside?: string;
  /** That it is another than the batch it looks like. */
  readonly isAnother?: boolean;
}

/** Writes down what was weighed and says so, or asks about a twin; the same request or draft writes it once. */
export async function keep(
  db: Records,
  weighed: Weighed,
  call: Call,
  answered: Answered = {},
): Promise<Outcome> {
  const { number, facts, found = facts } = weighed;
  const { laidAside } = answered;
  const entry = laidAside === undefined ? call : { ...call, interaction: interactionOf(laidAside) };
  return number === undefined
    ? keepNew(db, weighed, entry, answered)
    : keepCorrected(db, number, (now) => mergedFacts(now, found, facts), entry);
}

/** What stands for the request where what was laid aside is kept: pressing twice keeps it once. */
export const interactionOf = (laidAside: string): string => `draft-${laidAside}`;

async function keepNew(
  db: Records,
  weighed: Weighed,
  call: Call,
  { laidAside, isAnother = false }: Answered,
): Promise<Outcome> {
  const { community, member, interaction, now } = call;
  const { facts } = weighed;
  const zone = await communityZone(db, community);
  const logged = await logBatch(db, { community, member, interaction, now, facts, evenIfTwin: isAnother });
  if (logged.kind === 'twin') {
    const id = laidAside ?? (await layAside(db, weighed, call));
    return askWhetherAnother(logged.twin, facts, id, now);
  }
  const number = logged.kind === 'logged' ? logged.batch.number : logged.number;
  call.saved(`Batch ${number} is saved`);
  const stored = logged.kind === 'logged' ? logged.batch : await findBatch(db, community, number);
  return stored ? describeLogged(db, stored, zone, call) : noSuchBatch(number);
}

async function keepCorrected(
  db: Records,
  number: number,
  facts: (now: Batch) => BatchFacts,
  call: Call,
): Promise<Outcome> {
  const zone = await communityZone(db, call.community);
  const correction = await correctBatch(db, changeBy(call, number), facts);
  if (!correction) return noSuchBatch(number);
  const { batch: corrected, recorded } = correction;
  if (!recorded) return describeUnchanged(corrected);
  call.saved(`Batch ${number} is corrected`);
  return describeCorrected(corrected, recorded, zone, call);
}

async function describeLogged(db: Records, stored: Batch, zone: string, call: Call): Promise<Reply> {
  const standing = await ifReadable(standingOf(db, call.community, stored), call);
  return reply({
    title: batchTitle(stored),
    lines: [
      `${weightWords(stored.tallowG)} of tallow from ${weightWords(stored.fatG)} of fat, logged by ${stored.memberName}.`,
      ...dayUnlessToday(stored, zone, call),
      standing
        ? standingWords(stored, standing)
        : `How it stands could not be read just now; /batch show number:${stored.number} tells it later.`,
      `If a number is wrong: /batch correct number:${stored.number}`,
    ],
    cautions: shownCautions({ method: stored.method, cut: stored.cut, activity: 'store' }).slice(0, 1),
    figures: { ...batchFigures(stored), ...(standing ? standingFigures(standing) : {}) },
  });
}

const standingFigures = ({ pooledYield, batches, members }: Standing) => ({
  othersYield: pooledYield,
  othersBatches: batches,
  othersMembers: members,
});

function describeCorrected(corrected: Batch, recorded: RecordedChange, zone: string, call: Call): Reply {
  return reply({
    title: `Batch ${corrected.number} is corrected`,
    lines: [
      oneLineAbout(corrected),
      ...changedWords(recorded, zone),
      ...dayUnlessToday(corrected, zone, call),
      `What it said before is kept: /batch show number:${corrected.number}`,
    ],
    figures: { ...batchFigures(corrected), changes: corrected.changes },
  });
}

/** Says to the one who pressed again that it was kept the first time. */
export async function describeKept(db: Records, number: number, call: Call): Promise<Outcome> {
  call.saved(`Batch ${number} is saved`);
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
