import { createHash, type Hash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { stat } from 'node:fs/promises';
import { pipeline } from 'node:stream';
import { createGunzip } from 'node:zlib';
import { StartRefused } from '../start-refused.js';
import { END_OF_ROWS, type Header, readHeader, readMark, type TableStart, type Totals } from './format.js';

/** What a backup holds, in its order; rows come in pieces of whole lines. */
export type BackupPart =
  | { readonly kind: 'header'; readonly header: Header }
  | { readonly kind: 'table'; readonly start: TableStart }
  | { readonly kind: 'rows'; readonly rows: Buffer; readonly count: number }
  | { readonly kind: 'table-end' }
  | { readonly kind: 'totals'; readonly totals: Totals };

const LINE_FEED = 0x0a;
/** No row comes near. */
const LONGEST_LINE_BYTES = 1 << 24;
const PIECE_BYTES = 1 << 16;
const LAST_ROW = `${END_OF_ROWS}\n`;

/**
 * The parts of a backup file, each as soon as it is read; the totals only once the whole file has proved to be as it was
 * written.
 * @throws StartRefused when it is none, is not whole, or is of a newer version
 */
export async function* readBackup(file: string): AsyncGenerator<BackupPart, void> {
  const damaged = new StartRefused(
    `${file} was cut off or changed since it was made, so nothing was put back. Use another backup.`,
  );
  const lines = linesOf(file, damaged);
  const next = async (): Promise<Buffer> => {
    const line = await lines.next();
    if (line.done) throw damaged;
    return line.value;
  };
  const hash = createHash('sha256');
  const first = await next();
  hash.update(first);
  yield { kind: 'header', header: headerIn(first, file) };

  const counts: Record<string, number> = {};
  for (;;) {
    const line = await next();
    const mark = readMark(line.toString('utf8'));
    hash.update(line);
    if (mark !== undefined && 'rows' in mark) {
      const seal = readMark((await next()).toString('utf8'));
      const isAsMade = seal !== undefined && 'sha256' in seal && seal.sha256 === hash.digest('hex');
      if (!isAsMade || !(await lines.next()).done || !isSame(counts, mark.rows)) throw damaged;
      return yield { kind: 'totals', totals: mark };
    }
    if (mark === undefined || !('table' in mark)) throw damaged;
    yield { kind: 'table', start: mark };
    let count = 0;
    for await (const piece of rowsOf(next, hash)) {
      count += piece.count;
      yield { kind: 'rows', ...piece };
    }
    counts[mark.table] = count;
    yield { kind: 'table-end' };
  }
}

function headerIn(line: Buffer, file: string): Header {
  const header = readHeader(line.toString('utf8'));
  if (header === 'newer')
    throw new StartRefused(`${file} was made by a newer version of the bot; use that one to put it back.`);
  if (header === undefined) throw noBackup(file);
  return header;
}

const noBackup = (file: string): StartRefused =>
  new StartRefused(`${file} is not a backup of this bot. Those are made with npm run backup -- FILE.`);

async function* rowsOf(
  next: () => Promise<Buffer>,
  hash: Hash,
): AsyncGenerator<{ readonly rows: Buffer; readonly count: number }, void> {
  let lines: Buffer[] = [];
  let bytes = 0;
  for (;;) {
    const line = await next();
    const isLast = line.length === LAST_ROW.length && line.toString('latin1') === LAST_ROW;
    if (!isLast) {
      lines.push(line);
      bytes += line.length;
    }
    if (bytes >= PIECE_BYTES || (isLast && bytes > 0)) {
      const rows = Buffer.concat(lines);
      hash.update(rows);
      yield { rows, count: lines.length };
      lines = [];
      bytes = 0;
    }
    if (isLast) {
      hash.update(line);
      return;
    }
  }
}

/** The lines of what was compressed, each with its end. */
async function* linesOf(file: string, damaged: StartRefused): AsyncGenerator<Buffer, void> {
  let rest: Buffer = Buffer.alloc(0);
  let isFirst = true;
  try {
    if (!(await stat(file)).isFile()) throw new StartRefused(`${file} is not a file.`);
    for await (const piece of unpackedOf(file)) {
      let bytes = rest.length === 0 ? piece : Buffer.concat([rest, piece]);
      for (let end = bytes.indexOf(LINE_FEED); end !== -1; end = bytes.indexOf(LINE_FEED)) {
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
  const code = error instanceof Error && 'code' in error ? String(error.code) : '';
  if (code.startsWith('Z_')) return unreadable;
  if (code === 'ENOENT' || code === 'ENOTDIR') return new StartRefused(`There is no file ${file}.`);
  if (/^E[A-Z]+$/.test(code)) return new StartRefused(`${file} cannot be read (${code}).`);
  return error;
}

function isSame(some: Readonly<Record<string, number>>, others: Readonly<Record<string, number>>): boolean {
  const names = Object.keys(some);
  return names.length === Object.keys(others).length && names.every((name) => some[name] === others[name]);
}
