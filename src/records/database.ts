import { Kysely, PostgresDialect } from 'kysely';
import pg from 'pg';
import type { Schema } from './schema.js';

/** The records: a pool of connections to one Postgres. The first parameter of every function here, so that a transaction fits too. */
export type Records = Kysely<Schema>;

const INT8_OID = 20;

/** Opens a pool; connections are made when first needed. `onIdleError` hears of connections lost while nobody uses them. */
export function openRecords(
  connectionString: string,
  onIdleError: (error: Error) => void,
  maxConnections = 8,
): Records {
  const pool = new pg.Pool({
    connectionString,
    max: maxConnections,
    connectionTimeoutMillis: 10_000,
    application_name: 'tallow-tally',
    types: {
      // Counts and sums of whole numbers here stay far below 2^53.
      getTypeParser: (oid, format) =>
        oid === INT8_OID && format !== 'binary' ? Number : pg.types.getTypeParser(oid, format),
    },
  });
  pool.on('error', onIdleError);
  return new Kysely<Schema>({ dialect: new PostgresDialect({ pool }) });
}
