import { type Origin, TERMINAL } from '../chat/call.js';
import type { Answer, Form, FormField } from '../chat/command.js';
import type { Conversation, Request } from '../chat/dispatch.js';
import type { Platform } from '../chat/platform.js';
import { type ReadLine, readLine } from './line.js';
import { jsonOutcome, printOutcome, type SavePicture } from './print.js';

export interface Speaker {
  readonly name: string;
  readonly community: string;
  readonly mayManage: boolean;
}

interface SessionOptions {
  readonly conversation: Conversation;
  readonly speaker: Speaker;
  readonly json: boolean;
  readonly clock: () => Date;
  /** A fresh id for every line. */
  readonly newInteraction: () => string;
  readonly platform: Platform;
  readonly savePicture: SavePicture;
  readonly write: (text: string) => void;
}

/** How a line was met: a fault is ours, a refusal is not. */
export type Met = 'answered' | 'refused' | 'fault';

type Ask = (question: string) => Promise<string>;

export interface Session {
  /** Answers one line; given `ask`, it asks for the fields of a form that comes up, one by one. Blank lines are passed over. */
  answer(line: string, ask?: Ask): Promise<Met>;
}

/** One person talking to the bot in a terminal. */
export function startSession(options: SessionOptions): Session {
  const { conversation, speaker, write } = options;

  const originNow = (): Origin => ({
    member: { id: speaker.name, name: speaker.name, mayManage: speaker.mayManage },
    community: speaker.community,
    where: 'server',
    channel: 'terminal',
    interaction: options.newInteraction(),
    now: options.clock(),
    platform: options.platform,
    application: TERMINAL,
  });

  async function show(command: string, outcome: Answer): Promise<Met> {
    write(
      options.json
        ? `${await jsonOutcome(command, outcome, options.savePicture)}\n`
        : `${await printOutcome(outcome, options.savePicture)}\n`,
    );
    if (outcome.kind === 'fault') return 'fault';
    return outcome.kind === 'refusal' ? 'refused' : 'answered';
  }

  async function outcomeOf(line: string, read: ReadLine): Promise<Answer> {
    if (read.ok) return conversation.answer(read.request, originNow());
    const heard = conversation.overheard(line);
    return heard
      ? conversation.answer(heard, originNow())
      : conversation.refuse(read.meant, 'That could not be read', read.problem);
  }

  return {
    async answer(line, ask) {
      if (line.trim() === '') return 'answered';
      const read = readLine(line);
      const outcome = await outcomeOf(line, read);
      if (outcome.kind !== 'form' || ask === undefined) return show(read.command, outcome);
      const request: Request = { kind: 'press', id: outcome.id, fields: await fillIn(outcome, ask, write) };
      return show(read.command, await conversation.answer(request, originNow()));
    },
  };
}

async function fillIn(
  form: Form,
  ask: Ask,
  write: (text: string) => void,
): Promise<Readonly<Record<string, string>>> {
  write(`${form.title}\n`);
  const fields: Record<string, string> = {};
  for (const field of form.fields) fields[field.name] = typedInto(field, await ask(questionFor(field)));
  return fields;
}

function questionFor({ label, hint, required, value }: FormField): string {
  const kept = value === undefined ? '' : `, Enter keeps ${value}`;
  const cleared = value === undefined || required ? '' : `, "" clears it`;
  return `  ${label} (${hint}${required ? '' : ', may be left empty'}${kept}${cleared}): `;
}

/** Enter alone keeps what stands there, so nothing is written as two quotation marks, as in a line. */
function typedInto({ value }: FormField, answer: string): string {
  const typed = answer.trim();
  if (typed === '') return value ?? '';
  return typed === '""' || typed === "''" ? '' : answer;
}

/** Where the terminal talks: any channel name is a channel, nothing is ever missing, messages have no address. */
export const terminalPlatform: Platform = {
  channel: async (_community, idOrName) => ({ id: idOrName, name: idOrName, missing: [] }),
  messageLink: () => undefined,
};

/** The same where the bot ends with its lines and so sends nothing by itself. */
export const passingTerminal: Platform = {
  ...terminalPlatform,
  postsWait: 'once the bot runs on Discord or as a conversation here; answering lines sends nothing',
};
