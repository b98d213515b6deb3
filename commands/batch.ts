import { z } from 'zod';
import { actionId, button } from '../src/chat/action.js';
import type { Call } from '../src/chat/call.js';
import { command, deed, formOf, type Handler, type Outcome, refuseUnreadable } from '../src/chat/command.js';
import { type Choice, type Option, parsed, parseOptions, unreadable } from '../src/chat/option.js';
import { choice, wholeNumber, words } from '../src/chat/options.js';
import { type Refusal, type Reply, refusal, reply } from '../src/chat/reply.js';
import { readPastDay } from '../src/chat/when.js';
import { batchHistory, correctBatch, removeBatch } from '../src/records/batch-changes.js';
import { type Batch, type BatchFacts, findBatch, listBatches, logBatch } from '../src/records/batches.js';
import { communityZone } from '../src/records/communities.js';
import type { Records } from '../src/records/database.js';
import { findDraft, saveDraft } from '../src/records/drafts.js';
import { CUTS, cutLabel, isCut, isMethod, METHODS, methodLabel } from '../src/trade/methods.js';
import { plausibilityOf } from '../src/trade/tallow.js';
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

const TASTES = ['clean', 'beefy', 'fried', 'smoky', 'sour', 'gritty'] as const;
const MOST_LISTED = 20;
const NEWEST_SUGGESTED = 25;
const tasteWords: Option<readonly string[], false> = {
  description: `How it tastes: ${TASTES.join(', ')}`,
  required: false,
  entry: { kind: 'text', maxLength: 80 },
  example: 'clean, beefy',
  suggests: false,
  parse: (text) => {
    const named = text
      .toLowerCase()
      .split(/[\s,;]+/)
      .filter((word) => word !== '' && word !== 'and');
    const stranger = named.find((word) => !TASTES.some((taste) => taste === word));
    if (stranger !== undefined)
      return unreadable(`“${stranger.slice(0, 30)}” is not one of ${TASTES.join(', ')}.`);
    return parsed([...new Set(named)]);
  },
};

const details = {
  water: option.waterVolume('Water it started with'),
  minutes: option.minutes(),
  'water-left': option.waterVolume('Water left at the end'),
  'weighed-as': choice({
    description: 'The tallow when it was weighed',
    required: false,
    choices: [
      { value: 'disc', label: 'The chilled disc, scraped' },
      { value: 're-melted', label: 'Re-melted and dried' },
    ],
  }),
  date: words({
    description: 'The day it was weighed; today unless said',
    required: false,
    maxLength: 40,
    example: 'yesterday',
  }),
  taste: tasteWords,
  note: words({
    description: 'Anything worth remembering',
    required: false,
    maxLength: 300,
    example: 'brisket trim',
  }),
} as const;

const batchNumber = (description: string) =>
  wholeNumber({ description, required: true, least: 1, most: 100_000_000, example: '17', suggests: true });

/** What fits into a dialog of five fields. */
const formFields = {
  fat: option.fatWeight(true),
  tallow: option.tallowWeight(true),
  minutes: option.minutes('How long it rendered'),
  taste: { ...details.taste, description: 'How it tastes', example: TASTES.join(', ') },
  note: details.note,
} as const;

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
    const corrected = await correctBatch(db, { ...change(number, call), interaction }, () => facts);
    return corrected ? describeCorrected(corrected) : noSuchBatch(number);
  }

  /** Refuses what no fat can give, asks about what trimmings rarely give, keeps the rest. */
  async function weigh(facts: BatchFacts, number: number | undefined, call: Call): Promise<Outcome> {
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
    const standing = await standingOf(db, call.community, stored);
    return reply({
      title: `Batch ${stored.number}: ${percentWords(stored.tallowG / stored.fatG)}`,
      lines: [
        `${weightWords(stored.tallowG)} of tallow from ${weightWords(stored.fatG)} of fat, logged by ${stored.memberName}.`,
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
      const read = parseOptions(formFields, fields);
      if (!read.ok) return refuseUnreadable(read.problems);
      const { fat, tallow, minutes, taste, note } = read.values;
      return weigh(
        { ...found, fatG: fat, tallowG: tallow, minutes, taste: taste ?? [], note },
        found.number,
        call,
      );
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
          fat: formFields.fat,
          tallow: formFields.tallow,
          method: option.method(true),
          cut: option.cut(true),
          ...details,
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
          if (batches.length === 0) {
            return reply({
              title: 'No batches yet',
              lines: ['Log the first one with /batch log.'],
              figures: { batches: 0 },
            });
          }
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
          ...details,
        },
        async run(values, call) {
          const found = await findOwn(db, values.number, call);
          if ('kind' in found) return found;
          const { number: _number, ...changes } = values;
          if (Object.values(changes).every((value) => value === undefined)) return correctionForm(found);
          const finishedAt =
            values.date === undefined ? { at: found.finishedAt } : await readDate(db, values.date, call);
          if ('kind' in finishedAt) return finishedAt;
          return weigh(
            {
              method: values.method ?? found.method,
              cut: values.cut ?? found.cut,
              fatG: values.fat ?? found.fatG,
              tallowG: values.tallow ?? found.tallowG,
              waterMl: values.water ?? found.waterMl,
              waterLeftMl: values['water-left'] ?? found.waterLeftMl,
              minutes: values.minutes ?? found.minutes,
              weighedAs: values['weighed-as'] ?? found.weighedAs,
              taste: values.taste ?? found.taste,
              note: values.note ?? found.note,
              finishedAt: finishedAt.at,
            },
            found.number,
            call,
          );
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

async function readDate(
  db: Records,
  text: string | undefined,
  call: Call,
): Promise<{ readonly at: Date } | Refusal> {
  if (text === undefined) return { at: call.now };
  const read = readPastDay(text, call.now, await communityZone(db, call.community));
  return read.ok ? { at: read.value } : refuseUnreadable([`date: ${read.problem}`]);
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

function correctionForm(found: Batch): Outcome {
  return formOf(actionId('batch.correct', found.number), `Correct batch ${found.number}`, formFields, {
    fat: `${trimmed(found.fatG)} g`,
    tallow: `${trimmed(found.tallowG)} g`,
    minutes: found.minutes === undefined ? undefined : `${trimmed(found.minutes)} min`,
    taste: found.taste.length > 0 ? found.taste.join(', ') : undefined,
    note: found.note,
  });
}

const trimmed = (value: number): string => String(Number(value.toFixed(1)));

function describeCorrected(corrected: Batch): Reply {
  return reply({
    title: `Batch ${corrected.number} is corrected`,
    lines: [oneLineAbout(corrected), `What it said before is kept: /batch show number:${corrected.number}`],
    figures: {
      batch: corrected.number,
      fatG: corrected.fatG,
      tallowG: corrected.tallowG,
      yield: corrected.tallowG / corrected.fatG,
      changes: corrected.changes,
    },
  });
}

async function describe(db: Records, found: Batch, call: Call): Promise<Reply> {
  const [standing, history] = await Promise.all([
    standingOf(db, call.community, found),
    batchHistory(db, call.community, found.number),
  ]);
  const rows: readonly (readonly [string, string | undefined])[] = [
    ['Logged by', found.memberName],
    ['Day', dayWords(found.finishedAt, await communityZone(db, call.community))],
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
      ...history.flatMap(({ before, after }) => changedWords(before, after)).map((words) => `· ${words}`),
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

const CHANGED: readonly (readonly [column: string, name: string, words: (value: unknown) => string])[] = [
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
  ['finished_at', 'day', (value) => (typeof value === 'string' ? value.slice(0, 10) : 'none')],
];

function changedWords(
  before: Readonly<Record<string, unknown>>,
  after: Readonly<Record<string, unknown>>,
): readonly string[] {
  return CHANGED.filter(([column]) => JSON.stringify(before[column]) !== JSON.stringify(after[column])).map(
    ([column, name, words]) => `${name}: ${words(before[column])} → ${words(after[column])}`,
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
