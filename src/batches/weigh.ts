import { z } from 'zod';
import { actionId, button, key, readActionId } from '../chat/action.js';
import type { Call } from '../chat/call.js';
import { type Handler, handler, type Outcome, outOfDate, refuseUnreadable } from '../chat/command.js';
import { isRefusal, type Refusal, type Reply, refusal, reply } from '../chat/reply.js';
import { readPastDay } from '../chat/when.js';
import { FAT_CONTENT, plausibilityOf } from '../cooking/blends/tallow.js';
import { communityZone } from '../records/communities.js';
import type { Records } from '../records/database.js';
import { weightWords } from '../words/amounts.js';
import { countWords } from '../words/lists.js';
import { cutLabel, methodLabel } from '../words/methods.js';
import { dayWords } from '../words/moments.js';
import { percentWords } from '../words/yield-words.js';
import { findLaidAside, layAside, type Weighed } from './drafts.js';
import { changeBatch, findTwin, logBatch, type Twin } from './enter.js';
import type { BatchFacts } from './fields.js';
import { type Batch, batchNumberIn, findBatch, noSuchBatch } from './find.js';
import { describeCorrected, describeLogged, describeToCook, refuseChanged } from './replies.js';
import { yieldOf } from './words.js';

/** Refuses what no fat can give, asks about what trimmings rarely give, much or little, keeps the rest. */
export async function weigh(db: Records, weighed: Weighed, call: Call): Promise<Outcome> {
  const { facts } = weighed;
  const plausibility = plausibilityOf(facts.fatG, facts.tallowG, facts.kind ?? undefined);
  switch (plausibility) {
    case 'impossible':
    case 'not positive':
      return refuseImpossible(facts);
    case 'plausible':
      return keep(db, weighed, call);
    case 'unlikely':
    case 'scant': {
      // Doubtful weights that were kept a moment ago are not doubted again.
      const twin = weighed.corrects ? undefined : await findTwin(db, call, facts);
      const id = await layAside(db, weighed, call);
      return twin ? askWhetherAnother(twin, facts, id, call.now) : askWhetherRight(facts, plausibility, id);
    }
  }
}

function refuseImpossible(facts: BatchFacts): Refusal {
  return refusal(
    'More tallow than fat can hold',
    `${weightWords(facts.tallowG)} of tallow from ${weightWords(facts.fatG)} of fat would be ${percentWords(yieldOf(facts))}; no raw fat holds more than about ${percentWords(FAT_CONTENT.suet.typical)}. Weigh the raw fat before rendering and the tallow after drying, then log both.`,
  );
}

/** The one who weighed it may say that doubtful weights are right, or that it is another batch, or the same. */
const KEEP = 'batch.keep';
const ANOTHER = 'batch.another';
const SAME = 'batch.same';

function askWhetherRight(facts: BatchFacts, doubt: 'unlikely' | 'scant', id: string): Reply {
  const { fatG, tallowG } = facts;
  const weights = `${weightWords(tallowG)} from ${weightWords(fatG)}`;
  const doubts = {
    scant: {
      lines: [
        `${weights} is less than half of what even cubed fat gives (12 % and more).`,
        'Most often a weight was mistyped or is in the wrong unit. Nothing is saved yet.',
        'If both weights are right, for example with lean meat, keep it.',
      ],
      source: 'Common practice, no source: what fat gives by its cut',
    },
    unlikely: {
      lines: [
        `${weights} is more than trimmings usually hold (about ${percentWords(FAT_CONTENT.trimmings.typical)}).`,
        'Most often the disc was still wet, or a weight was mistyped. Nothing is saved yet.',
        'If both weights are right, for example with clean suet, keep it.',
      ],
      source: 'Separable fat and suet, raw: USDA, Standard Reference',
    },
  };
  return reply({
    title: `${percentWords(yieldOf(facts))}: is that right?`,
    audience: 'only you',
    lines: doubts[doubt].lines,
    sources: [doubts[doubt].source],
    actions: [button('Keep it', actionId(KEEP, id), 'main')],
    figures: { fatG, tallowG, yield: yieldOf(facts) },
  });
}

/** Whether an outcome is that question, so that nothing is saved yet. */
export const isQuestion = (outcome: Outcome): boolean =>
  outcome.kind === 'reply' && outcome.actions.some(({ id }) => readActionId(id)?.name === KEEP);

function askWhetherAnother(twin: Twin, facts: BatchFacts, id: string, now: Date): Reply {
  const minutes = Math.max(0, Math.floor((now.getTime() - twin.loggedAt.getTime()) / 60_000));
  const ago = minutes === 0 ? 'just now' : `${countWords(minutes, 'minute', 'minutes')} ago`;
  return reply({
    title: `Looks like batch ${twin.number}, logged ${ago}. Log it again?`,
    audience: 'only you',
    lines: [
      `${weightWords(facts.tallowG)} from ${weightWords(facts.fatG)}, ${methodLabel(facts.method)}, ${cutLabel(facts.cut).toLowerCase()}: the same cook, weights, method and cut.`,
      'Nothing more is saved yet. Log it again only if you cooked two alike.',
    ],
    actions: [
      button('Log it again', actionId(ANOTHER, id)),
      button('It is the same', actionId(SAME, id, twin.number), 'main'),
    ],
    figures: { twinOf: twin.number, loggedMinutesAgo: minutes },
  });
}

/** The draft that a question was answered about, and whether the answer was that it is another batch. */
interface Answered {
  readonly draft: string;
  readonly isAnother: boolean;
}

/** Stores what was weighed and says so, or asks about a twin; the same request or draft stores it once. */
export async function keep(db: Records, weighed: Weighed, call: Call, answered?: Answered): Promise<Outcome> {
  const entry = answered ? { ...call, interaction: `draft-${answered.draft}` } : call;
  const zone = await communityZone(db, call.community);
  if (weighed.corrects) {
    const { number, since } = weighed.corrects;
    const changed = await changeBatch(db, entry, number, { facts: weighed.facts, since });
    if (!changed) return noSuchBatch(number);
    if (changed === 'changed meanwhile') return refuseChanged(number);
    const { batch, change, isRepeated } = changed;
    if (change) call.saved(`Batch ${number} is corrected`);
    return answered && isRepeated ? describeKept(batch) : describeCorrected(batch, change, zone, call);
  }
  const logged = await logBatch(db, entry, weighed.facts, answered?.isAnother ?? false);
  if (logged.kind === 'twin') {
    const id = answered?.draft ?? (await layAside(db, weighed, call));
    return askWhetherAnother(logged.twin, weighed.facts, id, call.now);
  }
  const { number, batch, isRepeated } = logged;
  call.saved(`Batch ${number} is saved`);
  if (!batch) return noSuchBatch(number);
  return answered && isRepeated ? describeKept(batch) : describeLogged(db, batch, zone, call);
}

/** Said to the one who pressed again. */
const describeKept = (batch: Batch): Reply => describeToCook(`Batch ${batch.number} is kept already`, batch);

/** The buttons that answer a question about what was weighed: “Keep it”, “Log it again”, “It is the same”. */
export function answerHandlers(db: Records): { readonly [action: string]: Handler } {
  const keeping = (isAnother: boolean): Handler =>
    handler({
      audience: 'everyone',
      stores: true,
      args: z.tuple([key]),
      async press([draft], _fields, call) {
        const weighed = await findLaidAside(db, draft, call);
        return isRefusal(weighed) ? weighed : keep(db, weighed, call, { draft, isAnother });
      },
    });
  return {
    [KEEP]: keeping(false),
    [ANOTHER]: keeping(true),
    [SAME]: handler({
      audience: 'only you',
      args: z.tuple([key, batchNumberIn]),
      async press([draft, number], _fields, call) {
        const weighed = await findLaidAside(db, draft, call);
        if (isRefusal(weighed)) return weighed;
        const twin = await findBatch(db, call.community, number);
        return twin ? describeSame(twin) : outOfDate();
      },
    }),
  };
}

const describeSame = (twin: Batch): Reply => ({
  ...describeToCook(`It stays at batch ${twin.number}`, twin, [
    `Nothing more was saved. If a number is wrong: /batch correct number:${twin.number}`,
  ]),
  figures: { batch: twin.number },
});

/** The moment that stands for the day that was typed; the one it had `before` where the day is the same. */
export async function readWeighingDay(
  db: Records,
  text: string | undefined,
  call: Call,
  before?: Batch,
): Promise<Date | Refusal> {
  if (text === undefined) return before?.finishedAt ?? call.now;
  const zone = await communityZone(db, call.community);
  const read = readPastDay(text, call.now, zone, 'log a batch once it is weighed');
  if (!read.ok) return refuseUnreadable([`date: ${read.problem}`]);
  const isSameDay = before !== undefined && dayWords(before.finishedAt, zone) === dayWords(read.value, zone);
  return isSameDay ? before.finishedAt : read.value;
}
