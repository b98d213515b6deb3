import { Kysely, PostgresDialect, type PostgresPool } from 'kysely';
import pg from 'pg';
import { type DatabaseLimits, USUAL_LIMITS } from './pool/limits.js';
import { type HearOfDatabase, openPool } from './pool/pool.js';
import type { Schema } from './schema.js';

/** The records: a pool of connections to one Postgres. The first parameter of every function here, so that a transaction fits too. */
export type Records = Kysely<Schema>;

const INT8_OID = 20;

/** How to reach the Postgres that a connection string names, and to read what it says. */
export const connectionTo = (connectionString: string): pg.ClientConfig => ({
  connectionString,
  application_name: 'tallow-tally',
  types: {
    // Counts and sums of whole numbers here stay far below 2^53.
    getTypeParser: (oid, format) =>
      oid === INT8_OID && format !== 'binary' ? Number : pg.types.getTypeParser(oid, format),
  },
});

/** Opens the records; connections are made when first needed. */
export const openRecords = (
  connectionString: string,
  hear: HearOfDatabase,
  limits: DatabaseLimits = USUAL_LIMITS,
): Records => recordsIn(openPool(connectionTo(connectionString), limits, hear));

/** Does all of it or nothing; as a part of the transaction that is under way, where there is one. */
export const wholly = <T>(db: Records, work: (tx: Records) => Promise<T>): Promise<T> =>
  db.isTransaction ? work(db) : db.transaction().execute(work);

export const recordsIn = (pool: PostgresPool): Records =>
  new Kysely<Schema>({ dialect: new PostgresDialect({ pool }) });

/**
 * SQL for the schema that the bot's tables are in: the first in which this user finds them, or else the one that it makes
 * tables in.
 */
export const TABLES_SCHEMA = `coalesce(
  (select nspname from pg_namespace n join pg_class c on c.relnamespace = n.oid
    where c.oid = to_regclass('kysely_migration')),
  current_schema())`;
