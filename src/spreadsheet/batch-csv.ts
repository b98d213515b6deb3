import { createReadStream } from 'node:fs';
import { open } from 'node:fs/promises';
import { CsvError, parse } from 'csv-parse';
import { oneLine } from '../chat/clean.js';
import { shorten } from '../chat/option.js';
import type { NumberedBatch } from '../statistics/reference-report.js';

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
      readonly batches: readonly NumberedBatch[];
      readonly wrong: readonly WrongLine[];
      /** How many lines are wrong; of a great many only the first are kept. */
      readonly wrongCount: number;
    }
  | { readonly ok: false; readonly problem: string };

export const BATCH_COLUMNS = ['member', 'method', 'cut', 'fat_g', 'minutes', 'tallow_g'] as const;

/** What a method or cut is called, however a line writes it. */
export type NameOf = (column: 'method' | 'cut', text: string) => string;

type Column = (typeof BATCH_COLUMNS)[number];

const MOST_WRONG_KEPT = 1000;
const HEAD_BYTES = 65_536;
/** A longer record is a quotation mark that was never closed. */
const MOST_RECORD_BYTES = 1_000_000;

/**
 * Reads a list of batches kept as CSV: a first line that names the columns, in any order, among others; commas,
 * semicolons or tabs between them; with or without a byte order mark; quotation marks around cells that hold any of
 * these or line breaks. Weights in grams and times in minutes are plain numbers.
 * @param nameOf is asked for the lines that are batches, in the order of the file
 */
export async function readBatchCsv(file: string, nameOf: NameOf = (_, text) => text): Promise<BatchCsv> {
  const head = await readHead(file);
  if (typeof head !== 'string') return head;
  const delimiter = delimiterOf(head);
  const reader = new RowReader(delimiter, nameOf);
  try {
    const rows = createReadStream(file).pipe(
      parse({
        bom: true,
        delimiter,
        info: true,
        relax_column_count: true,
        relax_quotes: true,
        skip_empty_lines: true,
        max_record_size: MOST_RECORD_BYTES,
      }),
    );
    for await (const { record, info } of rows) {
      const problem = reader.take(record, info.lines);
      if (problem !== undefined) return { ok: false, problem };
    }
  } catch (error) {
    if (error instanceof CsvError) return { ok: false, problem: csvProblem(error) };
    throw error;
  }
  return reader.result();
}

/** The beginning as text, or why the file cannot be read as text. */
async function readHead(file: string): Promise<string | Extract<BatchCsv, { readonly ok: false }>> {
  try {
    const handle = await open(file);
    try {
      const { buffer, bytesRead } = await handle.read(Buffer.alloc(HEAD_BYTES), 0, HEAD_BYTES, 0);
      const head = buffer.subarray(0, bytesRead);
      if (head.includes(0))
        return { ok: false, problem: 'It is not plain text. Save the table as CSV, in UTF-8.' };
      if (head.toString('utf8').replace('\ufeff', '').trim() === '')
        return { ok: false, problem: `It is empty. ${HEADER_WORDS}` };
      return head.toString('utf8');
    } finally {
      await handle.close();
    }
  } catch (error) {
    const code = error instanceof Error && 'code' in error ? error.code : undefined;
    if (code === 'ENOENT') return { ok: false, problem: 'There is no such file.' };
    if (code === 'EISDIR') return { ok: false, problem: 'It is a folder; name a file.' };
    if (code === 'EACCES') return { ok: false, problem: 'It may not be read.' };
    throw error;
  }
}

/** Whichever of the usual ones the first line holds most of. */
function delimiterOf(head: string): string {
  const first = head.split(/\r\n|\n|\r/).find((line) => line.replace('\ufeff', '').trim() !== '') ?? '';
  const count = (delimiter: string) => first.split(delimiter).length;
  return [',', ';', '\t'].reduce((best, one) => (count(one) > count(best) ? one : best));
}

const HEADER_WORDS = `The first line names the columns: ${BATCH_COLUMNS.join(', ')}; others are ignored.`;

function csvProblem(error: CsvError): string {
  const at = typeof error.lines === 'number' ? ` near line ${error.lines}` : '';
  return error.code === 'CSV_QUOTE_NOT_CLOSED' || error.code === 'CSV_MAX_RECORD_SIZE'
    ? `A quotation mark${at} is never closed, so what follows cannot be read.`
    : `It cannot be read as CSV${at}.`;
}

/** Turns rows into batches one after the other; equal words are kept once, so that a million rows stay small. */
class RowReader {
  readonly #delimiter: string;
  readonly #nameOf: NameOf;
  readonly #batches: NumberedBatch[] = [];
  readonly #wrong: WrongLine[] = [];
  readonly #words = new Map<string, string>();
  #wrongCount = 0;
  #columns: ReadonlyMap<string, number> | undefined;
  #width = 0;
  /** False once a batch has no number of its own, or one that another has. */
  #numbered = false;
  readonly #numbers = new Set<number>();

  constructor(delimiter: string, nameOf: NameOf) {
    this.#delimiter = delimiter;
    this.#nameOf = nameOf;
  }

  /** A problem ends the reading. */
  take(record: readonly string[], lastLine: number): string | undefined {
    if (this.#columns === undefined) return this.#takeHeader(record);
    const line = lastLine - record.reduce((breaks, cell) => breaks + lineBreaks(cell), 0);
    const read = this.#read(record, this.#columns);
    if (typeof read === 'string') {
      this.#wrongCount += 1;
      if (this.#wrong.length < MOST_WRONG_KEPT) this.#wrong.push({ line, reason: read });
    } else this.#batches.push(read);
    return undefined;
  }

  result(): BatchCsv {
    if (this.#columns === undefined) return { ok: false, problem: `It is empty. ${HEADER_WORDS}` };
    if (!this.#numbered)
      for (const [at, batch] of this.#batches.entries()) this.#batches[at] = { ...batch, batch: at + 1 };
    return { ok: true, batches: this.#batches, wrong: this.#wrong, wrongCount: this.#wrongCount };
  }

  #takeHeader(record: readonly string[]): string | undefined {
    const names = record.map((name) =>
      oneLine(name)
        .toLowerCase()
        .replace(/[\s-]+/g, '_'),
    );
    const missing = BATCH_COLUMNS.filter((column) => !names.includes(column));
    if (missing.length === BATCH_COLUMNS.length) return `It is not a list of batches as CSV. ${HEADER_WORDS}`;
    if (missing.length > 0)
      return `${missing.length === 1 ? 'A column is' : 'Columns are'} missing: ${missing.join(', ')}. The first line names ${shorten(names.join(', '))}.`;
    const twice = BATCH_COLUMNS.find((column) => names.indexOf(column) !== names.lastIndexOf(column));
    if (twice !== undefined) return `The column ${twice} is there twice.`;
    this.#columns = new Map(names.map((name, at) => [name, at]));
    this.#width = record.length;
    this.#numbered = names.includes('batch');
    return undefined;
  }

  #read(record: readonly string[], columns: ReadonlyMap<string, number>): NumberedBatch | string {
    const tooMany = record.slice(this.#width).some((cell) => cell.trim() !== '');
    if (record.length < this.#width || tooMany)
      return `it has ${record.length} cells, and the first line names ${this.#width} columns`;
    const cell = (column: string): string => record[columns.get(column) ?? -1] ?? '';
    const problems: string[] = [];
    const word = (column: Column): string => {
      const text = oneLine(cell(column));
      if (text === '') problems.push(`${column} is empty`);
      return this.#once(text);
    };
    const number = (column: Column, orNone = false): number => {
      const value = readNumber(cell(column), this.#delimiter);
      if (typeof value === 'string') problems.push(`${column} ${value}`);
      else if (value < 0 || (value === 0 && !orNone))
        problems.push(
          `${column} is ${value}; it must be ${orNone ? 'nothing or more' : 'more than nothing'}`,
        );
      return typeof value === 'string' ? Number.NaN : value;
    };
    const batch = {
      batch: this.#number(cell('batch')),
      member: word('member'),
      method: word('method'),
      cut: word('cut'),
      fatG: number('fat_g'),
      minutes: number('minutes'),
      tallowG: number('tallow_g', true),
    };
    if (problems.length > 0) return problems.join('; ');
    const { method, cut } = batch;
    return { ...batch, method: this.#nameOf('method', method), cut: this.#nameOf('cut', cut) };
  }

  #number(text: string): number {
    const value = /^\d{1,15}$/.test(text.trim()) ? Number(text) : Number.NaN;
    if (Number.isNaN(value) || this.#numbers.has(value)) this.#numbered = false;
    if (this.#numbered) this.#numbers.add(value);
    return Number.isNaN(value) ? 0 : value;
  }

  #once(text: string): string {
    const known = this.#words.get(text);
    if (known !== undefined) return known;
    this.#words.set(text, text);
    return text;
  }
}

const lineBreaks = (cell: string): number => cell.match(/\r\n|\n|\r/g)?.length ?? 0;

/** A plain number, or what is wrong with it. */
function readNumber(cell: string, delimiter: string): number | string {
  const text = oneLine(cell);
  if (text === '') return 'is empty';
  if (/^[+-]?\d+(\.\d+)?(e[+-]?\d+)?$/i.test(text)) {
    const value = Number(text);
    return Number.isFinite(value) ? value : `is “${shorten(text)}”, which is too large`;
  }
  // Where commas do not part the cells, they may be decimal; three digits behind one may also be thousands.
  if (delimiter !== ',' && /^[+-]?\d+,(\d{1,2}|\d{4,})$/.test(text)) return Number(text.replace(',', '.'));
  if (/^[+-]?\d{1,3}([.,'’  ]\d{3})+([.,]\d+)?$/.test(text))
    return `is “${shorten(text)}”; write it without a thousands separator`;
  if (/^[+-]?[\d.,]+\s*\p{L}+/u.test(text))
    return `is “${shorten(text)}”; give a plain number, weights in grams and times in minutes`;
  return `is “${shorten(text)}”, which is not a plain number`;
}
