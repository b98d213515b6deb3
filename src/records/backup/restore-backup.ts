import { pipeline } from 'node:stream/promises';
import type pg from 'pg';
import { from as copyFrom } from 'pg-copy-streams';
import { migrations } from '../../../migrations/index.js';
import { migrate, migrateTo } from '../migrate.js';
import type { DatabaseLimits } from '../pool/limits.js';
import { doneMigrations } from '../readiness.js';
import { StartRefused } from '../start-refused.js';
import type { Header, TableStart, Totals } from './format.js';
import { type BackupPart, readBackup } from './read-backup.js';
import { copyTarget, FOR_COPY, sequencesOf, type TableColumns, tablesOf } from './tables.js';

export interface Backup {
  readonly header: Header;
  readonly rows: number;
  readonly tables: number;
}

/**
 * Reads a backup through without using it.
 * @throws StartRefused when it is none, is not whole, or is of a newer version
 */
export async function checkBackup(file: string): Promise<Backup> {
  let header: Header | undefined;
  let rows = 0;
  let tables = 0;
  for await (const part of readBackup(file)) {
    if (part.kind === 'header') header = part.header;
    if (part.kind === 'rows') rows += part.count;
    if (part.kind === 'table') tables++;
  }
  if (header === undefined) throw new Error('a backup without a header was read through');
  const known = Object.keys(migrations).slice(0, header.migrations.length);
  if (header.migrations.some((name) => !known.includes(name)))
    throw new StartRefused(`${file} was made by a newer version of the bot; use that one to put it back.`);
  return { header, rows, tables };
}

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
  await migrateTo(header.migrations.at(-1) ?? '', connectionString, limits);
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
  await client.query(FOR_COPY);
  // Somebody may be using them.
  await client.query(`set local lock_timeout = '5s'`);
  const tables = await tablesOf(client);
  const names = tables.map(({ table }) => client.escapeIdentifier(table));
  if (names.length > 0) await client.query(`lock table ${names.join(', ')} in access exclusive mode`);
  // Nobody can have come in between now.
  await refuseUnlessEmpty(client, tables);
  const left = new Map(tables.map((one) => [one.table, one]));
  const parts = readBackup(file);
  for await (const part of parts) {
    if (part.kind === 'table') {
      const target = left.get(part.start.table);
      if (target === undefined || !hasSameColumns(target, part.start)) throw doesNotFit(file);
      left.delete(target.table);
      await fillTable(client, part.start, rowsFrom(parts, progress, signal));
    }
    if (part.kind === 'totals') await setSequences(client, file, part.totals);
  }
  if (left.size > 0) throw doesNotFit(file);
  await client.query(`analyze ${names.join(', ')}`);
}

const doesNotFit = (file: string): StartRefused =>
  new StartRefused(`${file} does not fit the version of the bot that it names, so nothing was put back.`);

const hasSameColumns = (target: TableColumns, { columns }: TableStart): boolean =>
  columns.length === target.columns.length && target.columns.every((name) => columns.includes(name));

/** Triggers count what is logged; these rows were counted when they were. */
async function fillTable(client: pg.Client, target: TableStart, rows: AsyncIterable<Buffer>): Promise<void> {
  const table = client.escapeIdentifier(target.table);
  await client.query(`alter table ${table} disable trigger user`);
  await pipeline(rows, client.query(copyFrom(`copy ${copyTarget(client, target)} from stdin`)));
  await client.query(`alter table ${table} enable trigger user`);
}

async function* rowsFrom(
  parts: AsyncGenerator<BackupPart, void>,
  progress: (rows: number) => void,
  signal: AbortSignal,
): AsyncGenerator<Buffer, void> {
  for (;;) {
    const next = await parts.next();
    if (next.done || next.value.kind !== 'rows') return;
    signal.throwIfAborted();
    yield next.value.rows;
    progress(next.value.count);
  }
}

async function setSequences(client: pg.Client, file: string, { sequences }: Totals): Promise<void> {
  const known = Object.keys(await sequencesOf(client));
  const names = Object.keys(sequences);
  if (known.length !== names.length || !known.every((name) => names.includes(name))) throw doesNotFit(file);
  for (const [name, { last, called }] of Object.entries(sequences))
    await client.query('select setval(quote_ident($1)::regclass, $2::bigint, $3)', [name, last, called]);
}
