import type { Request } from '../chat/dispatch.js';
import type { Given } from '../chat/option.js';

export type ReadLine =
  | { readonly ok: true; readonly request: Request; readonly command: string }
  | { readonly ok: false; readonly command: string; readonly problem: string };

const KEY = /^(\p{L}[\p{L}\p{N}_-]*):/u;

/**
 * Reads a typed line: `/batch log fat:"4 lb 8 oz" method:open-pot`, or `press:ID field:value` for a button or a form.
 * A value may stand in double or single quotes; without them it runs on until the next `name:`.
 */
export function readLine(text: string): ReadLine {
  const line = text.trim();
  if (line.startsWith('press:')) return readPress(line.slice('press:'.length));
  const head = /^\/?([\p{L}\p{N}-]+)(?:\s+([\p{L}\p{N}-]+)(?=\s|$))?/u.exec(line);
  const name = head?.[1];
  if (head === null || name === undefined) {
    const first = line.split(/\s+/)[0] ?? '';
    return {
      ok: false,
      command: first,
      problem: 'A line starts with a command, for example /water fat:"4 lb 8 oz". /help lists them.',
    };
  }
  const path = head[2] === undefined ? [name] : [name, head[2]];
  const command = path.join(' ').toLowerCase();
  const given = readGiven(line.slice(head[0].length));
  if (!given.ok) return { ok: false, command, problem: given.problem };
  return {
    ok: true,
    command,
    request: { kind: 'command', path: path.map((part) => part.toLowerCase()), given: given.given },
  };
}

function readPress(text: string): ReadLine {
  const quoted = /^(["'])(.*?)\1/.exec(text);
  const id =
    quoted?.[2] ?? /^\S*(?:\|[^|]*?(?=\s+\p{L}[\p{L}\p{N}_-]*:|$))?/u.exec(text)?.[0]?.trimEnd() ?? '';
  const rest = text.slice(quoted ? quoted[0].length : id.length);
  const given = readGiven(rest);
  const command = `press:${id}`;
  if (id === '') {
    return { ok: false, command, problem: 'Say which button: press: and its id, as the answer showed it.' };
  }
  if (!given.ok) return { ok: false, command, problem: given.problem };
  return { ok: true, command, request: { kind: 'press', id, fields: given.given } };
}

type ReadGiven =
  | { readonly ok: true; readonly given: Given }
  | { readonly ok: false; readonly problem: string };

function readGiven(text: string): ReadGiven {
  const given: Record<string, string> = {};
  let rest = text.trimStart();
  while (rest !== '') {
    const key = KEY.exec(rest);
    const name = key?.[1]?.toLowerCase();
    if (key === null || name === undefined) {
      const word = rest.split(/\s+/)[0] ?? '';
      return {
        ok: false,
        problem: `“${word}” stands alone. Options are written name:value, for example fat:"4 lb 8 oz".`,
      };
    }
    if (Object.hasOwn(given, name)) return { ok: false, problem: `${name} is given twice.` };
    rest = rest.slice(key[0].length);
    const value = readValue(rest);
    if (value === undefined)
      return { ok: false, problem: `The quotation mark after ${name}: is not closed.` };
    given[name] = value.text;
    rest = value.rest.trimStart();
  }
  return { ok: true, given };
}

function readValue(text: string): { readonly text: string; readonly rest: string } | undefined {
  const quote = /^["'“]/.exec(text)?.[0];
  if (quote !== undefined) {
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
  const next = /\s+(?=\p{L}[\p{L}\p{N}_-]*:(?!\/\/))/u.exec(text);
  return next ? { text: text.slice(0, next.index), rest: text.slice(next.index) } : { text, rest: '' };
}
