import type pg from 'pg';
import { migrations } from '../../migrations/index.js';
import { TABLES_SCHEMA } from './database.js';
import { clockProblem } from './database-clock.js';
import { clientLimits, type DatabaseLimits } from './pool/limits.js';
import { withClient } from './pool/with-client.js';
import { NO_SCHEMA, StartRefused } from './start-problems.js';

/** A start that fails is to say so within ten seconds, whatever the limits. */
const CONNECT_WAIT_MS = 5000;
const QUERY_WAIT_MS = 4000;

export interface ReadinessOptions {
  readonly connectionString: string;
  readonly limits: DatabaseLimits;
  /** This machine's time; undefined where another is pretended. */
  readonly now: Date | undefined;
  /** Whether every table is looked into: for a database whose files nobody else watches over. */
  readonly looksIntoTables: boolean;
}

/**
 * Whether a database is fit for this version of the bot, without changing anything in it; answers with the migrations it
 * lacks.
 * @throws StartRefused when it is not, and what Postgres or the way to it throws
 */
export function pendingMigrations(options: ReadinessOptions): Promise<readonly string[]> {
  const config: pg.ClientConfig = {
    connectionString: options.connectionString,
    ...clientLimits(options.limits),
    connectionTimeoutMillis: CONNECT_WAIT_MS,
    query_timeout: QUERY_WAIT_MS,
    application_name: 'tallow-tally: start',
  };
  return withClient(config, async (client) => {
    const done = await doneMigrations(client);
    const { rows } = await client.query<Facts>(`
      select now(), current_setting('transaction_read_only') = 'on' as "isReadOnly",
        current_setting('server_encoding') as encoding, current_schema() as schema`);
    if (rows[0]) refuseUnfit(rows[0], options.now);
    if (options.looksIntoTables) await lookIntoTables(client);
    return Object.keys(migrations).filter((name) => !done.includes(name));
  });
}

interface Facts {
  readonly now: Date;
  readonly isReadOnly: boolean;
  readonly encoding: string;
  readonly schema: string | null;
}

/** @throws StartRefused */
function refuseUnfit({ now, ...facts }: Facts, machineNow: Date | undefined): void {
  const problem = factsProblem(facts);
  if (problem !== undefined) throw new StartRefused(problem);
  const clock = machineNow && clockProblem(machineNow, now);
  // A machine that was just switched on may still be asking for the time.
  if (clock !== undefined) throw new StartRefused(clock, true);
}

function factsProblem({ isReadOnly, encoding, schema }: Omit<Facts, 'now'>): string | undefined {
  if (schema === null) return NO_SCHEMA;
  if (isReadOnly)
    return 'The database is read-only for the bot. Name the server or the user in DATABASE_URL that may write.';
  if (encoding !== 'UTF8')
    return `The database keeps text in ${encoding}, and the bot needs UTF8. Make one with create database … encoding 'UTF8' template template0.`;
  return undefined;
}

/**
 * The migrations that were run on a database, in their order.
 * @throws StartRefused when one of them is not known here
 */
export async function doneMigrations(client: pg.Client): Promise<readonly string[]> {
  const { rows } = await client.query<{ isThere: boolean }>(
    `select to_regclass('kysely_migration') is not null as "isThere"`,
  );
  if (!rows[0]?.isThere) return [];
  const done = await client.query<{ name: string }>('select name from kysely_migration order by name');
  const names = done.rows.map(({ name }) => name);
  if (names.some((name) => !Object.hasOwn(migrations, name)))
    throw new StartRefused(
      'This database was made by a newer version of the bot; start that one. Nothing was changed in it.',
    );
  return names;
}

/** Reads the first page of each table, so that damage is met now and not by whoever asks first. */
async function lookIntoTables(client: pg.Client): Promise<void> {
  const { rows } = await client.query<{ name: string }>(
    `select quote_ident(table_name) as name from information_schema.tables where table_schema = ${TABLES_SCHEMA}`,
  );
  for (const { name } of rows) await client.query(`select 1 from ${name} limit 1`);
}
