import type pg from 'pg';
import { TABLES_SCHEMA } from '../database.js';
import type { TableColumns, Totals } from './format.js';

/** Kysely's own, which say how far the tables are and are not themselves kept. */
const NOT_KEPT = ['kysely_migration', 'kysely_migration_lock'];

/** Every table of the bot’s with the columns that are stored, those that others point to before them. */
export async function tablesOf(client: pg.Client): Promise<readonly TableColumns[]> {
  const { rows } = await client.query<{ table: string; columns: string[] }>(
    `with recursive own as (
        select oid, relname from pg_class
          where relkind = 'r' and relnamespace = to_regnamespace(quote_ident(${TABLES_SCHEMA}))
            and relname <> all ($1)),
      placed (oid, place) as (
        select oid, 0 from own
        union
        select k.conrelid, p.place + 1 from placed p join pg_constraint k on k.confrelid = p.oid
          where k.contype = 'f' and k.conrelid <> k.confrelid)
      select relname as table,
          array(select attname::text from pg_attribute where attrelid = oid
            and attnum > 0 and not attisdropped and attgenerated = '' order by attnum) as columns
        from own join placed using (oid)
        group by oid, relname
        order by max(place), relname`,
    [NOT_KEPT],
  );
  return rows;
}

/** Where every sequence of the bot’s stands. */
export async function sequencesOf(client: pg.Client): Promise<Totals['sequences']> {
  const { rows } = await client.query<{ name: string }>(
    `select sequence_name as name from information_schema.sequences
      where sequence_schema = ${TABLES_SCHEMA} order by 1`,
  );
  const sequences: Totals['sequences'] = {};
  for (const { name } of rows) {
    const state = await client.query<{ last: string; called: boolean }>(
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
