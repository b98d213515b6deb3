import { readActionId } from './action.js';
import type { Call, Origin } from './call.js';
import { cleanGiven, cleanOrigin, cleanRequest, oneLine } from './clean.js';
import {
  type Answer,
  type Command,
  type Handler,
  type Outcome,
  outOfDate,
  type Subcommand,
  subcommandsOf,
  type Who,
  type Work,
} from './command.js';
import { faultWords } from './fault.js';
import { type Choice, type Given, shorten } from './option.js';
import { type Refusal, type Reply, refusal, reply } from './reply.js';

export type Request =
  | { readonly kind: 'command'; readonly path: readonly string[]; readonly given: Given }
  | { readonly kind: 'press'; readonly id: string; readonly fields: Given };

/** What an adapter needs of the commands: to list them, to know how a request will be answered, and to answer it. */
export interface Conversation {
  readonly commands: readonly Command[];
  /** Who sees the waiting notice, should the answer take longer than a moment. */
  audienceOf(request: Request): 'everyone' | 'only you';
  workOf(request: Request): Work;
  /** Whether it could store something, so that it is worth saying that it did not. */
  mayStore(request: Request): boolean;
  answer(request: Request, origin: Origin): Promise<Answer>;
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

/** Hears of a failure that is ours, with the reference that the person was given. */
export type ReportFault = (error: unknown, reference: string, doing: string) => void;

/**
 * Joins the commands into one conversation. Throws RangeError when two commands or two actions share a name.
 * `answer` never rejects: a fault of ours is reported and answered with what was saved and a short reference.
 */
export function converse(commands: readonly Command[], reportFault: ReportFault): Conversation {
  const subcommands = new Map<string, { command: Command; subcommand: Subcommand }>();
  const handlers = new Map<string, { command: Command; handler: Handler }>();
  for (const command of commands) {
    for (const { path, subcommand } of subcommandsOf(command))
      addOnce(subcommands, path.join(' '), { command, subcommand });
    for (const [name, handler] of Object.entries(command.handlers))
      addOnce(handlers, name, { command, handler });
  }

  const find = (request: Request): Found | undefined => {
    if (request.kind === 'command') {
      const found = subcommands.get(request.path.join(' '));
      return found && foundSubcommand(found.command, found.subcommand, request.given);
    }
    const pressed = readActionId(request.id);
    const found = pressed && handlers.get(pressed.name);
    return found && foundHandler(found.command, found.handler, pressed.args, request.fields);
  };

  return {
    commands,
    audienceOf: (request) => find(cleanRequest(request))?.audience ?? 'only you',
    workOf: (request) => find(cleanRequest(request))?.work ?? 'quick',
    mayStore: (request) => find(cleanRequest(request))?.stores ?? false,
    refuse: (request, title, text) => saying(nothingSaved(find(cleanRequest(request))), refusal(title, text)),
    async answer(asked, from) {
      const [request, origin] = [cleanRequest(asked), cleanOrigin(from)];
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
          ? (whyBarred(found, call) ?? (await found.answer(call)))
          : nothingCalled(request, commands);
        if (outcome.kind === 'refusal')
          return saying(saved === undefined ? nothingSaved(found) : `${saved}.`, outcome);
        return outcome.kind === 'reply' && saved !== undefined ? { ...outcome, saved } : outcome;
      } catch (error) {
        report(error);
        if (saved !== undefined) return savedAllTheSame(saved, reference);
        return { kind: 'fault', ...faultWords(error, reference, nothingSaved(found)), reference };
      }
    },
    async suggest(path, option, typed, given, from) {
      const found = subcommands.get(path.join(' '));
      const origin = cleanOrigin(from);
      if (!found || !Object.hasOwn(found.subcommand.options, option)) return [];
      if (whyBarred({ command: found.command, who: found.command.who }, origin)) return [];
      const missed = (error: unknown) =>
        reportFault(error, origin.interaction.slice(-8), `suggestions for /${path.join(' ')} ${option}`);
      try {
        const call = { ...origin, saved: () => {}, missed };
        return await found.subcommand.suggest(option, oneLine(typed), cleanGiven(given), call);
      } catch (error) {
        missed(error);
        return [];
      }
    },
  };
}

/** What answers a request: a subcommand or a handler. */
interface Found {
  readonly command: Command;
  readonly who: Who;
  readonly audience: 'everyone' | 'only you';
  readonly work: Work;
  /** Whether something could have been stored. */
  readonly stores: boolean;
  answer(call: Call): Promise<Outcome>;
}

const foundSubcommand = (command: Command, subcommand: Subcommand, given: Given): Found => ({
  command,
  who: command.who,
  audience: subcommand.audience,
  work: subcommand.work,
  stores: subcommand.stores(given),
  answer: (call) => subcommand.answer(given, call),
});

const foundHandler = (command: Command, handler: Handler, args: readonly string[], fields: Given): Found => ({
  command,
  who: handler.who,
  audience: handler.audience,
  work: handler.work,
  stores: handler.stores(fields),
  answer: (call) => handler.answer(args, fields, call),
});

/** Said only where something could have been saved: elsewhere it would make people wonder what. */
const nothingSaved = (found: Found | undefined): string => (found?.stores ? 'Nothing was saved.' : '');

const saying = (saved: string, refused: Refusal): Refusal =>
  saved === '' ? refused : { ...refused, text: `${refused.text} ${saved}` };

/** What was asked, in the words of the log. */
const doingOf = (request: Request): string =>
  request.kind === 'command' ? `/${request.path.join(' ')}` : request.id;

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

function whyBarred({ command, who }: Pick<Found, 'command' | 'who'>, call: Origin): Refusal | undefined {
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
  const { path } = request;
  const [name = '', second] = path;
  const command = commands.find((one) => one.name === name);
  if (command) {
    const names = subcommandsOf(command).map((one) => `/${one.path.join(' ')}`);
    const asked =
      second === undefined
        ? `/${name} needs one more word`
        : `There is no “/${shorten(oneLine(path.join(' ')))}”`;
    return refusal('Which one?', `${asked}. Try ${names.join(', ')}.`);
  }
  return refusal(
    'No such command',
    `There is no “/${shorten(oneLine(path.join(' ')))}”. There is ${commands.map((one) => `/${one.name}`).join(', ')}.`,
  );
}
