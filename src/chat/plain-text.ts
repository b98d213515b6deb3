import stringWidth from 'string-width';
import { cautionsOf, type Reply, type Table } from './reply.js';

const SEGMENTER = new Intl.Segmenter('en');

/** Text in characters as people see them: a letter with its marks is one, and so is a family. */
export const charactersOf = (text: string): readonly string[] =>
  [...SEGMENTER.segment(text)].map(({ segment }) => segment);

/** How many columns a text takes in monospaced type: none for a mark, two for most emoji and letters of East Asia. */
export const columnsOf = (text: string): number => stringWidth(text);

/** A table as lines of monospaced text. */
export function tableLines(table: Table): readonly string[] {
  const widths = table.columns.map((column, at) =>
    Math.max(columnsOf(column.title), ...table.rows.map((row) => columnsOf(row[at] ?? ''))),
  );
  const line = (cells: readonly string[]): string =>
    table.columns
      .map((column, at) => pad(cells[at] ?? '', widths[at] ?? 0, column.align))
      .join('  ')
      .trimEnd();
  return [line(table.columns.map(({ title }) => title)), ...table.rows.map(line)];
}

/** The facts and then the steps of a reply, each in two columns. */
export const factLines = ({ facts, steps }: Reply): readonly string[] => [
  ...inColumns(facts.map(({ label, text }) => [label, text])),
  ...inColumns(steps.map(({ when, what }) => [when, what])),
];

function inColumns(pairs: readonly (readonly [string, string])[]): readonly string[] {
  const width = Math.max(0, ...pairs.map(([first]) => columnsOf(first)));
  return pairs.map(([first, second]) => `${pad(first, width, 'left')}  ${second}`);
}

/** A reply as plain text without its title: what was asked, the table, the note, the cautions, the sources. */
export function replyText(reply: Reply): string {
  return [
    ...reply.lines,
    ...factLines(reply),
    ...(reply.table ? tableLines(reply.table) : []),
    ...(reply.picture ? [`Picture: ${reply.picture.alt}`] : []),
    ...(reply.note === undefined ? [] : [reply.note]),
    ...cautionsOf(reply).map(({ text, source }) => `Take care: ${text} (${source})`),
    ...(reply.sources.length > 0 ? [`Source: ${reply.sources.join('; ')}`] : []),
  ].join('\n');
}

function pad(text: string, to: number, align: 'left' | 'right'): string {
  const space = ' '.repeat(Math.max(0, to - columnsOf(text)));
  return align === 'right' ? space + text : text + space;
}
