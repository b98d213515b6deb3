import { existsSync } from 'node:fs';
import { stat } from 'node:fs/promises';
import { dirname } from 'node:path';
import pg from 'pg';
import { clientLimits } from '../pool/limits.js';
import { doneMigrations, pendingMigrations } from '../readiness.js';
import { StartRefused } from '../start-refused.js';
import { inWords, openServer, type Server, type StoreOptions } from '../store.js';
import { countWords, tellProgress } from './progress.js';
import { checkBackup, restoreBackup } from './restore-backup.js';
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
  return withClient(options, { forReading: true }, async (client) => {
    const migrations = await doneMigrations(client);
    if (migrations.length === 0)
      throw new StartRefused('That database holds no tables of the bot, so there is nothing to back up.');
    const progress = tellProgress(options.announce, (rows) => `Backing up: ${rows} rows so far…`);
    const { rows, tables, bytes } = await writeBackup({ ...options, client, file, migrations, progress });
    return `Backed up ${countWords(rows)} rows of ${tables} tables to ${file} (${sizeWords(bytes)}).`;
  });
}

/**
 * Puts everything in a file back into an empty database.
 * @returns what was done, in a line
 * @throws StartRefused with one line; nothing is put back then
 */
export async function restore(options: BackupOptions): Promise<string> {
  const file = oneFile(options.files, 'restore');
  // Before anything is made for it.
  const { header, rows, tables } = await checkBackup(file);
  return withClient(options, { forReading: false }, async (client, { connectionString }) => {
    const { limits } = options;
    await pendingMigrations({ connectionString, limits, now: undefined, looksIntoTables: false });
    const words = (done: string) => `Putting back: ${done} of ${countWords(rows)} rows…`;
    const progress = tellProgress(options.announce, words);
    await restoreBackup({ ...options, file, header, client, connectionString, progress });
    const at = header.at.slice(0, 16).replace('T', ' ');
    return `Put back ${countWords(rows)} rows of ${tables} tables, as they were on ${at} UTC.`;
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

async function withClient(
  options: BackupOptions,
  { forReading }: { readonly forReading: boolean },
  work: (client: pg.Client, server: Server) => Promise<string>,
): Promise<string> {
  const server = await openServer({ ...options, passing: true, forReading });
  const { connectionString, place } = server;
  try {
    return await inWords(place, options.log, async () => {
      const client = new pg.Client({
        connectionString,
        ...clientLimits(options.limits),
        application_name: 'tallow-tally: backup',
      });
      client.on('error', () => {});
      try {
        await client.connect();
        return await work(client, server);
      } finally {
        await client.end().catch(() => {});
      }
    });
  } finally {
    await server.stop();
  }
}

function sizeWords(bytes: number): string {
  const mb = bytes / 1e6;
  return mb < 1 ? `${Math.ceil(bytes / 1000)} kB` : `${mb.toFixed(1)} MB`;
}
