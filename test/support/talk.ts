import { randomUUID } from 'node:crypto';
import { allCommands } from '../../commands/index.js';
import { type Call, type Origin, TERMINAL } from '../../src/chat/call.js';
import type { Answer, Outcome } from '../../src/chat/command.js';
import { type Conversation, converse, type Request } from '../../src/chat/dispatch.js';
import type { Platform } from '../../src/chat/platform.js';
import type { Figure, Refusal, Reply } from '../../src/chat/reply.js';
import { readLine } from '../../src/console/line.js';
import { openRecords, type Records } from '../../src/records/database.js';
import { inOwnCommunity } from './own-community.js';
import { freshDatabase } from './postgres.js';

export interface Speaking {
  readonly as?: string;
  /** The name they go by now, where that is another. */
  readonly called?: string;
  readonly community?: string;
  readonly admin?: boolean;
  readonly now?: string;
  readonly interaction?: string;
  readonly where?: Call['where'];
  readonly platform?: Platform;
  readonly application?: string;
}

export interface Talk {
  readonly db: Records;
  readonly connectionString: string;
  readonly conversation: Conversation;
  /** Hands in a request as an adapter does, and hears the outcome, whatever it is. */
  answer(request: Request, speaking?: Speaking): Promise<Outcome>;
  /** Says one line and hears the outcome, whatever it is. */
  hear(line: string, speaking?: Speaking): Promise<Outcome>;
  /** Says one line that must be answered. */
  ask(line: string, speaking?: Speaking): Promise<Reply>;
  /** Says one line that must be refused. */
  refuse(line: string, speaking?: Speaking): Promise<Refusal>;
  close(): Promise<void>;
}

export const anyChannel: Platform = {
  channel: async (_community, idOrName) => ({ id: idOrName, name: idOrName, missing: [] }),
  messageLink: () => undefined,
};

export const NOW = '2026-11-25T18:00:00Z';

const originOf = (speaking: Speaking): Origin => {
  const id = speaking.as ?? 'Tansy';
  return {
    member: { id, name: speaking.called ?? id, mayManage: speaking.admin ?? false },
    community: speaking.community ?? 'ember-lane',
    where: speaking.where ?? 'server',
    channel: 'rendering',
    interaction: speaking.interaction ?? randomUUID(),
    now: new Date(speaking.now ?? NOW),
    platform: speaking.platform ?? anyChannel,
    application: speaking.application ?? TERMINAL,
  };
};

function requestIn(line: string): Request {
  const read = readLine(line);
  if (!read.ok) throw new Error(`${line}: ${read.problem}`);
  return read.request;
}

/** Says one line to a conversation and hears whatever comes of it. */
export const speak = (conversation: Conversation, line: string, speaking: Speaking = {}): Promise<Answer> =>
  conversation.answer(requestIn(line), originOf(speaking));

/**
 * A conversation with every command, on a fresh database. A fault of ours fails the test that met it, and so does a
 * statement that is not held to one community.
 */
export async function openTalk(): Promise<Talk> {
  const database = await freshDatabase();
  const db = inOwnCommunity(openRecords(database.connectionString, () => {}));
  const faults: unknown[] = [];
  const conversation = converse(allCommands(db), (error) => faults.push(error));

  async function answer(request: Request, speaking: Speaking = {}): Promise<Outcome> {
    const outcome = await conversation.answer(request, originOf(speaking));
    const [fault] = faults.splice(0);
    if (fault !== undefined) throw fault;
    if (outcome.kind === 'fault') throw new Error(outcome.title);
    return outcome;
  }

  const hear = async (line: string, speaking?: Speaking): Promise<Outcome> =>
    answer(requestIn(line), speaking);

  return {
    db,
    connectionString: database.connectionString,
    conversation,
    answer,
    hear,
    async ask(line, speaking) {
      const outcome = await hear(line, speaking);
      if (outcome.kind === 'reply') return outcome;
      throw new Error(`${line} was not answered but met with: ${JSON.stringify(outcome)}`);
    },
    async refuse(line, speaking) {
      const outcome = await hear(line, speaking);
      if (outcome.kind === 'refusal') return outcome;
      throw new Error(`${line} was not refused but met with: ${JSON.stringify(outcome)}`);
    },
    async close() {
      await db.destroy();
      await database.drop();
    },
  };
}

/** A figure that must be a number. */
export function numberIn(reply: Reply, name: string): number {
  const figure: Figure | undefined = reply.figures[name];
  if (typeof figure !== 'number') throw new Error(`${reply.title} has no number called ${name}`);
  return figure;
}
