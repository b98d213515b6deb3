import { oneLine } from '../chat/clean.js';

const ZERO_WIDTH_SPACE = '\u200b';

/** What Discord makes a link of by itself, and the addresses among it in which nothing could be formatting. */
const LINKED = /https?:\/\/[^\s<]+<?/gi;
const HARMLESS = /^[\w\-.~:/?#@!$&'()+,;=%]+$/;
const SCHEME = /(?<=https?):(?=\/\/)/gi;

/** Bold, italics, underline, strike-through, spoilers, code, masked links, mentions, timestamps, emoji, escapes. */
const INLINE =
  /[\\*_`[\]<]|~(?=~)|(?<=~)~|\|(?=\|)|(?<=\|)\||:(?=[\w+-]*[a-z][\w+-]*:|(?:100|1234|[+-]1):)/gi;

/** Headings, small print, bulleted lists and quotes at the start of a line; numbered lists. */
const LINE_START = /^(?=(?:#{1,3}|-#|[-+]|>|>>>)(?:\s|$))/;
const NUMBERED = /^(\d+)(?=[.)](?:\s|$))/;

/**
 * A person's words as Discord markdown that shows them as they were typed, on one line: nothing in them formats, links
 * under another name, mentions or counts down. (Discord's own rule of escaping: a backslash before anything but a
 * letter, digit or space.) The client's `escapeMarkdown` does not do: it leaves quotes and small print, and of nested
 * brackets it escapes the outer ones only, so that `[[a](http://b)` remains a link.
 */
export function escapeText(text: string): string {
  const line = oneLine(text);
  let escaped = '';
  let from = 0;
  for (const { 0: linked, index } of line.matchAll(LINKED)) {
    escaped += escapeInline(line.slice(from, index));
    // A backslash inside a link would become part of it, so an address that needs one is kept from being a link.
    escaped += HARMLESS.test(linked) ? linked : escapeInline(linked).replace(SCHEME, '\\:');
    from = index + linked.length;
  }
  escaped += escapeInline(line.slice(from));
  return escaped
    .replace(LINE_START, '\\')
    .replace(NUMBERED, '$1\\')
    .replace(/@(?=everyone|here)/gi, `@${ZERO_WIDTH_SPACE}`);
}

const escapeInline = (text: string): string => text.replace(INLINE, '\\$&');

/** Text for a code block: on one line, and it cannot close the block. */
export function escapeCode(text: string): string {
  return oneLine(text).replaceAll('`', 'ˋ');
}
