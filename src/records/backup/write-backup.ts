import { createHash } from 'node:crypto';
import { open, rename, rm, stat } from 'node:fs/promises';
import { pipeline } from 'node:stream/promises';
import { createGzip } from 'node:zlib';
import type pg from 'pg';
import { to as copyTo } from 'pg-copy-streams';
import { codeOf } from '../pool/failures.js';
import { StartRefused } from '../start-problems.js';
import { END_OF_ROWS, FORMAT, jsonLine, rowsIn, type Totals } from './format.js';
import { copyTarget, FOR_COPY, sequencesOf, tablesOf } from './tables.js';

export interface WriteOptions {
  readonly client: pg.Client;
  readonly file: string;
  readonly migrations: readonly string[];
  readonly now: Date;
  readonly progress: (rows: number) => void;
  readonly signal: AbortSignal;
}

export interface Written extends Pick<Totals, 'rows'> {
  readonly bytes: number;
}

/**
 * Writes all rows as they are at one moment into a file that is there whole or not at all. Others go on meanwhile.
 * @throws what the database, the file or the signal throws; nothing is left of the file then
 */
export async function writeBackup(options: WriteOptions): Promise<Written> {
  const { client, file, signal } = options;
  const unfinished = `${file}.${process.pid}.unfinished`;
  const rows: Totals['rows'] = {};
  const handle = await open(unfinished, 'wx', 0o600).catch((error) => {
    throw fileProblem(error, file);
  });
  try {
    await client.query('begin isolation level repeatable read read only');
    await client.query(FOR_COPY);
    // Closes the file, once all is on the disk.
    const out = handle.createWriteStream({ flush: true });
    await pipeline(sealed(linesOf(options, rows)), createGzip(), out, { signal });
    await client.query('commit');
    await rename(unfinished, file);
  } catch (error) {
    await handle.close().catch(() => {});
    await rm(unfinished, { force: true });
    throw fileProblem(error, file);
  }
  return { rows, bytes: (await stat(file)).size };
}

/** Node, `errors`, common system errors: what files fail with and connections do not. */
const FILE_CODES = ['EACCES', 'EDQUOT', 'EFBIG', 'EIO', 'ENAMETOOLONG', 'ENOENT', 'ENOSPC', 'EPERM', 'EROFS'];

function fileProblem(error: unknown, file: string): unknown {
  const code = codeOf(error) ?? '';
  if (!FILE_CODES.includes(code)) return error;
  const why = code === 'ENOSPC' ? 'its disk is full' : code;
  return new StartRefused(`${file} could not be written (${why}), and nothing is left of it.`);
}

/** All but the seal; `counts` are the rows of each table so far. */
async function* linesOf(
  { client, migrations, now, progress }: WriteOptions,
  counts: Totals['rows'],
): AsyncGenerator<Buffer, void> {
  yield jsonLine({ tallowTally: 'backup', format: FORMAT, at: now.toISOString(), migrations });
  for (const target of await tablesOf(client)) {
    yield jsonLine(target);
    let count = 0;
    const rows = client.query(copyTo(`copy ${copyTarget(client, target)} to stdout`));
    for await (const piece of rows) {
      if (!Buffer.isBuffer(piece)) throw new TypeError('COPY gave no bytes');
      count += rowsIn(piece);
      progress(rowsIn(piece));
      yield piece;
    }
    counts[target.table] = count;
    yield END_OF_ROWS;
  }
  // After the rows, so that no sequence stands before a number that one of them has.
  yield jsonLine({ rows: counts, sequences: await sequencesOf(client) });
}

async function* sealed(lines: AsyncIterable<Buffer>): AsyncGenerator<Buffer, void> {
  const hash = createHash('sha256');
  for await (const piece of lines) {
    hash.update(piece);
    yield piece;
  }
  yield jsonLine({ sha256: hash.digest('hex') });
}
