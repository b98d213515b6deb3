import type { Answer } from '../../../src/chat/command.js';
import {
  formButtonPayload,
  formModal,
  type Payload,
  refusalPayload,
  replyPayload,
} from '../../../src/discord/payload.js';
import { messageProblems, modalProblems } from '../chat-server/refusals.js';

/** What no answer may hold: characters that are not for reading, and halves of characters. A line break is for adapters to see to. */
const UNREADABLE = /(?!\n)\p{Cc}|\p{Surrogate}|[\u202a-\u202e\u2066-\u2069]/u;
/** What a program says when it has lost its way. */
const ASTRAY = /\bNaN\b|\bundefined\b|\bInfinity\b|\[object|Invalid DateTime/g;

/** The words of a text that a program says when it has lost its way. */
export const astrayIn = (text: string): readonly string[] => text.match(ASTRAY) ?? [];

/** What is wrong with an answer to a request in which `typed` stood. */
export function wrongsIn(answer: Answer, typed: string): readonly string[] {
  if (answer.kind === 'fault') return [`a fault: ${answer.title}`];
  return [...textsIn(answer).flatMap((text) => wrongsOfText(text, typed)), ...payloadWrongs(answer)];
}

export function wrongsOfText(text: string, typed: string): readonly string[] {
  const [astray] = astrayIn(text).filter((word) => !typed.includes(word));
  return [
    ...(UNREADABLE.test(text) ? [`an unreadable character in ${JSON.stringify(text.slice(0, 200))}`] : []),
    ...(astray === undefined ? [] : [`“${astray}” in ${text.slice(0, 200)}`]),
  ];
}

/** Every text of an answer, keys of figures included. */
function textsIn(value: unknown): readonly string[] {
  if (typeof value === 'string') return [value];
  if (value instanceof Uint8Array || typeof value !== 'object' || value === null) return [];
  return Object.entries(value).flatMap(([name, inner]) => [name, ...textsIn(inner)]);
}

function payloadWrongs(answer: Exclude<Answer, { kind: 'fault' }>): readonly string[] {
  switch (answer.kind) {
    case 'reply':
      return messageWrongs(replyPayload(answer));
    case 'refusal':
      return messageWrongs(refusalPayload(answer));
    case 'form':
      return [
        ...modalProblems(JSON.parse(JSON.stringify(formModal(answer)))),
        ...messageWrongs(formButtonPayload(answer)),
      ];
  }
}

function messageWrongs({ body, files }: Payload): readonly string[] {
  return messageProblems(JSON.parse(JSON.stringify(body)), true, files.length > 0);
}
