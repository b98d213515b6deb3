import { actionId, button } from '../chat/action.js';
import { type Call, ifReadable } from '../chat/call.js';
import { type Refusal, type Reply, refusal, reply, type ShownCaution } from '../chat/reply.js';
import { standingOf, standingWords } from '../findings/standing.js';
import { communityZone } from '../records/communities.js';
import type { Records } from '../records/database.js';
import { cautionShown } from '../safety/choose.js';
import { tellsOfAccident, toldIn } from '../safety/note-signs.js';
import { weightWords } from '../words/amounts.js';
import { dayWords } from '../words/moments.js';
import { batchHistory, type Change } from './enter.js';
import type { Batch } from './find.js';
import { batchFigures, batchTitle, changedWords, factLines, historyLines, oneLineAbout } from './words.js';

/** Everything about one batch, with what it said before it was corrected. */
export async function describeWhole(db: Records, found: Batch, call: Call): Promise<Reply> {
  const [standing, history, zone] = await Promise.all([
    standingOf(db, call.community, found),
    batchHistory(db, call.community, found.number),
    communityZone(db, call.community),
  ]);
  return reply({
    title: batchTitle(found),
    lines: [
      `Logged by: ${found.memberName}`,
      ...factLines(found, zone),
      standingWords(found, standing),
      ...historyLines(history, zone),
    ],
    figures: {
      ...batchFigures(found),
      waterMl: found.waterMl ?? null,
      minutes: found.minutes ?? null,
      changes: history.length,
    },
  });
}

export async function describeLogged(db: Records, stored: Batch, zone: string, call: Call): Promise<Reply> {
  const standing = await ifReadable(standingOf(db, call.community, stored), call);
  return reply({
    title: batchTitle(stored),
    lines: [
      `${weightWords(stored.tallowG)} of tallow from ${weightWords(stored.fatG)} of fat, logged by ${stored.memberName}.`,
      ...(tellsOfAccident(stored.note ?? '') ? [ACCIDENT] : []),
      ...dayUnlessToday(stored, zone, call),
      standing
        ? standingWords(stored, standing)
        : `How it stands could not be read just now; /batch show number:${stored.number} tells it later.`,
      `If a number is wrong: /batch correct number:${stored.number}`,
    ],
    caution: cautionOf(stored),
    figures: {
      ...batchFigures(stored),
      ...(standing && {
        othersYield: standing.pooledYield,
        othersBatches: standing.batches,
        othersMembers: standing.members,
      }),
    },
  });
}

const ACCIDENT = 'Your note tells of an accident: /burn and /fire say what to do.';

/** What its note calls for; else what to know of storing, another thing for each batch in turn. */
function cautionOf({ method, cut, note = '', number }: Batch): ShownCaution {
  const told = toldIn(note);
  return told === undefined
    ? cautionShown({ method, cut, activity: 'store' }, undefined, number)
    : cautionShown({ method, cut, activity: told });
}

/** The day a batch was weighed, where it is another than today and so may have been misread. */
function dayUnlessToday({ finishedAt }: Batch, zone: string, call: Call): readonly string[] {
  const day = dayWords(finishedAt, zone);
  return day === dayWords(call.now, zone) ? [] : [`Weighed on ${day}.`];
}

/** A correction, or that there was none to make. */
export function describeCorrected(batch: Batch, change: Change | undefined, zone: string, call: Call): Reply {
  const figures = { ...batchFigures(batch), changes: batch.changes };
  if (!change) {
    const unchanged = describeToCook(`Batch ${batch.number} stays as it is`, batch, [
      'That changes nothing in it, so no correction was recorded.',
    ]);
    return { ...unchanged, figures };
  }
  return reply({
    title: `Batch ${batch.number} is corrected`,
    lines: [
      oneLineAbout(batch),
      ...changedWords(change, zone),
      ...dayUnlessToday(batch, zone, call),
      `What it said before is kept: /batch show number:${batch.number}`,
    ],
    figures,
  });
}

/** What only the one who asked needs to know of a batch of which nothing was stored. */
export const describeToCook = (title: string, batch: Batch, lines: readonly string[] = []): Reply =>
  reply({
    title,
    audience: 'only you',
    lines: [oneLineAbout(batch), ...lines],
    figures: batchFigures(batch),
  });

export const refuseChanged = (number: number): Refusal =>
  refusal(
    `Batch ${number} was changed meanwhile`,
    'It was corrected after you began. Look at it as it is now.',
    [button('Correct it', actionId('batch.correct', number), 'main')],
  );
