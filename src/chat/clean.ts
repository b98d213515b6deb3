import type { Origin } from './call.js';
import type { Request } from './dispatch.js';
import type { Given } from './option.js';

const LINE_BREAK = /\r\n?|[\v\f\u0085\u2028\u2029]/g;

/** Control and formatting characters, which can hide or reorder what a reader sees. Tabs and line breaks are space. */
const HIDDEN = /(?![\t\n])[\p{Cc}\u200b\u200e\u200f\u202a-\u202e\u2060-\u2069\ufeff]/gu;

/** Halves of a character whose other half is missing: no text holds them, and neither JSON nor Postgres takes them. */
const HALF_A_CHARACTER = /\p{Surrogate}/gu;

/** Scripts whose words are spelt with joiners: of Arabic and its kin, and of India and its neighbours. */
const SPELT_WITH_JOINERS = [
  'Arabic',
  'Syriac',
  'Mongolian',
  'Devanagari',
  'Bengali',
  'Gurmukhi',
  'Gujarati',
  'Oriya',
  'Tamil',
  'Telugu',
  'Kannada',
  'Malayalam',
  'Sinhala',
  'Khmer',
]
  .map((script) => `\\p{Script=${script}}`)
  .join('');
const BEFORE = `[\\p{Extended_Pictographic}\\p{Emoji_Modifier}\\ufe0f${SPELT_WITH_JOINERS}]`;
const BEHIND = `[\\p{Extended_Pictographic}${SPELT_WITH_JOINERS}]`;

/** A joiner that joins nothing: elsewhere than inside an emoji or such a word it only hides. */
const IDLE_JOINER = new RegExp(`(?<!${BEFORE})[\\u200c\\u200d]|[\\u200c\\u200d](?!${BEHIND})`, 'gu');

const GENERAL_MARK = '(?=\\p{M})\\p{sc=Zinh}';
/** Marks that any letter can have are heaped on one only to spill over its neighbours; two are enough for every language. */
const HEAP = new RegExp(`((?:${GENERAL_MARK}){2})(?:${GENERAL_MARK})+`, 'gu');
/** Some scripts need more of their own. */
const ANY_HEAP = /(\p{M}{5})\p{M}+/gu;

/**
 * A person's words without anything that only a machine sees: no control or direction-changing characters, no halves of
 * characters, no heaps of marks. Tabs stay, and every line break is a plain one.
 */
export function visible(text: string): string {
  return text
    .replace(HALF_A_CHARACTER, '')
    .replace(LINE_BREAK, '\n')
    .replace(HIDDEN, '')
    .replace(IDLE_JOINER, '')
    .replace(HEAP, '$1')
    .replace(ANY_HEAP, '$1');
}

/** A person's words as one line can show them: runs of space folded, ends trimmed. */
export function oneLine(text: string): string {
  return visible(text).replace(/\s+/g, ' ').trim();
}

// The one door for text from outside: what is behind it never meets characters that hide, half characters or names that
// an object has by itself.

/** Options or fields by name, on an object without names of its own, so that `constructor` is a name like any other. */
export function cleanGiven(given: Given): Given {
  const clean: Record<string, string> = Object.create(null);
  for (const [name, text] of Object.entries(given)) clean[oneLine(name)] = visible(text);
  return clean;
}

export function cleanRequest(request: Request): Request {
  return request.kind === 'command'
    ? { kind: 'command', path: request.path.map(oneLine), given: cleanGiven(request.given) }
    : { kind: 'press', id: visible(request.id), fields: cleanGiven(request.fields) };
}

/** Ids are cleaned too: in the terminal they are names that somebody typed. */
export function cleanOrigin(origin: Origin): Origin {
  const { member, community, channel, interaction } = origin;
  const id = visible(member.id);
  return {
    ...origin,
    member: { ...member, id, name: oneLine(member.name) || id },
    community: visible(community),
    channel: channel === undefined ? undefined : visible(channel),
    interaction: visible(interaction),
  };
}
