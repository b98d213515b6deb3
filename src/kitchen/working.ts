import { z } from 'zod';
import { actionId, button } from '../chat/action.js';
import type { Call } from '../chat/call.js';
import { type Handler, handler, type Outcome, type Work } from '../chat/command.js';
import { type Action, type Refusal, type Reply, refusal, reply } from '../chat/reply.js';
import {
  type Calculation,
  type Origin,
  sourcesOfWorking,
  type WorkingInput,
  workingOf,
} from '../cooking/working.js';
import type { Records } from '../records/database.js';
import { findDraft, saveDraft } from '../records/drafts.js';
import { briefCitation, type SourceId, sourceOf, weightiestFirst } from '../safety/sources.js';
import type { Asked } from './asked.js';
import { draftPart, packed, packedIn } from './packed-asked.js';

/** One calculation of an answer, under a name. */
export interface Part {
  readonly title: string;
  readonly calculation: Calculation;
  /** The command whose working shows it too, so that it may be left out of a long one. */
  readonly alsoIn?: string;
}

/** A reply and how it came about. */
export interface Answer {
  readonly kind: 'answer';
  readonly reply: Reply;
  readonly inputs: readonly WorkingInput[];
  readonly parts: readonly Part[];
}

export type Answering = (asked: Asked, call: Call) => Answer | Refusal | Promise<Answer | Refusal>;

export interface ShowingWork {
  /** Answers with a button that shows the working. */
  say(asked: Asked, call: Call): Promise<Outcome>;
  readonly handlers: { readonly [action: string]: Handler };
}

/** Gives every answer of a kind its button “Show the working”; the button carries what was asked. `takes`: to answer again. */
export function showingWork(
  db: Records,
  name: string,
  answering: Answering,
  takes: Work = 'quick',
): ShowingWork {
  const action = `${name}.working`;
  return {
    async say(asked, call) {
      const answer = await answering(asked, call);
      if (answer.kind === 'refusal') return answer;
      const shown = await workingButton(db, action, asked, call);
      return { ...answer.reply, actions: [...answer.reply.actions, shown] };
    },
    handlers: {
      [action]: handler({
        audience: 'only you',
        work: takes,
        args: packedIn,
        async press(read, _fields, call) {
          const asked = read.kind === 'asked' ? read.asked : await askedInDraft(db, read.id, call);
          if ('text' in asked) return asked;
          const answer = await answering(asked, call);
          return answer.kind === 'refusal' ? answer : workingReply(answer);
        },
      }),
    },
  };
}

/** Each source and bracket costs a little more on its way to a message, which holds about 4,096 and 6,000 characters. */
const MOST_IN_LINES = 3850;
const MOST_IN_ALL = 5700;

function workingReply({ reply: { title }, inputs, parts }: Answer): Reply {
  const elsewhere = parts.filter(({ alsoIn }) => alsoIn !== undefined).reverse();
  for (let leftOut = 0; ; leftOut++) {
    const without = elsewhere.slice(0, leftOut);
    const shown = workingOfParts(
      title,
      inputs,
      parts.filter((part) => !without.includes(part)),
      without,
    );
    if (leftOut === elsewhere.length || fits(shown)) return shown;
  }
}

function fits({ title, lines, sources }: Reply): boolean {
  const inLines = lines.join(' ').length;
  return inLines <= MOST_IN_LINES && title.length + inLines + sources.join('; ').length <= MOST_IN_ALL;
}

function workingOfParts(
  title: string,
  inputs: readonly WorkingInput[],
  parts: readonly Part[],
  leftOut: readonly Part[],
): Reply {
  const known = weightiestFirst(parts.flatMap(({ calculation }) => sourcesOfWorking(calculation))).filter(
    (id) => !isPractice(id),
  );
  const mark = (ids: readonly SourceId[]) => {
    const marks = ids.map((id) => (isPractice(id) ? 'common practice' : String(known.indexOf(id) + 1)));
    return marks.length === 0 ? '' : ` [${[...new Set(marks)].join(', ')}]`;
  };
  const told = new Set<string>();
  const lines = parts.flatMap(({ title: part, calculation }) => {
    const { formula, constants, assumptions, steps } = workingOf(part, [], calculation);
    const fresh = assumptions.filter(({ text }) => !told.has(text));
    for (const { text } of fresh) told.add(text);
    const given = constants.map((one) => `${figureWords(one)}${mark([one.source])}`);
    const freshlyGiven = given.filter((words) => !told.has(words));
    for (const words of freshlyGiven) told.add(words);
    return [
      `${part}: ${formula}.`,
      ...(freshlyGiven.length === 0 ? [] : [`Given: ${freshlyGiven.join('; ')}.`]),
      ...(fresh.length === 0
        ? []
        : [`Assumed: ${fresh.map(({ text, sources }) => `${text}${mark(sources)}`).join(' ')}`]),
      `So: ${steps.map(figureWords).join('; ')}.`,
    ];
  });
  const [first] = leftOut;
  const missing =
    first === undefined
      ? []
      : [
          `Left out for want of room: ${leftOut.map((part) => part.title.toLowerCase()).join(', ')}. ${first.alsoIn} shows that for the same amounts.`,
        ];
  return reply({
    title: `The working: ${title}`,
    audience: 'only you',
    lines: [...inputLines(inputs), ...lines, ...missing],
    sources: known.map((id, at) => `[${at + 1}] ${briefCitation(id)}`),
    figures: Object.fromEntries(
      parts.map(({ title: part, calculation }) => [
        part,
        Object.fromEntries(calculation.steps.map(({ name, value }) => [name, value])),
      ]),
    ),
  });
}

// Others than who asked may press the button, so nobody is called “you”.
const ORIGINS: Readonly<Record<Origin, string>> = {
  'you said': 'Said',
  'your kit': 'From the kit',
  'your settings': 'From the settings',
  'this community': 'From this community',
  assumed: 'Assumed, as nothing was said',
};

/** Every input in the line of those that came from the same place. */
function inputLines(inputs: readonly WorkingInput[]): readonly string[] {
  return Object.entries(ORIGINS).flatMap(([origin, words]) => {
    const those = inputs.filter((input) => input.origin === origin);
    return those.length === 0 ? [] : [`${words}: ${those.map(figureWords).join('; ')}.`];
  });
}

const isPractice = (id: SourceId): boolean => sourceOf(id).known === 'common practice, no source';

function figureWords({
  name,
  value,
  unit,
}: {
  readonly name: string;
  readonly value: number | string;
  readonly unit: string;
}): string {
  return `${name} ${typeof value === 'number' ? shortNumber(value) : value}${unit === '' ? '' : ` ${unit}`}`;
}

/** Four digits, never in powers of ten. */
function shortNumber(value: number): string {
  if (Number.isInteger(value) || Math.abs(value) >= 1000) return String(Math.round(value));
  return String(Number(value.toPrecision(4)));
}

const LABEL = 'Show the working';

/** What comes from the cook's kit is theirs, and an id can be read by all: the button names a draft then. */
async function workingButton(db: Records, action: string, asked: Asked, call: Call): Promise<Action> {
  const parts = packed(asked);
  const fits = [action, ...parts].join('|').length <= MOST_PACKED;
  if (fits && !usesKit(asked)) return button(LABEL, actionId(action, ...parts));
  // A request delivered twice draws up the same draft twice.
  const id = `working-${call.interaction}`;
  await saveDraft(db, {
    community: call.community,
    id,
    memberId: call.member.id,
    body: asked,
    now: call.now,
  });
  return button(LABEL, actionId(action, draftPart(id)));
}

/** What fits into an id besides its version. */
const MOST_PACKED = 96;

const usesKit = ({ kit }: Asked): boolean => Object.keys(kit).length > 0;

const texts = z.record(z.string(), z.string());
const draftBody = z.object({
  said: texts,
  kit: texts,
  measured: z.array(
    z.object({
      waterMl: z.number().nonnegative(),
      waterLeftMl: z.number().nonnegative(),
      minutes: z.number().positive(),
    }),
  ),
  share: z
    .object({
      low: z.number(),
      expected: z.number(),
      high: z.number(),
      trust: z.number(),
      batches: z.number(),
      members: z.number(),
      ownBatches: z.number(),
      isBeyond: z.boolean().default(false),
    })
    .optional(),
  atMs: z.number().optional(),
});

async function askedInDraft(db: Records, id: string, call: Call): Promise<Asked | Refusal> {
  const draft = await findDraft(db, call.community, id);
  const body = draftBody.safeParse(draft?.body);
  if (!draft || !body.success) return refusal('That is too long ago', 'Ask again with the command.');
  const asked = { ...body.data, share: body.data.share, atMs: body.data.atMs };
  return usesKit(asked) && draft.memberId !== call.member.id
    ? refusal(
        'Only for whoever asked',
        'It was worked out with the kit of the cook who asked, and shows what is in it. Ask with the command to see the working with yours.',
      )
    : asked;
}
