import { existsSync } from 'node:fs';
import { stat } from 'node:fs/promises';
import { dirname } from 'node:path';
import type pg from 'pg';
import { migrations } from '../../../migrations/index.js';
import { clientLimits } from '../pool/limits.js';
import { withClient } from '../pool/with-client.js';
import { doneMigrations, pendingMigrations } from '../readiness.js';
import { StartRefused } from '../start-problems.js';
import { inWords, openServer, type StoreOptions } from '../store.js';
import { sumOf } from './format.js';
import { madeByNewer, readBackup } from './read-backup.js';
import { restoreBackup } from './restore-backup.js';
import { writeBackup } from './write-backup.js';

export interface BackupOptions extends Omit<StoreOptions, 'now' | 'passing'> {
  /** What was named after the word: one file. */
  readonly files: readonly string[];
  /** Ends it half-way, with nothing done. */
  readonly signal: AbortSignal;
}

/**
 * Writes everything in the database into a file, also while a bot is using it.
 * @returns what was done, in a line
 * @throws StartRefused with one line
 */
export async function backUp(options: BackupOptions & { readonly now: Date }): Promise<string> {
  const file = oneFile(options.files, 'backup');
  await refuseUnlessFree(file);
  return onServer(options, { forReading: true }, async (client) => {
    const done = await doneMigrations(client);
    if (done.length === 0)
      throw new StartRefused('That database holds no tables of the bot, so there is nothing to back up.');
    const progress = tellProgress(options.announce, (rows) => `Backing up: ${rows} rows so far…`);
    const written = await writeBackup({ ...options, client, file, migrations: done, progress });
    return `Backed up ${contentWords(written)} to ${file} (${sizeWords(written.bytes)}).`;
  });
}

/**
 * Puts everything in a file back into an empty database.
 * @returns what was done, in a line
 * @throws StartRefused with one line; nothing is put back then
 */
export async function restore(options: BackupOptions): Promise<string> {
  const file = oneFile(options.files, 'restore');
  // Read through before anything is made for it.
  const { header, totals } = await readBackup(file);
  const known = Object.keys(migrations).slice(0, header.migrations.length);
  if (header.migrations.some((name) => !known.includes(name))) throw madeByNewer(file);
  return onServer(options, { forReading: false }, async (client, connectionString) => {
    const { limits } = options;
    await pendingMigrations({ connectionString, limits, now: undefined, looksIntoTables: false });
    const words = (done: string) => `Putting back: ${done} of ${countWords(sumOf(totals))} rows…`;
    const progress = tellProgress(options.announce, words);
    await restoreBackup({ ...options, file, header, client, connectionString, progress });
    const at = header.at.slice(0, 16).replace('T', ' ');
    return `Put back ${contentWords(totals)}, as they were on ${at} UTC.`;
  });
}

function oneFile(files: readonly string[], word: string): string {
  const [file, ...more] = files;
  if (file === undefined || more.length > 0) throw new StartRefused(`Name one file: npm run ${word} -- FILE`);
  return file;
}

/** A backup that is there already may be the only good one. */
async function refuseUnlessFree(file: string): Promise<void> {
  if (existsSync(file)) throw new StartRefused(`${file} is there already. Name another file.`);
  const folder = await stat(dirname(file)).catch(() => undefined);
  if (!folder?.isDirectory()) throw new StartRefused(`There is no folder ${dirname(file)} to put it in.`);
}

async function onServer(
  options: BackupOptions,
  { forReading }: { readonly forReading: boolean },
  work: (client: pg.Client, connectionString: string) => Promise<string>,
): Promise<string> {
  const { connectionString, place, stop } = await openServer({ ...options, passing: true, forReading });
  const config: pg.ClientConfig = {
    connectionString,
    ...clientLimits(options.limits),
    application_name: 'tallow-tally: backup',
  };
  try {
    return await inWords(place, options.log, () =>
      withClient(config, (client) => work(client, connectionString)),
    );
  } finally {
    await stop();
  }
}

const FIRST_AFTER_MS = 2000;
const NEXT_AFTER_MS = 5000;

/** Tells whoever waits how many rows are done: after two seconds first, then every five. */
function tellProgress(
  announce: (line: string) => void,
  words: (rows: string) => string,
): (rows: number) => void {
  let next = Date.now() + FIRST_AFTER_MS;
  let done = 0;
  return (rows) => {
    done += rows;
    if (Date.now() < next) return;
    next = Date.now() + NEXT_AFTER_MS;
    announce(words(countWords(done)));
  };
}

const contentWords = (content: Parameters<typeof sumOf>[0]): string =>
  `${countWords(sumOf(content))} rows of ${Object.keys(content.rows).length} tables`;

const countWords = (count: number): string => count.toLocaleString('en-US');

function sizeWords(bytes: number): string {
  const mb = bytes / 1e6;
  return mb < 1 ? `${Math.ceil(bytes / 1000)} kB` : `${mb.toFixed(1)} MB`;
}
