import stringWidth from 'string-width';

const SEGMENTER = new Intl.Segmenter('en');

/** Text in characters as people see them: a letter with its marks is one, and so is a family. */
export const charactersOf = (text: string): readonly string[] =>
  [...SEGMENTER.segment(text)].map(({ segment }) => segment);

/** How many columns a text takes in monospaced type: none for a mark, two for most emoji and letters of East Asia. */
export const columnsOf = (text: string): number => stringWidth(text);
