import stringWidth from 'string-width';
import type { Reply, Table } from './reply.js';

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

/** A reply as plain text without its title: what was asked, the table, the cautions, the sources. */
export function replyText(reply: Reply): string {
  return [
    ...reply.lines,
    ...(reply.table ? tableLines(reply.table) : []),
    ...(reply.picture ? [`Picture: ${reply.picture.alt}`] : []),
    ...reply.cautions.map(({ text, source }) => `Take care: ${text} (${source})`),
    ...(reply.sources.length > 0 ? [`Source: ${reply.sources.join('; ')}`] : []),
  ].join('\n');
}

function pad(text: string, to: number, align: 'left' | 'right'): string {
  const space = ' '.repeat(Math.max(0, to - columnsOf(text)));
  return align === 'right' ? space + text : text + space;
}
