import type pg from 'pg';
import { TABLES_SCHEMA } from '../tables-schema.js';

export interface TableColumns {
  readonly table: string;
  /** Those that are stored, in their order. */
  readonly columns: readonly string[];
}

export interface Sequence {
  readonly last: string;
  readonly called: boolean;
}

/** Kysely's own, which say how far the tables are and are not themselves kept. */
const NOT_KEPT = ['kysely_migration', 'kysely_migration_lock'];

/** Every table of the bot’s, those that others point to before them. */
export async function tablesOf(client: pg.Client): Promise<readonly TableColumns[]> {
  const { rows } = await client.query<{ table: string; columns: string[] }>(
    `select t.table_name as table, array_agg(c.column_name::text order by c.ordinal_position) as columns
      from information_schema.tables t
      join information_schema.columns c using (table_schema, table_name)
      where t.table_schema = ${TABLES_SCHEMA} and t.table_type = 'BASE TABLE'
        and c.is_generated = 'NEVER' and t.table_name <> all ($1)
      group by t.table_name
      order by t.table_name`,
    [NOT_KEPT],
  );
  return inOrder(rows, await pointersOf(client));
}

interface Pointer {
  readonly from: string;
  readonly to: string;
}

async function pointersOf(client: pg.Client): Promise<readonly Pointer[]> {
  const { rows } = await client.query<Pointer>(
    `select distinct f.relname as from, t.relname as to
      from pg_constraint k
      join pg_class f on f.oid = k.conrelid
      join pg_class t on t.oid = k.confrelid
      where k.contype = 'f' and f.relnamespace = (select oid from pg_namespace where nspname = ${TABLES_SCHEMA}) and f.oid <> t.oid`,
  );
  return rows;
}

/** @throws Error when tables point to one another in a circle: no order would do. */
function inOrder(tables: readonly TableColumns[], pointers: readonly Pointer[]): readonly TableColumns[] {
  const ordered: TableColumns[] = [];
  let left = tables;
  while (left.length > 0) {
    const waits = (table: string) =>
      pointers.some(({ from, to }) => from === table && left.some((other) => other.table === to));
    const free = left.filter(({ table }) => !waits(table));
    if (free.length === 0) throw new Error(`tables point to one another: ${left.map(({ table }) => table)}`);
    ordered.push(...free);
    left = left.filter(({ table }) => waits(table));
  }
  return ordered;
}

/** Where every sequence of the bot’s stands. */
export async function sequencesOf(client: pg.Client): Promise<Readonly<Record<string, Sequence>>> {
  const { rows } = await client.query<{ name: string }>(
    `select sequence_name as name from information_schema.sequences
      where sequence_schema = ${TABLES_SCHEMA} order by 1`,
  );
  const sequences: Record<string, Sequence> = {};
  for (const { name } of rows) {
    const state = await client.query<Sequence>(
      `select last_value::text as last, is_called as called from ${client.escapeIdentifier(name)}`,
    );
    if (state.rows[0]) sequences[name] = state.rows[0];
  }
  return sequences;
}

/** Of a transaction: it takes as long as it takes, and the same value is the same text on every server. */
export const FOR_COPY = `
  set local statement_timeout = 0;
  set local idle_in_transaction_session_timeout = 0;
  set local client_encoding = 'UTF8';
  set local datestyle = 'ISO, YMD';
  set local intervalstyle = 'postgres';
  set local timezone = 'UTC';
  set local extra_float_digits = 1;
  set local bytea_output = 'hex'`;

/** A table and its columns as COPY wants them. */
export function copyTarget(client: pg.Client, { table, columns }: TableColumns): string {
  const names = columns.map((name) => client.escapeIdentifier(name)).join(', ');
  return `${client.escapeIdentifier(table)} (${names})`;
}
