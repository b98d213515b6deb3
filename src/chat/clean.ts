// Control and bidirectional-formatting characters can hide or reorder what a reader sees.
const INVISIBLE = /[\p{Cc}\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff]/gu;

/** A person's words on one line: no control or direction-changing characters, runs of space folded, ends trimmed. */
export function oneLine(text: string): string {
  return text
    .replace(/[\s\u2028\u2029]+/gu, ' ')
    .replace(INVISIBLE, '')
    .trim();
}
