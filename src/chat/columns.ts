const SEGMENTER = new Intl.Segmenter('en');

/** Text in characters as people see them: a letter with its marks is one, and so is a family. */
export const charactersOf = (text: string): readonly string[] =>
  [...SEGMENTER.segment(text)].map(({ segment }) => segment);

/** Emoji and the letters of East Asia are about two columns wide in monospaced text. */
const WIDE =
  /\p{Emoji_Presentation}|\p{Extended_Pictographic}\ufe0f|\p{sc=Han}|\p{sc=Hiragana}|\p{sc=Katakana}|\p{sc=Hangul}|[\u3000-\u303f\uff01-\uff60]/u;

/** How many columns a text takes in monospaced type. */
export const columnsOf = (text: string): number =>
  charactersOf(text).reduce((columns, character) => columns + (WIDE.test(character) ? 2 : 1), 0);
