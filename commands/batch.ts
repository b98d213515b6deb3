import { DateTime } from 'luxon';
import { z } from 'zod';
import { actionId, button } from '../src/chat/action.js';
import type { Call } from '../src/chat/call.js';
import { command, deed, type Handler, type Outcome, refuseUnreadable } from '../src/chat/command.js';
import { type Choice, parseOptions } from '../src/chat/option.js';
import { choice, wholeNumber } from '../src/chat/options.js';
import { type Refusal, type Reply, refusal, reply } from '../src/chat/reply.js';
import { readPastDay } from '../src/chat/when.js';
import { batchHistory, correctBatch, removeBatch } from '../src/records/batch-changes.js';
import { type Batch, type BatchFacts, findBatch, listBatches, logBatch } from '../src/records/batches.js';
import { communityZone } from '../src/records/communities.js';
import type { Records } from '../src/records/database.js';
import { findDraft, saveDraft } from '../src/records/drafts.js';
import {
  CUTS,
  type Cut,
  cutLabel,
  isCut,
  isMethod,
  METHODS,
  type Method,
  methodLabel,
} from '../src/trade/methods.js';
import { plausibilityOf } from '../src/trade/tallow.js';
import {
  changedFields,
  clear,
  clearedIn,
  correctedFacts,
  correctionForm,
  HANDED_IN,
} from './batch/correction.js';
import { BATCH_DETAILS } from './batch/options.js';
import { shownCautions } from './shared/cautions-shown.js';
import * as option from './shared/options.js';
import { standingOf, standingWords } from './shared/standing.js';
import {
  countWords,
  dayWords,
  minutesWords,
  percentWords,
  volumeWords,
  weightWords,
} from './shared/words.js';

const MOST_LISTED = 20;
const NEWEST_SUGGESTED = 25;

const batchNumber = (description: string) =>
  wholeNumber({ description, required: true, least: 1, most: 100_000_000, example: '17', suggests: true });

const storedFacts = z.object({
  method: z.enum(METHODS.map(({ value }) => value)),
  cut: z.enum(CUTS.map(({ value }) => value)),
  fatG: z.number(),
  tallowG: z.number(),
  waterMl: z.number().optional(),
  waterLeftMl: z.number().optional(),
  minutes: z.number().optional(),
  weighedAs: z.enum(['disc', 're-melted']).optional(),
  taste: z.array(z.string()),
  note: z.string().optional(),
  finishedAt: z.iso.datetime().transform((text) => new Date(text)),
});
const draftBody = z.object({ number: z.number().optional(), facts: storedFacts });

/** `/batch`: log, list, show, correct and remove what was cooked. */
export function batch(db: Records) {
  async function keep(
    facts: BatchFacts,
    number: number | undefined,
    interaction: string,
    call: Call,
  ): Promise<Outcome> {
    if (number === undefined) {
      const { community, member, now } = call;
      const logged = await logBatch(db, { community, member, interaction, now, facts });
      const stored = await findBatch(db, community, logged);
      return stored ? describeLogged(stored, call) : noSuchBatch(logged);
    }
    const correction = await correctBatch(db, { ...change(number, call), interaction }, () => facts);
    if (!correction) return noSuchBatch(number);
    const { batch: corrected, isRecorded } = correction;
    return isRecorded ? describeCorrected(db, corrected, call) : describeUnchanged(corrected);
  }

  /**
   * Refuses what no fat can give, asks about what trimmings rarely give, keeps the rest. Weights that a batch had
   * `before` were asked about then.
   */
  async function weigh(facts: BatchFacts, before: Batch | undefined, call: Call): Promise<Outcome> {
    const number = before?.number;
    if (before && before.fatG === facts.fatG && before.tallowG === facts.tallowG)
      return keep(facts, number, call.interaction, call);
    const share = facts.tallowG / facts.fatG;
    const plausibility = plausibilityOf(facts.fatG, facts.tallowG);
    if (plausibility === 'impossible' || plausibility === 'not positive') {
      return refusal(
        'More tallow than fat can hold',
        `${weightWords(facts.tallowG)} of tallow from ${weightWords(facts.fatG)} of fat would be ${percentWords(share)}; no raw fat holds more than about 94 %. Weigh the raw fat before rendering and the tallow after drying, then log both.`,
      );
    }
    if (plausibility === 'plausible') return keep(facts, number, call.interaction, call);
    await saveDraft(db, {
      community: call.community,
      id: call.interaction,
      memberId: call.member.id,
      body: { number, facts },
      now: call.now,
    });
    return reply({
      title: `${percentWords(share)}: is that right?`,
      audience: 'only you',
      lines: [
        `${weightWords(facts.tallowG)} from ${weightWords(facts.fatG)} is more than trimmings usually hold (about 71 %).`,
        'Most often the disc was still wet, or a weight was mistyped. Nothing is saved yet.',
        'If both weights are right, for example with clean suet, keep it.',
      ],
      sources: ['Separable fat and suet, raw: USDA, Standard Reference'],
      actions: [button('Keep it', actionId('batch.keep', call.interaction), 'main')],
      figures: { fatG: facts.fatG, tallowG: facts.tallowG, yield: share },
    });
  }

  async function describeLogged(stored: Batch, call: Call): Promise<Reply> {
    const [standing, dayLines] = await Promise.all([
      standingOf(db, call.community, stored),
      dayUnlessToday(db, stored, call),
    ]);
    return reply({
      title: `Batch ${stored.number}: ${percentWords(stored.tallowG / stored.fatG)}`,
      lines: [
        `${weightWords(stored.tallowG)} of tallow from ${weightWords(stored.fatG)} of fat, logged by ${stored.memberName}.`,
        ...dayLines,
        standingWords(stored, standing),
        `If a number is wrong: /batch correct number:${stored.number}`,
      ],
      cautions: shownCautions({ method: stored.method, cut: stored.cut, activity: 'store' }).slice(0, 1),
      figures: {
        batch: stored.number,
        fatG: stored.fatG,
        tallowG: stored.tallowG,
        yield: stored.tallowG / stored.fatG,
        othersYield: standing.pooledYield,
        othersBatches: standing.batches,
        othersMembers: standing.members,
      },
    });
  }

  const keepDraft: Handler = {
    who: 'anyone',
    audience: 'everyone',
    async press([id = ''], _fields, call) {
      const draft = await findDraft(db, call.community, id);
      const body = draftBody.safeParse(draft?.body);
      if (!draft || !body.success) {
        return refusal('That is too long ago', 'Log the batch again with /batch log.');
      }
      if (draft.memberId !== call.member.id) {
        return refusal('Not your batch', 'Only the one who weighed it can keep it.');
      }
      // The draft, not the press, names the batch: pressing twice keeps it once.
      return keep(factsOf(body.data.facts), body.data.number, `draft-${id}`, call);
    },
  };

  const handInCorrection: Handler = {
    who: 'anyone',
    audience: 'everyone',
    async press([number = ''], fields, call) {
      const found = await findOwn(db, Number(number), call);
      if ('kind' in found) return found;
      // Pressed, not handed in: the form itself is wanted.
      if (Object.keys(fields).length === 0) return correctionForm(found);
      const changed = changedFields(found, fields);
      const read = parseOptions(HANDED_IN, changed);
      if (!read.ok) return refuseUnreadable(read.problems);
      const cleared = clearedIn(changed);
      if ('problems' in cleared) return refuseUnreadable(cleared.problems);
      return weigh(correctedFacts(found, read.values, cleared.names), found, call);
    },
  };

  const suggestNumbers =
    (whose: 'mine' | 'everyone') =>
    async (typed: string, call: Call): Promise<readonly Choice[]> => {
      const { batches } = await listBatches(
        db,
        call.community,
        { member: whose === 'mine' && !call.member.mayManage ? call.member.id : undefined },
        NEWEST_SUGGESTED * 4,
      );
      return batches
        .filter(({ number }) => String(number).startsWith(typed.trim().replace(/^#/, '')))
        .slice(0, NEWEST_SUGGESTED)
        .map((one) => ({ value: String(one.number), label: oneLineAbout(one) }));
    };

  return command({
    name: 'batch',
    description: 'Log, list, show, correct or remove batches',
    where: 'server',
    deeds: {
      log: deed({
        description: 'Log a finished batch: its yield and how it stands',
        options: {
          fat: option.fatWeight(true),
          tallow: option.tallowWeight(true),
          method: option.method(true),
          cut: option.cut(true),
          ...BATCH_DETAILS,
        },
        async run(values, call) {
          const finishedAt = await readDate(db, values.date, call);
          if ('kind' in finishedAt) return finishedAt;
          return weigh(
            {
              method: values.method,
              cut: values.cut,
              fatG: values.fat,
              tallowG: values.tallow,
              waterMl: values.water,
              waterLeftMl: values['water-left'],
              minutes: values.minutes,
              weighedAs: values['weighed-as'],
              taste: values.taste ?? [],
              note: values.note,
              finishedAt: finishedAt.at,
            },
            undefined,
            call,
          );
        },
      }),

      list: deed({
        description: 'The newest batches',
        options: {
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
        },
        async run({ whose, method, cut }, call) {
          const member = whose === 'mine' ? call.member.id : undefined;
          const { batches, total } = await listBatches(
            db,
            call.community,
            { member, method, cut },
            MOST_LISTED,
          );
          if (batches.length === 0) return describeNone(db, { whose, method, cut }, call);
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
      }),

      show: deed({
        description: 'Everything about one batch',
        options: { number: batchNumber('Which batch') },
        async run({ number }, call) {
          const found = await findBatch(db, call.community, number);
          return found ? describe(db, found, call) : noSuchBatch(number);
        },
        suggest: (_option, typed, _given, call) => suggestNumbers('everyone')(typed, call),
      }),

      correct: deed({
        description: 'Correct a batch; what was there before is kept',
        options: {
          number: batchNumber('Which batch'),
          fat: option.fatWeight(false),
          tallow: option.tallowWeight(false),
          method: option.method(false),
          cut: option.cut(false),
          ...BATCH_DETAILS,
          date: { ...BATCH_DETAILS.date, description: 'The day it was weighed' },
          clear: clear(),
        },
        async run(values, call, given) {
          const found = await findOwn(db, values.number, call);
          if ('kind' in found) return found;
          if (Object.keys(given).every((name) => name === 'number')) return correctionForm(found);
          const cleared = clearedIn(given, values.clear);
          if ('problems' in cleared) return refuseUnreadable(cleared.problems);
          const { date, ...said } = values;
          const day = date === undefined ? { at: found.finishedAt } : await readDate(db, date, call, found);
          if ('kind' in day) return day;
          return weigh(correctedFacts(found, { ...said, finishedAt: day.at }, cleared.names), found, call);
        },
        suggest: (_option, typed, _given, call) => suggestNumbers('mine')(typed, call),
      }),

      remove: deed({
        description: 'Take a batch out of every list and figure',
        options: { number: batchNumber('Which batch') },
        async run({ number }, call) {
          const found = await findOwn(db, number, call);
          if ('kind' in found) return found;
          await removeBatch(db, change(number, call));
          return reply({
            title: `Batch ${number} is removed`,
            lines: [`${oneLineAbout(found)} no longer counts anywhere. Its number stays taken.`],
            figures: { batch: number },
          });
        },
        suggest: (_option, typed, _given, call) => suggestNumbers('mine')(typed, call),
      }),
    },
    handlers: { 'batch.keep': keepDraft, 'batch.correct': handInCorrection },
  });
}

const change = (number: number, call: Call) => ({
  community: call.community,
  number,
  changedBy: call.member.id,
  interaction: call.interaction,
  now: call.now,
});

function noSuchBatch(number: number): Refusal {
  return refusal('No such batch', `There is no batch ${number} here. /batch list shows the newest.`);
}

/** A batch that the caller may change, or why not. */
async function findOwn(db: Records, number: number, call: Call): Promise<Batch | Refusal> {
  const found = await findBatch(db, call.community, number);
  if (!found) return noSuchBatch(number);
  if (found.memberId === call.member.id || call.member.mayManage) return found;
  return refusal(
    'Not your batch',
    `Batch ${number} was logged by ${found.memberName}. They, or somebody who may manage the community, can change it.`,
  );
}

const LOG_LATER = 'log a batch once it is weighed';

/** The moment that stands for the day; the one it had `before` where the day is the same. */
async function readDate(
  db: Records,
  text: string | undefined,
  call: Call,
  before?: Batch,
): Promise<{ readonly at: Date } | Refusal> {
  if (text === undefined) return { at: call.now };
  const zone = await communityZone(db, call.community);
  const read = readPastDay(text, call.now, zone, LOG_LATER);
  if (!read.ok) return refuseUnreadable([`date: ${read.problem}`]);
  const isSameDay = before !== undefined && dayWords(before.finishedAt, zone) === dayWords(read.value, zone);
  return { at: isSameDay ? before.finishedAt : read.value };
}

/** Fields that were left out of a draft's JSON come back as absent; the facts name them. */
function factsOf(stored: z.output<typeof storedFacts>): BatchFacts {
  return {
    ...stored,
    waterMl: stored.waterMl,
    waterLeftMl: stored.waterLeftMl,
    minutes: stored.minutes,
    weighedAs: stored.weighedAs,
    note: stored.note,
  };
}

async function describeCorrected(db: Records, corrected: Batch, call: Call): Promise<Reply> {
  return reply({
    title: `Batch ${corrected.number} is corrected`,
    lines: [
      oneLineAbout(corrected),
      ...(await dayUnlessToday(db, corrected, call)),
      `What it said before is kept: /batch show number:${corrected.number}`,
    ],
    figures: correctionFigures(corrected),
  });
}

function describeUnchanged(batch: Batch): Reply {
  return reply({
    title: `Batch ${batch.number} stays as it is`,
    lines: [oneLineAbout(batch), 'It says all that already, so no correction was recorded.'],
    figures: correctionFigures(batch),
  });
}

const correctionFigures = ({ number, fatG, tallowG, changes }: Batch) => ({
  batch: number,
  fatG,
  tallowG,
  yield: tallowG / fatG,
  changes,
});

/** The day a batch was weighed, where it is another than today and so may have been misread. */
async function dayUnlessToday(db: Records, { finishedAt }: Batch, call: Call): Promise<readonly string[]> {
  const zone = await communityZone(db, call.community);
  const day = dayWords(finishedAt, zone);
  return day === dayWords(call.now, zone) ? [] : [`Weighed on ${day}.`];
}

interface Listed {
  readonly whose: 'everyone' | 'mine' | undefined;
  readonly method: Method | undefined;
  readonly cut: Cut | undefined;
}

/** Nothing of what was asked for; only where there is nothing at all does it speak of the first batch. */
async function describeNone(db: Records, { whose, method, cut }: Listed, call: Call): Promise<Reply> {
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

async function describe(db: Records, found: Batch, call: Call): Promise<Reply> {
  const [standing, history, zone] = await Promise.all([
    standingOf(db, call.community, found),
    batchHistory(db, call.community, found.number),
    communityZone(db, call.community),
  ]);
  const rows: readonly (readonly [string, string | undefined])[] = [
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
  return reply({
    title: `Batch ${found.number}: ${percentWords(found.tallowG / found.fatG)}`,
    lines: [
      ...rows.flatMap(([name, value]) => (value === undefined ? [] : [`${name}: ${value}`])),
      standingWords(found, standing),
      ...(history.length > 0
        ? [`Corrected ${history.length === 1 ? 'once' : `${history.length} times`}:`]
        : []),
      ...history
        .flatMap(({ before, after }) => changedWords(before, after, zone))
        .map((words) => `· ${words}`),
    ],
    figures: {
      batch: found.number,
      fatG: found.fatG,
      tallowG: found.tallowG,
      yield: found.tallowG / found.fatG,
      waterMl: found.waterMl ?? null,
      minutes: found.minutes ?? null,
      changes: history.length,
    },
  });
}

const CHANGED: readonly (readonly [
  column: string,
  name: string,
  words: (value: unknown, zone: string) => string,
])[] = [
  ['fat_g', 'raw fat', (value) => (typeof value === 'number' ? weightWords(value) : 'none')],
  ['tallow_g', 'tallow', (value) => (typeof value === 'number' ? weightWords(value) : 'none')],
  ['water_ml', 'water', (value) => (typeof value === 'number' ? volumeWords(value) : 'none')],
  ['water_left_ml', 'water left', (value) => (typeof value === 'number' ? volumeWords(value) : 'none')],
  ['minutes', 'time', (value) => (typeof value === 'number' ? minutesWords(value) : 'none')],
  ['method', 'method', (value) => (isMethod(value) ? methodLabel(value) : 'none')],
  ['cut', 'cut', (value) => (isCut(value) ? cutLabel(value) : 'none')],
  ['weighed_as', 'weighed as', (value) => (typeof value === 'string' ? value : 'not said')],
  ['taste', 'taste', (value) => (Array.isArray(value) && value.length > 0 ? value.join(', ') : 'not said')],
  ['note', 'note', (value) => (typeof value === 'string' ? `“${value}”` : 'none')],
  ['finished_at', 'day', (value, zone) => (typeof value === 'string' ? isoDay(value, zone) : 'none')],
];

const isoDay = (moment: string, zone: string): string =>
  DateTime.fromISO(moment, { zone }).toISODate() ?? 'none';

function changedWords(
  before: Readonly<Record<string, unknown>>,
  after: Readonly<Record<string, unknown>>,
  zone: string,
): readonly string[] {
  return CHANGED.filter(([column]) => JSON.stringify(before[column]) !== JSON.stringify(after[column])).map(
    ([column, name, words]) => `${name}: ${words(before[column], zone)} → ${words(after[column], zone)}`,
  );
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
      one.memberName,
      one.method,
      one.cut,
      weightWords(one.fatG, 'metric'),
      percentWords(one.tallowG / one.fatG),
    ]),
  } as const;
}

function oneLineAbout(one: Batch): string {
  return `Batch ${one.number}: ${one.memberName}, ${methodLabel(one.method)}, ${cutLabel(one.cut).toLowerCase()}, ${percentWords(one.tallowG / one.fatG)}`.slice(
    0,
    100,
  );
}
