import { pipeline } from 'node:stream/promises';
import { isDeepStrictEqual } from 'node:util';
import type pg from 'pg';
import { from as copyFrom } from 'pg-copy-streams';
import { migrate } from '../migrate.js';
import type { DatabaseLimits } from '../pool/limits.js';
import { doneMigrations } from '../readiness.js';
import { StartRefused } from '../start-problems.js';
import { type Header, rowsIn, type TableColumns } from './format.js';
import { readBackup } from './read-backup.js';
import { copyTarget, FOR_COPY, sequencesOf, tablesOf } from './tables.js';

export interface RestoreOptions {
  readonly file: string;
  readonly header: Header;
  readonly client: pg.Client;
  /** Where the client is connected to. */
  readonly connectionString: string;
  readonly limits: DatabaseLimits;
  readonly progress: (rows: number) => void;
  readonly signal: AbortSignal;
}

/**
 * Puts a backup back into an empty database: its tables are brought to where they were when it was made, filled in one
 * transaction, and then brought up to date.
 * @throws StartRefused when the database is not empty or the backup does not fit; nothing is put back then
 */
export async function restoreBackup(options: RestoreOptions): Promise<void> {
  const { client, header, connectionString, limits } = options;
  const tables = await tablesOf(client);
  if (tables.length > 0 && (await doneMigrations(client)).length === 0)
    throw new StartRefused(
      'That database holds tables of something else. Name an empty one in DATABASE_URL.',
    );
  await refuseUnlessEmpty(client, tables);
  await migrate(connectionString, limits, header.migrations.at(-1));
  await client.query('begin');
  try {
    await fill(options);
    await client.query('commit');
  } catch (error) {
    await client.query('rollback').catch(() => {});
    throw error;
  }
  await migrate(connectionString, limits);
}

async function refuseUnlessEmpty(client: pg.Client, tables: readonly TableColumns[]): Promise<void> {
  for (const { table } of tables) {
    const { rows } = await client.query(`select 1 from ${client.escapeIdentifier(table)} limit 1`);
    if (rows.length > 0)
      throw new StartRefused(
        'That database holds records already, and a backup is put back into an empty one only. Name an empty database in DATABASE_URL, or a new folder with --data.',
      );
  }
}

async function fill({ file, client, progress, signal }: RestoreOptions): Promise<void> {
  const doesNotFit = new StartRefused(
    `${file} does not fit the version of the bot that it names, so nothing was put back.`,
  );
  await client.query(FOR_COPY);
  // Somebody may be using them.
  await client.query(`set local lock_timeout = '5s'`);
  const tables = await tablesOf(client);
  const names = tables.map(({ table }) => client.escapeIdentifier(table)).join(', ');
  await client.query(`lock table ${names} in access exclusive mode`);
  // Nobody can have come in between now.
  await refuseUnlessEmpty(client, tables);
  const left = new Map(tables.map(({ table, columns }) => [table, columns]));
  const { totals } = await readBackup(file, async (target, rows) => {
    if (!hasSame(left.get(target.table) ?? [], target.columns)) throw doesNotFit;
    left.delete(target.table);
    await fillTable(client, target, watched(rows, progress, signal));
  });
  const sequences = Object.keys(await sequencesOf(client));
  if (left.size > 0 || !hasSame(sequences, Object.keys(totals.sequences))) throw doesNotFit;
  for (const [name, { last, called }] of Object.entries(totals.sequences))
    await client.query('select setval(quote_ident($1)::regclass, $2::bigint, $3)', [name, last, called]);
  await client.query(`analyze ${names}`);
}

const hasSame = (some: readonly string[], others: readonly string[]): boolean =>
  isDeepStrictEqual([...some].sort(), [...others].sort());

/** Triggers count what is logged; these rows were counted when they were. */
async function fillTable(
  client: pg.Client,
  target: TableColumns,
  rows: AsyncIterable<Buffer>,
): Promise<void> {
  const table = client.escapeIdentifier(target.table);
  await client.query(`alter table ${table} disable trigger user`);
  await pipeline(rows, client.query(copyFrom(`copy ${copyTarget(client, target)} from stdin`)));
  await client.query(`alter table ${table} enable trigger user`);
}

async function* watched(
  rows: AsyncIterable<Buffer>,
  progress: (rows: number) => void,
  signal: AbortSignal,
): AsyncGenerator<Buffer, void> {
  for await (const piece of rows) {
    signal.throwIfAborted();
    yield piece;
    progress(rowsIn(piece));
  }
}
