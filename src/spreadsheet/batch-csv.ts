import { pipeline } from 'node:stream/promises';
import { CsvError, parse } from 'csv-parse';
import { EVERY_FIELD } from '../batches/facts.js';
import type { BatchFacts, FactColumn } from '../batches/fields.js';
import { oneLine } from '../chat/clean.js';
import { shorten } from '../chat/option.js';
import { MOST_FAT_G, SEVERAL_DAYS_MINUTES } from '../kitchen/options.js';
import { readNumber } from './plain-number.js';
import type { NumberedBatch } from './reference-report.js';
import { lineFeeds, textAfterLine, textOf, Unreadable } from './table-text.js';

/** A batch of a table. */
export interface TableBatch extends NumberedBatch {
  /** What it says besides, where it says more than the analysis needs. */
  readonly facts?: Partial<BatchFacts>;
}

/** A line that is not a batch. */
export interface WrongLine {
  /** As a text editor counts, the first line being 1. */
  readonly line: number;
  readonly reason: string;
}

export type BatchCsv =
  | {
      readonly ok: true;
      /** In the order of the file. */
      readonly batches: readonly TableBatch[];
      /** Where a batch's number comes from: its column, or, where that is missing or does not tell all apart, its line. */
      readonly numberedBy: NumberedBy;
      readonly wrong: readonly WrongLine[];
      /** How many lines are wrong; of a great many only the first are kept. */
      readonly wrongCount: number;
      /** False when reading stopped because too many lines are wrong. */
      readonly isWhole: boolean;
    }
  | { readonly ok: false; readonly problem: string };

export type NumberedBy = 'column' | 'line';

export const BATCH_COLUMNS = [
  'member',
  'method',
  'cut',
  'fat_g',
  'minutes',
  'tallow_g',
] as const satisfies readonly ('member' | FactColumn)[];

/** What a table may say besides; its cells hold what would be typed into the option of that name. */
const MORE_COLUMNS = EVERY_FIELD.filter(({ inTable }) => inTable).map((field) => ({
  ...field,
  column: field.name.replaceAll('-', '_'),
}));

/** What a method or cut is called, however a line writes it. */
export type NameOf = (column: 'method' | 'cut', text: string) => string;

type Column = (typeof BATCH_COLUMNS)[number];

interface Bounds {
  /** Nothing at all may be given instead. */
  readonly orNone: boolean;
  readonly most: number;
  readonly mostWords: string;
}

/** What a batch that is logged may weigh and how long it may take, so that no sum of them gets out of hand. */
const WEIGHT = { most: MOST_FAT_G, mostWords: `${MOST_FAT_G} (${MOST_FAT_G / 1000} kg)` } as const;
const BOUNDS: Readonly<Record<'fat_g' | 'minutes' | 'tallow_g', Bounds>> = {
  fat_g: { orNone: false, ...WEIGHT },
  minutes: { orNone: false, most: SEVERAL_DAYS_MINUTES, mostWords: `${SEVERAL_DAYS_MINUTES} (7 days)` },
  tallow_g: { orNone: true, ...WEIGHT },
};
/** In grams or minutes; a share of less would be beyond all numbers. */
const LEAST = 0.001;

const MOST_WRONG_KEPT = 1000;
/** Far more than anybody has methods or cuts; the analysis of so many would not end. */
const MOST_LEVELS = 50;
const LEVELS_QUOTED = 3;
const HEAD_CHARACTERS = 65_536;
/** A longer row is most likely a quotation mark that was never closed. */
const MOST_ROW_BYTES = 1_000_000;

/**
 * Reads a list of batches kept as CSV, in UTF-8: a first line that names the columns, in any order, among others;
 * commas, semicolons or tabs between them; with or without a byte order mark; quotation marks around cells that hold any
 * of these or line breaks. Rows with nothing in any cell are passed over. Weights in grams and times in minutes are
 * plain numbers.
 * @param nameOf is asked for the lines that are batches, in the order of the file
 * @param goesOn whether the other lines are of use where many are wrong; else reading stops once those that are named have
 *   been found
 */
export async function readBatchCsv(
  file: string,
  nameOf: NameOf = (_, text) => text,
  goesOn = true,
): Promise<BatchCsv> {
  const text = textOf(file);
  try {
    const head = await headOf(text);
    const delimiter = delimiterOf(head);
    const reader = new RowReader(delimiter, nameOf, goesOn);
    try {
      await readRows(joined(head, text), delimiter, reader);
    } catch (error) {
      if (error instanceof Enough) return { ...reader.result(), isWhole: false };
      throw error instanceof CsvError ? await csvProblem(error, file, delimiter, reader.lastLine) : error;
    }
    return reader.result();
  } catch (error) {
    if (error instanceof Unreadable) return { ok: false, problem: error.message };
    throw error;
  }
}

/** So many lines are wrong that the others need not be read. */
class Enough extends Error {}

async function headOf(text: AsyncGenerator<string, void>): Promise<string> {
  let head = '';
  while (head.length < HEAD_CHARACTERS) {
    const next = await text.next();
    if (next.done === true) break;
    head += next.value;
  }
  return head;
}

async function* joined(head: string, rest: AsyncIterable<string>): AsyncGenerator<string, void> {
  yield head;
  yield* rest;
}

async function readRows(text: AsyncIterable<string>, delimiter: string, reader: RowReader): Promise<void> {
  const rows = parse({
    delimiter,
    record_delimiter: '\n',
    relax_column_count: true,
    relax_quotes: true,
    skip_empty_lines: true,
    max_record_size: MOST_ROW_BYTES,
    // Not through the stream, which loses the last rows before a fault, and so the line it is below.
    on_record: (record: readonly string[], { lines }) => {
      reader.take(record, lines);
      return null;
    },
  });
  rows.resume();
  await pipeline(text, rows);
}

/** A quoted cell of a table; its group is empty where the quotation mark is never closed. */
const quotedCells = (delimiters: string): RegExp =>
  new RegExp(`(?<=^|[\n${delimiters}])"[^"]*(?:""[^"]*)*("|$)`, 'g');

const DELIMITERS = [',', ';', '\t'] as const;

/** Whichever of the usual ones the first line holds most of, outside quotation marks. */
function delimiterOf(head: string): string {
  const lines = head.replace(quotedCells(DELIMITERS.join('')), 'quoted').split('\n');
  const first = lines.find((line) => line.trim() !== '') ?? '';
  const count = (delimiter: string) => first.split(delimiter).length;
  return DELIMITERS.reduce((best, one) => (count(one) > count(best) ? one : best));
}

const HEADER_WORDS = [
  `The first line names the columns: ${BATCH_COLUMNS.join(', ')}`,
  ...MORE_COLUMNS.map(({ column }) => `${column} may be among them`),
  'others are ignored.',
].join('; ');

/** @param lastLine where the last whole row ends */
async function csvProblem(
  { code }: CsvError,
  file: string,
  delimiter: string,
  lastLine: number,
): Promise<Unreadable> {
  if (code !== 'CSV_QUOTE_NOT_CLOSED' && code !== 'CSV_MAX_RECORD_SIZE')
    return new Unreadable(`It cannot be read as CSV below line ${lastLine}.`);
  const rest = await textAfterLine(file, lastLine, MOST_ROW_BYTES);
  const lineAt = (index: number) => lastLine + 1 + lineFeeds(rest.slice(0, index));
  const open = [...rest.matchAll(quotedCells(delimiter))].find(([, closing]) => closing === '');
  if (open !== undefined) {
    const where = code === 'CSV_QUOTE_NOT_CLOSED' ? 'is never closed' : 'is not closed within 1 MB';
    return new Unreadable(
      `The quotation mark opened on line ${lineAt(open.index)} ${where}, so what follows cannot be read.`,
    );
  }
  return new Unreadable(`Line ${lineAt(rest.search(/[^\n]/))} is longer than 1 MB, and no batch is.`);
}

/** Some spreadsheets begin with a line that only names what parts the cells, such as “sep=;”. */
const isSeparatorLine = ([first = '', ...others]: readonly string[]): boolean =>
  /^sep=.?$/i.test(first.trim()) && others.every((cell) => cell.trim() === '');

/** Turns rows into batches one after the other; equal words are kept once, so that a million rows stay small. */
class RowReader {
  readonly #delimiter: string;
  readonly #nameOf: NameOf;
  readonly #goesOn: boolean;
  readonly #batches: TableBatch[] = [];
  readonly #wrong: WrongLine[] = [];
  readonly #words = new Map<string, string>();
  #wrongCount = 0;
  #columns: ReadonlyMap<string, number> | undefined;
  #width = 0;
  #numberedBy: NumberedBy = 'line';
  /** Of the batches so far, while they are numbered by their column. */
  readonly #numbers = new Set<number>();
  readonly #lines: number[] = [];
  readonly #levels = { method: new Set<string>(), cut: new Set<string>() } as const;
  readonly #members = new Set<string>();
  #lastLine = 0;

  constructor(delimiter: string, nameOf: NameOf, goesOn: boolean) {
    this.#delimiter = delimiter;
    this.#nameOf = nameOf;
    this.#goesOn = goesOn;
  }

  /** Where the last row ended. */
  get lastLine(): number {
    return this.#lastLine;
  }

  /** @throws Unreadable when the first row does not name the columns, or a column holds what it cannot; Enough */
  take(record: readonly string[], lastLine: number): void {
    this.#lastLine = lastLine;
    if (record.every((cell) => cell.trim() === '')) return;
    if (this.#columns === undefined) {
      if (!isSeparatorLine(record)) this.#columns = this.#takeHeader(record);
      return;
    }
    const line = lastLine - record.reduce((breaks, cell) => breaks + lineFeeds(cell), 0);
    const read = this.#read(record, this.#columns, line);
    if (typeof read === 'string') {
      this.#wrongCount += 1;
      if (this.#wrong.length < MOST_WRONG_KEPT) this.#wrong.push({ line, reason: read });
      const isOfNoUse = !this.#goesOn || this.#batches.length === 0;
      if (isOfNoUse && this.#wrongCount >= MOST_WRONG_KEPT) throw new Enough();
    } else this.#batches.push(read);
  }

  /** @throws Unreadable when there was no row. */
  result(): Extract<BatchCsv, { readonly ok: true }> {
    if (this.#columns === undefined) throw new Unreadable(`It is empty. ${HEADER_WORDS}`);
    return {
      ok: true,
      batches: this.#batches,
      numberedBy: this.#numberedBy,
      wrong: this.#wrong,
      wrongCount: this.#wrongCount,
      isWhole: true,
    };
  }

  #takeHeader(record: readonly string[]): ReadonlyMap<string, number> {
    const names = record.map((name) =>
      oneLine(name)
        .toLowerCase()
        .replace(/[\s-]+/g, '_'),
    );
    const missing = BATCH_COLUMNS.filter((column) => !names.includes(column));
    if (missing.length === BATCH_COLUMNS.length)
      throw new Unreadable(`It is not a list of batches as CSV. ${HEADER_WORDS}`);
    if (missing.length > 0)
      throw new Unreadable(
        `${missing.length === 1 ? 'A column is' : 'Columns are'} missing: ${missing.join(', ')}. The first line names ${shorten(names.join(', '))}.`,
      );
    const twice = BATCH_COLUMNS.find((column) => names.indexOf(column) !== names.lastIndexOf(column));
    if (twice !== undefined) throw new Unreadable(`The column ${twice} is there twice.`);
    this.#width = record.length;
    this.#numberedBy = names.includes('batch') ? 'column' : 'line';
    return new Map(names.map((name, at) => [name, at]));
  }

  #read(record: readonly string[], columns: ReadonlyMap<string, number>, line: number): TableBatch | string {
    const tooMany = record.slice(this.#width).some((cell) => cell.trim() !== '');
    if (record.length < this.#width || tooMany) return this.#cellsProblem(record.length, line);
    const cell = (column: string): string => record[columns.get(column) ?? -1] ?? '';
    const problems: string[] = [];
    const word = (column: Column): string => {
      const text = oneLine(cell(column));
      if (text === '') problems.push(`${column} is empty`);
      else if (this.#holdsRows(cell(column)))
        problems.push(`${column} goes on to another line, so a quotation mark in it is not closed`);
      return this.#once(text);
    };
    const number = (column: keyof typeof BOUNDS): number => {
      const value = readNumber(cell(column), this.#delimiter);
      const problem = typeof value === 'string' ? value : boundsProblem(value, BOUNDS[column]);
      if (problem !== undefined) problems.push(`${column} ${problem}`);
      return typeof value === 'string' ? Number.NaN : value;
    };
    const member = word('member');
    const method = word('method');
    const cut = word('cut');
    const fatG = number('fat_g');
    const minutes = number('minutes');
    const tallowG = number('tallow_g');
    const more = MORE_COLUMNS.flatMap(({ fact, column, option }) => {
      const text = oneLine(cell(column));
      if (text === '') return [];
      const said = option.parse(text);
      if (!said.ok) problems.push(`${column}: ${said.problem}`);
      return said.ok ? [[fact, said.value] as const] : [];
    });
    if (problems.length > 0) return problems.join('; ');
    if (this.#members.size <= MOST_LEVELS) this.#members.add(member);
    return {
      batch: this.#numberOf(cell('batch'), line),
      member,
      method: this.#level('method', method),
      cut: this.#level('cut', cut),
      fatG,
      minutes,
      tallowG,
      ...(more.length > 0 && { facts: Object.fromEntries(more) }),
    };
  }

  /** @throws Unreadable when they are so many that they cannot be what the column is named. */
  #level(column: 'method' | 'cut', text: string): string {
    const name = this.#nameOf(column, text);
    const levels = this.#levels[column];
    levels.add(name);
    if (levels.size > MOST_LEVELS) throw new Unreadable(this.#levelsProblem(column));
    return name;
  }

  #levelsProblem(column: 'method' | 'cut'): string {
    const quoted = [...this.#levels[column]].slice(0, LEVELS_QUOTED).map((name) => `“${shorten(name)}”`);
    const members = this.#members.size;
    const looks =
      members <= MOST_LEVELS
        ? `It looks swapped with member, which holds ${members === 1 ? 'one' : `only ${members}`}.`
        : 'It looks like some other column under that name.';
    return `The column ${column} holds more than ${MOST_LEVELS} different words, such as ${quoted.join(', ')}. ${looks} A ${column} is one of a few that many batches share.`;
  }

  /** A mark that is not closed ends at the next one, with all the rows between taken for one cell. */
  #holdsRows(cell: string): boolean {
    return cell.includes('\n') && cell.includes(this.#delimiter);
  }

  #cellsProblem(cells: number, line: number): string {
    const joins = this.#lastLine > line ? `; quotation marks join lines ${line} to ${this.#lastLine}` : '';
    return `it has ${cells} ${cells === 1 ? 'cell' : 'cells'}, and the first line names ${this.#width} columns${joins}`;
  }

  #numberOf(text: string, line: number): number {
    if (this.#numberedBy === 'line') return line;
    const number = /^\d{1,15}$/.test(text.trim()) ? Number(text) : undefined;
    if (number === undefined || this.#numbers.has(number)) {
      this.#numberByLine();
      return line;
    }
    this.#numbers.add(number);
    this.#lines.push(line);
    return number;
  }

  #numberByLine(): void {
    this.#numberedBy = 'line';
    for (const [at, line] of this.#lines.entries()) {
      const batch = this.#batches[at];
      if (batch !== undefined) this.#batches[at] = { ...batch, batch: line };
    }
    this.#numbers.clear();
    this.#lines.length = 0;
  }

  #once(text: string): string {
    const known = this.#words.get(text);
    if (known !== undefined) return known;
    this.#words.set(text, text);
    return text;
  }
}

/** What is wrong with a weight or a time, if anything. */
function boundsProblem(value: number, { orNone, most, mostWords }: Bounds): string | undefined {
  if (value > most) return `is ${value}; it must be at most ${mostWords}`;
  if (value < 0 || (value === 0 && !orNone))
    return `is ${value}; it must be ${orNone ? 'nothing or more' : 'more than nothing'}`;
  if (value !== 0 && value < LEAST) return `is ${value}; it must be at least ${LEAST}`;
  return undefined;
}
