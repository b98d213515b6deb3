import { allCommands } from '../../../commands/index.js';
import type { Origin } from '../../../src/chat/call.js';
import type { Answer } from '../../../src/chat/command.js';
import { type Conversation, converse, type Request } from '../../../src/chat/dispatch.js';
import { startSession } from '../../../src/console/session.js';
import type { Records } from '../../../src/records/database.js';
import { anyChannel } from '../talk.js';
import { type Random, randomOf } from './random.js';
import { anyRequest, lineOf, type Repertoire, repertoireOf } from './requests.js';
import { anything } from './texts.js';
import { writeWatch } from './write-watch.js';
import { astrayIn, wrongsIn, wrongsOfText } from './wrongs.js';

/** What a conversation with hostile people came to. */
export interface HostileConversation {
  readonly requests: number;
  readonly refused: number;
  readonly stored: number;
  /** The longest that one request kept the processor busy, without those that draw pictures. */
  readonly longestMs: number;
  /** What was wrong, each with the request that met it. */
  readonly wrongs: readonly string[];
}

export interface Limits {
  /** Of work for one answer, in milliseconds: longer than this it may not keep everybody else waiting. */
  readonly mostMs: number;
  isOver(requests: number): boolean;
}

const MOST_WRONGS = 20;
/** Ids to press that are remembered. */
const MOST_SEEN = 300;
const BEGIN = Date.UTC(2026, 10, 25, 18);

/** The words in a name that its owner alone may read. */
const SECRETS = ['Quillwort', 'Bistort', 'Fennelroot'] as const;

/**
 * Answers requests that are made up from what real ones look like. Everything follows from `seed`, but for how long it
 * takes.
 */
export async function hostileConversation(
  db: Records,
  seed: number,
  { mostMs, isOver }: Limits,
): Promise<HostileConversation> {
  const random = randomOf(seed);
  const met: Meeting = { faults: [], written: [] };
  const watched = db.withPlugin(writeWatch((table) => met.written.push(table)));
  const conversation = converse(allCommands(watched), (error) => met.faults.push(error));
  const people = peopleOf(seed);
  const stage: Stage = {
    conversation,
    repertoire: repertoireOf(conversation.commands),
    met,
    random,
    seen: [],
    kept: new Set(),
    mostMs,
  };
  await settle(stage, people);

  let requests = 0;
  let refused = 0;
  let stored = 0;
  let longestMs = 0;
  const wrongs: string[] = [];
  while (!isOver(requests) && wrongs.length < MOST_WRONGS) {
    requests++;
    const origin = originOf(whoAsks(people, random), requests, seed, random);
    const turn = await take(stage, origin);
    if (turn.answer?.kind === 'refusal') refused++;
    if (turn.written.length > 0) stored++;
    if (!turn.drewPicture) longestMs = Math.max(longestMs, turn.busyMs);
    wrongs.push(...turn.wrongs.map((wrong) => `request ${requests} of seed ${seed}, ${turn.said}: ${wrong}`));
  }
  return { requests, refused, stored, longestMs, wrongs };
}

interface Meeting {
  readonly faults: unknown[];
  /** The tables that were written to since the last request. */
  readonly written: string[];
}

interface Stage {
  readonly conversation: Conversation;
  readonly repertoire: Repertoire;
  readonly met: Meeting;
  readonly random: Random;
  readonly seen: string[];
  /** What may have been kept of what somebody typed, and may be shown again. */
  readonly kept: Set<string>;
  readonly mostMs: number;
}

type Person = Pick<Origin, 'member' | 'community' | 'where'> & { readonly secret: string };

function peopleOf(seed: number): readonly Person[] {
  const community = `hostile-${seed}`;
  return SECRETS.flatMap((secret, at): readonly Person[] => {
    const member = { id: `member-${at}`, name: `Cook ${at}`, mayManage: at === 0 };
    return [
      { secret, member, community, where: 'server' },
      { secret, member, community: `${community}-elsewhere`, where: 'server' },
      { secret, member, community: `dm-${seed}-${at}`, where: 'direct' },
    ];
  });
}

/** Mostly those of one community, so that they meet what others of it were shown. */
const whoAsks = (people: readonly Person[], random: Random): Person =>
  random.pick(
    random.chance(0.7) ? people.filter(({ community }) => community === people[0]?.community) : people,
  );

function originOf(person: Person, request: number, seed: number, random: Random): Origin & Person {
  return {
    ...person,
    member: random.chance(0.05) ? { ...person.member, name: anything(random) } : person.member,
    channel: 'rendering',
    interaction: `${seed}-${request}`,
    now: new Date(BEGIN + request * 60_000),
    platform: random.chance(0.5) ? anyChannel : { ...anyChannel, losesForms: true },
    application: 'terminal',
  };
}

/** A kit and some batches for everybody, and every command once, so that what is measured later is warm. */
async function settle({ conversation, repertoire, random }: Stage, people: readonly Person[]): Promise<void> {
  const answer = (request: Request, person: Person, at: number) =>
    conversation.answer(request, originOf(person, -at, 0, random));
  for (const [at, person] of people.entries()) {
    const vessel = `${person.secret} pot`;
    const kit = { vessel, capacity: '12 qt', price: '0.4321', burner: '1800 W', altitude: '5280 ft' };
    await answer({ kind: 'command', path: ['kit', 'add'], given: kit }, person, 1000 * at);
    const batch = {
      fat: '2 kg',
      tallow: `${900 + 10 * at} g`,
      method: 'oven',
      cut: 'ground',
      minutes: '3 h',
    };
    for (const twice of [1, 2])
      await answer({ kind: 'command', path: ['batch', 'log'], given: batch }, person, 1000 * at + twice);
  }
  const [manager] = people;
  if (manager === undefined) return;
  for (const [at, { path, subcommand }] of repertoire.subcommands.entries()) {
    const required = Object.entries(subcommand.options).filter(([, option]) => option.required);
    const given = Object.fromEntries(required.map(([name, option]) => [name, option.example]));
    if (path.join(' ') !== 'batch remove') await answer({ kind: 'command', path, given }, manager, 500 + at);
  }
}

interface Turn {
  readonly said: string;
  readonly answer: Answer | undefined;
  readonly written: readonly string[];
  readonly wrongs: readonly string[];
  readonly busyMs: number;
  readonly drewPicture: boolean;
}

/** One request, handed in as an adapter does or typed as a line, and what was wrong with how it was met. */
async function take(stage: Stage, origin: Origin & Person): Promise<Turn> {
  const { met, random, repertoire, seen } = stage;
  met.faults.length = 0;
  met.written.length = 0;
  const request = anyRequest(repertoire, seen, random);
  const line = random.chance(0.3) ? lineOf(request, random) : undefined;
  const said = JSON.stringify(line ?? request);
  for (const word of astrayIn(said)) stage.kept.add(word);
  const typed = `${said} ${[...stage.kept].join(' ')}`;
  const before = process.cpuUsage();
  const heard =
    line === undefined ? await askedBy(stage, request, origin) : await typedBy(stage, line, typed, origin);
  const { user, system } = process.cpuUsage(before);
  const busyMs = (user + system) / 1000;
  const { answer, texts, wrongs } = heard;
  const drewPicture = answer?.kind === 'reply' && answer.picture !== undefined;
  const shown = answer === undefined ? texts.join('\n') : `${texts.join('\n')}\n${JSON.stringify(answer)}`;
  remember(seen, answer, random);
  return {
    said: said.length > 600 ? `${said.slice(0, 600)}… (${said.length} characters)` : said,
    answer,
    written: [...met.written],
    busyMs,
    drewPicture,
    wrongs: [
      ...wrongs,
      ...met.faults.map(
        (fault) => `a fault of ours, ${fault instanceof Error ? fault.stack : String(fault)}`,
      ),
      ...(answer === undefined ? [] : wrongsIn(answer, typed)),
      ...writesIn(stage, request, line, answer),
      ...secretsIn(shown, said, answer, origin),
      ...(busyMs > stage.mostMs && !drewPicture ? [`it took ${Math.round(busyMs)} ms of work`] : []),
    ],
  };
}

/** What was written although it was refused, or by what does not say that it stores something. */
function writesIn(
  { conversation, met }: Stage,
  request: Request,
  line: string | undefined,
  answer: Answer | undefined,
): readonly string[] {
  if (answer?.kind === 'refusal') return met.written.map((table) => `refused, but wrote to ${table}`);
  const stores = line !== undefined || conversation.refuse(request, '', '').text !== '';
  // A post on record to be sent is not called saved.
  const sends = request.kind === 'command' && request.path.join(' ') === 'weekly post';
  const saved = met.written.filter((table) => !(sends && table === 'deliveries'));
  return stores ? [] : saved.map((table) => `wrote to ${table}`);
}

interface Heard {
  readonly answer: Answer | undefined;
  /** What a terminal printed. */
  readonly texts: readonly string[];
  readonly wrongs: readonly string[];
}

async function askedBy({ conversation, random }: Stage, request: Request, origin: Origin): Promise<Heard> {
  try {
    if (request.kind === 'command' && random.chance(0.1)) {
      const [name = 'number', typed = ''] = random.pick([['', ''], ...Object.entries(request.given)]);
      await conversation.suggest(request.path, name, typed, request.given, origin);
    }
    conversation.foresee(request);
    return { answer: await conversation.answer(request, origin), texts: [], wrongs: [] };
  } catch (error) {
    return { answer: undefined, texts: [], wrongs: [`it was not answered at all: ${String(error)}`] };
  }
}

async function typedBy(
  { conversation, random }: Stage,
  line: string,
  typed: string,
  origin: Origin,
): Promise<Heard> {
  const texts: string[] = [];
  let answer: Answer | undefined;
  const session = startSession({
    conversation: {
      ...conversation,
      answer: async (request, from) => {
        answer = await conversation.answer(request, { ...origin, interaction: from.interaction });
        return answer;
      },
    },
    speaker: { name: origin.member.name, community: origin.community, mayManage: origin.member.mayManage },
    json: random.chance(0.5),
    clock: () => origin.now,
    newInteraction: () => origin.interaction,
    platform: origin.platform,
    savePicture: async ({ name }) => name,
    write: (text) => texts.push(text),
  });
  try {
    await session.answer(line);
    return { answer, texts, wrongs: texts.flatMap((text) => wrongsOfText(text, typed)) };
  } catch (error) {
    return { answer, texts, wrongs: [`the line was not answered at all: ${String(error)}`] };
  }
}

/** What is another's alone, and what is one's own where everybody reads it. */
function secretsIn(
  shown: string,
  said: string,
  answer: Answer | undefined,
  { secret }: Person,
): readonly string[] {
  const isPublic = answer?.kind === 'reply' && answer.audience === 'everyone';
  return SECRETS.filter((other) => shown.includes(other) && !said.includes(other))
    .filter((other) => other !== secret || isPublic)
    .map((other) => `it tells ${other} of somebody’s kit`);
}

function remember(seen: string[], answer: Answer | undefined, random: Random): void {
  if (answer === undefined || answer.kind === 'fault') return;
  const ids = answer.kind === 'form' ? [answer.id] : answer.actions.map(({ id }) => id);
  for (const id of ids) {
    if (seen.length < MOST_SEEN) seen.push(id);
    else seen[random.below(MOST_SEEN)] = id;
  }
}
