// Control and bidirectional-formatting characters can hide or reorder what a reader sees.
const INVISIBLE = /[\p{Cc}\u200b\u200e\u200f\u2028-\u202e\u2060-\u2069\ufeff]/gu;

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

/** A person's words on one line: no control or direction-changing characters, runs of space folded, ends trimmed. */
export function oneLine(text: string): string {
  return text
    .replace(/[\s\u2028\u2029]+/gu, ' ')
    .replace(INVISIBLE, '')
    .replace(IDLE_JOINER, '')
    .trim();
}
