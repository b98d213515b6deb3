import {
  CompiledQuery,
  type DatabaseConnection,
  Kysely,
  Migrator,
  PostgresAdapter,
  PostgresDialect,
  PostgresDriver,
  sql,
  type TransactionSettings,
} from 'kysely';
import pg from 'pg';
import { migrations } from '../../migrations/index.js';
import { connectionTo, TABLES_SCHEMA } from './database.js';
import { clientLimits, type DatabaseLimits, USUAL_LIMITS } from './pool/limits.js';

/**
 * Brings the tables up to date, or to where the migration `target` leaves them, forward or back; several processes may
 * try at once. It takes as long as it takes: the limits are lifted, those that the role or the database has as well.
 * @returns the migrations that were run
 * @throws what the database said
 */
export async function migrate(
  connectionString: string,
  limits: DatabaseLimits = USUAL_LIMITS,
  target?: string,
): Promise<readonly string[]> {
  const pool = new pg.Pool({ ...connectionTo(connectionString), ...clientLimits(limits), max: 2 });
  // Whoever uses a connection that is lost hears it from its statement; unheard here, it would end the process.
  pool.on('error', () => {});
  pool.on('connect', (client) => client.on('error', () => {}));
  const db = new Kysely<unknown>({ dialect: new MigrationDialect(pool) });
  try {
    const { rows } = await sql<{ schema: string }>`select ${sql.raw(TABLES_SCHEMA)} as schema`.execute(db);
    const migrator = new Migrator({
      db,
      provider: { getMigrations: async () => ({ ...migrations }) },
      // Unsaid, tables of the same names in another schema would be taken for these.
      ...(rows[0] === undefined ? {} : { migrationTableSchema: rows[0].schema }),
    });
    const { error, results } = await (target === undefined
      ? migrator.migrateToLatest()
      : migrator.migrateTo(target));
    if (error) throw error;
    return (results ?? []).map(({ migrationName }) => migrationName);
  } finally {
    await db.destroy();
  }
}

class MigrationDialect extends PostgresDialect {
  readonly #pool: pg.Pool;

  constructor(pool: pg.Pool) {
    super({ pool });
    this.#pool = pool;
  }

  override createAdapter(): PostgresAdapter {
    return new AdapterWithoutLock();
  }

  override createDriver(): PostgresDriver {
    return new MigrationDriver({ pool: this.#pool });
  }
}

/** The adapter's own lock is held by the connection, which a pooler gives to others between two transactions. */
class AdapterWithoutLock extends PostgresAdapter {
  override async acquireMigrationLock(): Promise<void> {}
  override async releaseMigrationLock(): Promise<void> {}
}

/** Any number will do, as long as every copy of the bot asks for the same; earlier ones ask for kysely’s own. */
const LOCK_KEY = '3853314791062309107';

class MigrationDriver extends PostgresDriver {
  override async beginTransaction(
    connection: DatabaseConnection,
    settings: TransactionSettings,
  ): Promise<void> {
    await super.beginTransaction(connection, settings);
    for (const statement of [
      'set local statement_timeout = 0',
      'set local lock_timeout = 0',
      'set local idle_in_transaction_session_timeout = 0',
      `select pg_advisory_xact_lock(${LOCK_KEY})`,
    ])
      await connection.executeQuery(CompiledQuery.raw(statement));
  }
}
