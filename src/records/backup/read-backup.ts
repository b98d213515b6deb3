import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { stat } from 'node:fs/promises';
import { pipeline } from 'node:stream';
import { isDeepStrictEqual } from 'node:util';
import { createGunzip } from 'node:zlib';
import { codeOf } from '../pool/failures.js';
import { StartRefused } from '../start-problems.js';
import {
  anyHeaderLine,
  END_OF_ROWS,
  FORMAT,
  type Header,
  headerLine,
  readLine,
  sealLine,
  type TableColumns,
  type Totals,
  tableLine,
  totalsLine,
} from './format.js';

export interface Backup {
  readonly header: Header;
  readonly totals: Totals;
}

/** Takes one table; rows come in pieces of whole lines and must all be read. */
export type TakeTable = (table: TableColumns, rows: AsyncIterable<Buffer>) => Promise<void>;

/** No row comes near. */
const LONGEST_LINE_BYTES = 1 << 24;
const PIECE_BYTES = 1 << 16;

/**
 * Reads a backup through, handing out each table as soon as it is read; only at the end has the file proved to be as it
 * was written.
 * @throws StartRefused when it is none, is not whole, or is of a newer version
 */
export async function readBackup(file: string, takeTable: TakeTable = readThrough): Promise<Backup> {
  const damaged = new StartRefused(
    `${file} was cut off or changed since it was made, so nothing was put back. Use another backup.`,
  );
  const lines = linesOf(file, damaged);
  const hash = createHash('sha256');
  let last: Buffer = Buffer.alloc(0);
  /** When it answers, the hash is that of all lines before. */
  const next = async (): Promise<Buffer> => {
    hash.update(last);
    const line = await lines.next();
    if (line.done) throw damaged;
    last = line.value;
    return last;
  };

  const header = headerIn(await next(), file);
  const counts: Record<string, number> = {};
  let line = await next();
  for (let table = readLine(tableLine, line); table; table = readLine(tableLine, line)) {
    const { rows, counted } = rowsUntilEnd(next);
    await takeTable(table, rows);
    counts[table.table] = counted();
    line = await next();
  }
  const totals = readLine(totalsLine, line);
  const seal = readLine(sealLine, await next());
  const isAsMade = totals && seal?.sha256 === hash.digest('hex') && isDeepStrictEqual(counts, totals.rows);
  if (!isAsMade || !(await lines.next()).done) throw damaged;
  return { header, totals };
}

const readThrough: TakeTable = async (_, rows) => {
  for await (const _piece of rows);
};

function headerIn(line: Buffer, file: string): Header {
  const header = readLine(headerLine, line);
  if (header) return header;
  const other = readLine(anyHeaderLine, line);
  throw other && other.format > FORMAT ? madeByNewer(file) : noBackup(file);
}

export const madeByNewer = (file: string): StartRefused =>
  new StartRefused(`${file} was made by a newer version of the bot; use that one to put it back.`);

const noBackup = (file: string): StartRefused =>
  new StartRefused(`${file} is not a backup of this bot. Those are made with npm run backup -- FILE.`);

function rowsUntilEnd(next: () => Promise<Buffer>) {
  let count = 0;
  async function* rows(): AsyncGenerator<Buffer, void> {
    let lines: Buffer[] = [];
    let bytes = 0;
    for (let line = await next(); !line.equals(END_OF_ROWS); line = await next()) {
      count++;
      lines.push(line);
      bytes += line.length;
      if (bytes < PIECE_BYTES) continue;
      yield Buffer.concat(lines);
      lines = [];
      bytes = 0;
    }
    if (bytes > 0) yield Buffer.concat(lines);
  }
  return { rows: rows(), counted: () => count };
}

/** The lines of what was compressed, each with its end. */
async function* linesOf(file: string, damaged: StartRefused): AsyncGenerator<Buffer, void> {
  let rest: Buffer = Buffer.alloc(0);
  let isFirst = true;
  try {
    if (!(await stat(file)).isFile()) throw new StartRefused(`${file} is not a file.`);
    for await (const piece of unpackedOf(file)) {
      let bytes = rest.length === 0 ? piece : Buffer.concat([rest, piece]);
      for (let end = bytes.indexOf('\n'); end !== -1; end = bytes.indexOf('\n')) {
        yield bytes.subarray(0, end + 1);
        isFirst = false;
        bytes = bytes.subarray(end + 1);
      }
      rest = bytes;
      if (rest.length > LONGEST_LINE_BYTES) throw damaged;
    }
  } catch (error) {
    throw readingProblem(error, file, isFirst ? noBackup(file) : damaged);
  }
  if (rest.length > 0) throw damaged;
}

function unpackedOf(file: string): AsyncIterable<Buffer> {
  const unpacked = createGunzip({ chunkSize: PIECE_BYTES });
  // What goes wrong with the file is heard by whoever reads on.
  pipeline(createReadStream(file), unpacked, () => {});
  return unpacked;
}

/** zlib names what is wrong with compressed data by codes that begin with Z. */
function readingProblem(error: unknown, file: string, unreadable: StartRefused): unknown {
  const code = codeOf(error) ?? '';
  if (code.startsWith('Z_')) return unreadable;
  if (code === 'ENOENT' || code === 'ENOTDIR') return new StartRefused(`There is no file ${file}.`);
  if (/^E[A-Z]+$/.test(code)) return new StartRefused(`${file} cannot be read (${code}).`);
  return error;
}
