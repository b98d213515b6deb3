import type { Request } from '../chat/dispatch.js';
import { type Given, shorten } from '../chat/option.js';

export type ReadLine =
  | { readonly ok: true; readonly request: Request; readonly command: string }
  | {
      readonly ok: false;
      readonly command: string;
      /** What of it could be read: the command or the button without what was given to it. */
      readonly meant: Request;
      readonly problem: string;
    };

/** `name:` at the beginning of a word; a web address is none. */
const KEY = /^(\p{L}[\p{L}\p{N}_-]*):/u;
const KEY_BEHIND_VALUE = /^\p{L}[\p{L}\p{N}_-]*:(?!\/\/)/u;

/**
 * Reads a typed line: `/batch log fat:"4 lb 8 oz" method:open-pot`, or `press:ID field:value` for a button or a form.
 * A value may stand in double or single quotes; without them it runs on until the next `name:`.
 * It takes time in proportion to the length of the line, whatever is in it.
 */
export function readLine(text: string): ReadLine {
  const line = text.trim();
  if (line.startsWith('press:')) return readPress(line.slice('press:'.length));
  const head = /^\/?([\p{L}\p{N}-]+)(?:\s+([\p{L}\p{N}-]+)(?=\s|$))?/u.exec(line);
  const name = head?.[1];
  if (head === null || name === undefined) {
    return {
      ok: false,
      command: shorten(firstWord(line)),
      meant: { kind: 'command', path: [], given: {} },
      problem: 'A line starts with a command, for example /water fat:"4 lb 8 oz". /help lists them.',
    };
  }
  const path = (head[2] === undefined ? [name] : [name, head[2]]).map((part) => part.toLowerCase());
  return withGiven(path.join(' '), line.slice(head[0].length), (given) => ({ kind: 'command', path, given }));
}

function readPress(text: string): ReadLine {
  const quoted = /^(["'])(.*?)\1/s.exec(text);
  const id = quoted?.[2] ?? valueBefore(text);
  const toRequest = (fields: Given): Request => ({ kind: 'press', id, fields });
  if (id === '') {
    const problem = 'Say which button: press: and its id, as the answer showed it.';
    return { ok: false, command: 'press:', meant: toRequest({}), problem };
  }
  return withGiven(`press:${id}`, text.slice(quoted ? quoted[0].length : id.length), toRequest);
}

function withGiven(typed: string, rest: string, toRequest: (given: Given) => Request): ReadLine {
  const command = shorten(typed, MOST_SAID_AGAIN);
  const read = readGiven(rest);
  return read.ok
    ? { ok: true, command, request: toRequest(read.given) }
    : { ok: false, command, meant: toRequest({}), problem: read.problem };
}

/** No button has a longer id. */
const MOST_SAID_AGAIN = 106;

type ReadGiven =
  | { readonly ok: true; readonly given: Given }
  | { readonly ok: false; readonly problem: string };

function readGiven(text: string): ReadGiven {
  const given: Record<string, string> = Object.create(null);
  let rest = text.trimStart();
  while (rest !== '') {
    const key = KEY.exec(rest);
    const name = key?.[1]?.toLowerCase();
    if (key === null || name === undefined) {
      return {
        ok: false,
        problem: `“${shorten(firstWord(rest))}” stands alone. Options are written name:value, for example fat:"4 lb 8 oz".`,
      };
    }
    if (Object.hasOwn(given, name)) return { ok: false, problem: `${shorten(name)} is given twice.` };
    rest = rest.slice(key[0].length);
    const value = readValue(rest);
    if (value === undefined)
      return { ok: false, problem: `The quotation mark after ${shorten(name)}: is not closed.` };
    given[name] = value.text;
    rest = value.rest.trimStart();
  }
  return { ok: true, given };
}

function readValue(text: string): { readonly text: string; readonly rest: string } | undefined {
  const quote = /^["'“]/.exec(text)?.[0];
  if (quote === undefined) {
    const value = valueBefore(text);
    return { text: value, rest: text.slice(value.length) };
  }
  const close = quote === '“' ? '”' : quote;
  let value = '';
  for (let at = 1; at < text.length; at++) {
    const character = text[at] ?? '';
    if (character === '\\' && at + 1 < text.length) {
      at++;
      value += text[at] ?? '';
    } else if (character === close) {
      return { text: value, rest: text.slice(at + 1) };
    } else value += character;
  }
  return undefined;
}

/** All of the text before the next word that is a `name:`. */
function valueBefore(text: string): string {
  for (const { 0: word, index } of text.matchAll(/\S+/g)) {
    if (index > 0 && KEY_BEHIND_VALUE.test(word)) return text.slice(0, index).trimEnd();
  }
  return text;
}

const firstWord = (text: string): string => /^\S*/.exec(text)?.[0] ?? '';
