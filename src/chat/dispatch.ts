import { nearest } from '../words/nearest.js';
import { readActionId } from './action.js';
import type { Call, Origin } from './call.js';
import { cleanGiven, cleanOrigin, cleanRequest, oneLine, visible } from './clean.js';
import {
  type Answer,
  type Answering,
  type Command,
  type Handler,
  outOfDate,
  type Subcommand,
  subcommandsOf,
  type Who,
  type Work,
} from './command.js';
import { faultWords } from './fault.js';
import { type Choice, type Given, shorten } from './option.js';
import { earsFor } from './overheard.js';
import { type Audience, type Refusal, type Reply, refusal, reply } from './reply.js';

export type Request =
  | { readonly kind: 'command'; readonly path: readonly string[]; readonly given: Given }
  | { readonly kind: 'press'; readonly id: string; readonly fields: Given };

/** What can be told of an answer before it is there. */
interface Foreseen {
  /** A command's words, `/batch log`, or a button's action, `batch.keep`; `unknown` where nothing is called so. */
  readonly asked: string;
  /** Who sees the waiting notice, should the answer take longer than a moment. */
  readonly audience: Audience;
  readonly work: Work;
  /** Whether it could store something, so that it is worth saying that it did not. */
  readonly stores: boolean;
}

/** What an adapter needs of the commands: to list them, to know how a request will be answered, and to answer it. */
export interface Conversation {
  readonly commands: readonly Command[];
  foresee(request: Request): Foreseen;
  answer(request: Request, origin: Origin): Promise<Answer>;
  /** What somebody needs at once who wrote this line, which is none of the commands. */
  overheard(line: string): Request | undefined;
  /** A refusal by the adapter itself of a request that it does not pass on. */
  refuse(request: Request, title: string, text: string): Refusal;
  suggest(
    path: readonly string[],
    option: string,
    typed: string,
    given: Given,
    origin: Origin,
  ): Promise<readonly Choice[]>;
}

/** What answers a request. */
interface Found<By extends Answering = Answering> {
  readonly command: Command;
  readonly who: Who;
  readonly by: By;
}

const UNKNOWN: Foreseen = { asked: 'unknown', audience: 'only you', work: 'quick', stores: false };

/**
 * Joins the commands into one conversation. Throws RangeError when two commands or two actions share a name.
 * `answer` never rejects: a fault of ours is reported, with the reference that the person is given, and answered with what
 * was saved.
 */
export function converse(
  commands: readonly Command[],
  reportFault: (error: unknown, reference: string, doing: string) => void,
): Conversation {
  const subcommands = new Map<string, Found<Subcommand>>();
  const handlers = new Map<string, Found<Handler>>();
  for (const command of commands) {
    for (const { path, subcommand } of subcommandsOf(command))
      addOnce(subcommands, commandWords(path), { command, who: command.who, by: subcommand });
    for (const [name, handler] of Object.entries(command.handlers))
      addOnce(handlers, name, { command, who: handler.who, by: handler });
  }

  const ears = earsFor(commands);

  const find = (request: Request): Found | undefined =>
    (request.kind === 'command' ? subcommands : handlers).get(nameOf(request));

  /** The request without what hides in it, or the one that was meant. */
  function understood(asked: Request): Request {
    const request = cleanRequest(asked);
    const isCalled = request.kind === 'press' || find(request) !== undefined;
    return isCalled ? request : (ears.meantBy(request.path) ?? request);
  }

  function foresee(asked: Request): Foreseen {
    const request = understood(asked);
    const found = find(request);
    if (!found) return UNKNOWN;
    const { audience, work } = found.by;
    return { asked: nameOf(request), audience, work, stores: found.by.stores(givenIn(request)) };
  }

  return {
    commands,
    foresee,
    overheard: (line) => ears.overheard(visible(line)),
    refuse: (request, title, text) => saying(nothingSaved(foresee(request)), refusal(title, text)),
    async answer(asked, from) {
      const [request, origin] = [understood(asked), cleanOrigin(from)];
      const found = find(request);
      const reference = origin.interaction.slice(-8);
      const report = (error: unknown) => reportFault(error, reference, doingOf(request));
      let saved: string | undefined;
      const call: Call = {
        ...origin,
        saved: (what) => {
          saved = what;
        },
        missed: report,
      };
      try {
        const outcome = found
          ? (whyBarred(found, call) ?? (await found.by.answer(givenIn(request), call, argsIn(request))))
          : nothingCalled(request, commands);
        if (outcome.kind === 'refusal')
          return saying(saved === undefined ? nothingSaved(foresee(request)) : `${saved}.`, outcome);
        return outcome.kind === 'reply' && saved !== undefined ? { ...outcome, saved } : outcome;
      } catch (error) {
        report(error);
        if (saved !== undefined) return savedAllTheSame(saved, reference);
        return { kind: 'fault', ...faultWords(error, reference, nothingSaved(foresee(request))), reference };
      }
    },
    async suggest(path, option, typed, given, from) {
      const words = commandWords(path);
      const found = subcommands.get(words);
      const origin = cleanOrigin(from);
      if (!found || !Object.hasOwn(found.by.options, option)) return [];
      if (whyBarred(found, origin)) return [];
      const missed = (error: unknown) =>
        reportFault(error, origin.interaction.slice(-8), `suggestions for ${words} ${option}`);
      try {
        const call = { ...origin, saved: () => {}, missed };
        return await found.by.suggest(option, oneLine(typed), cleanGiven(given), call);
      } catch (error) {
        missed(error);
        return [];
      }
    },
  };
}

const commandWords = (path: readonly string[]): string => `/${path.join(' ')}`;

const nameOf = (request: Request): string =>
  request.kind === 'command' ? commandWords(request.path) : (readActionId(request.id)?.name ?? '');

const givenIn = (request: Request): Given => (request.kind === 'command' ? request.given : request.fields);

const argsIn = (request: Request): readonly string[] =>
  request.kind === 'command' ? [] : (readActionId(request.id)?.args ?? []);

/** What was asked, in the words of the log. */
export const doingOf = (request: Request): string =>
  request.kind === 'command' ? commandWords(request.path) : request.id;

/** Said only where something could have been saved: elsewhere it would make people wonder what. */
const nothingSaved = ({ stores }: Foreseen): string => (stores ? 'Nothing was saved.' : '');

const saying = (saved: string, refused: Refusal): Refusal =>
  saved === '' ? refused : { ...refused, text: `${refused.text} ${saved}` };

/** The answer where something was stored and what was to be said of it could not be read. */
const savedAllTheSame = (saved: string, reference: string): Reply => ({
  ...reply({
    title: saved,
    audience: 'only you',
    lines: [
      'The rest of the answer could not be read just now. There is no need to send it again.',
      `If it happens again, tell whoever runs this bot the reference ${reference}.`,
    ],
  }),
  saved,
});

function addOnce<T>(map: Map<string, T>, name: string, value: T): void {
  if (map.has(name)) throw new RangeError(`two things are called “${name}”`);
  map.set(name, value);
}

function whyBarred({ command, who }: Found, call: Origin): Refusal | undefined {
  if (command.where === 'server' && call.where !== 'server') {
    return refusal('Only in a community', `/${command.name} works on a server, not in direct messages.`);
  }
  if (who === 'managers' && !call.member.mayManage && call.admitted !== true) {
    return refusal(
      'Not for you to change',
      'That is for those who may manage this community. Ask one of them.',
    );
  }
  return undefined;
}

function nothingCalled(request: Request, commands: readonly Command[]): Refusal {
  if (request.kind === 'press') return outOfDate();
  const [name = '', second] = request.path;
  const none = `There is no “/${shorten(request.path.join(' '))}”.`;
  const names = commands.map((one) => one.name);
  const command = commands.find((one) => one.name === name);
  if (command === undefined) {
    const meant = nearest(name, names);
    return refusal(
      'No such command',
      meant === undefined
        ? `${none} There is ${names.map((one) => `/${one}`).join(', ')}.`
        : `${none} Did you mean /${meant}?`,
    );
  }
  const asked = second === undefined ? `/${name} needs one more word.` : none;
  const ways = subcommandsOf(command).map(({ path }) => commandWords(path));
  return refusal('Which one?', `${asked} Try ${ways.join(', ')}.`);
}
