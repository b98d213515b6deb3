import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import pg from 'pg';
import { type EmbeddedPostgres, openEmbeddedPostgres } from '../../src/records/embedded/embedded-postgres.js';
import { migrate } from '../../src/records/migrate.js';
import { type Wire, wireTo } from './wire.js';

/** So that a test need not wait for the usual ones. */
export const SHORT_LIMITS = {
  DATABASE_WAIT_SECONDS: '1',
  DATABASE_CONNECT_SECONDS: '1',
  DATABASE_STATEMENT_SECONDS: '1',
  DATABASE_LOCK_SECONDS: '0.5',
  DATABASE_IDLE_SECONDS: '1',
};

/** A Postgres of one test alone, to which things happen while bots use it. */
export interface TroubledPostgres {
  /** Leads there by way of the wire, also after it was started again. */
  readonly connectionString: string;
  readonly wire: Wire;
  /** Asks it past the wire and the bots. */
  query<Row extends pg.QueryResultRow>(text: string, values?: readonly unknown[]): Promise<readonly Row[]>;
  /** Ends every connection of bots. */
  endConnections(): Promise<void>;
  /** Stops it, and starts it again after a while. */
  restart(downMs: number): Promise<void>;
  /** Stops all its processes where they stand, and lets them go on after a while. */
  hang(ms: number): Promise<void>;
  /** Keeps everybody else from a table for a while. */
  hold(table: string, ms: number): Promise<void>;
  /** Takes nothing new for a while. */
  shut(ms: number): Promise<void>;
  /** Ends every connection of bots and takes all there are for a while. */
  takeConnections(ms: number): Promise<void>;
  /** Lets nothing through to it and back for a while. */
  freeze(ms: number): Promise<void>;
  close(): Promise<void>;
}

const END_CONNECTIONS = `select pg_terminate_backend(pid) from pg_stat_activity where application_name = 'tallow-tally'`;

/** Starts one, with the tables of the bot. */
export async function openTroubledPostgres({ durable = false } = {}): Promise<TroubledPostgres> {
  const dataDir = await mkdtemp(join(tmpdir(), 'tallow-tally-troubled-'));
  const open = (): Promise<EmbeddedPostgres> =>
    openEmbeddedPostgres({ dataDir, log: () => {}, onLockLost: () => {}, durable });
  let server = await open();
  await migrate(server.connectionString);
  const wire = await wireTo(server.connectionString);

  async function query<Row extends pg.QueryResultRow>(
    text: string,
    values: readonly unknown[] = [],
  ): Promise<readonly Row[]> {
    const client = new pg.Client({ connectionString: server.connectionString });
    client.on('error', () => {});
    await client.connect();
    try {
      return (await client.query<Row>(text, [...values])).rows;
    } finally {
      await client.end();
    }
  }

  async function takeAll(taken: pg.Client[]): Promise<void> {
    for (;;) {
      const client = new pg.Client({ connectionString: server.connectionString });
      client.on('error', () => {});
      try {
        await client.connect();
      } catch {
        return;
      }
      taken.push(client);
    }
  }

  function signal(pids: readonly number[], name: NodeJS.Signals): void {
    for (const pid of pids) {
      try {
        process.kill(pid, name);
      } catch {
        // The connection that asked for them has ended.
      }
    }
  }

  return {
    connectionString: wire.connectionString,
    wire,
    query,
    async endConnections() {
      await query(END_CONNECTIONS);
    },
    async restart(downMs) {
      await server.stop();
      await pause(downMs);
      server = await open();
      wire.lead(server.connectionString);
    },
    async hang(ms) {
      const processes = await query<{ pid: number }>('select pid from pg_stat_activity');
      const pids = [server.pid, ...processes.map(({ pid }) => pid)];
      signal(pids, 'SIGSTOP');
      await pause(ms).finally(() => signal(pids, 'SIGCONT'));
    },
    async hold(table, ms) {
      await query(`begin; lock table ${table}; select pg_sleep(${ms / 1000}); commit`);
    },
    async shut(ms) {
      await query('alter system set default_transaction_read_only = on');
      await query('select pg_reload_conf()');
      await pause(ms);
      await query('alter system reset default_transaction_read_only');
      await query('select pg_reload_conf()');
    },
    async takeConnections(ms) {
      const until = performance.now() + ms;
      const taken: pg.Client[] = [];
      while (performance.now() < until) {
        await takeAll(taken);
        await taken[0]?.query(END_CONNECTIONS);
        await pause(20);
      }
      await Promise.all(taken.map((client) => client.end()));
    },
    async freeze(ms) {
      wire.freeze();
      await pause(ms);
      await wire.mend();
    },
    async close() {
      await wire.close();
      await server.stop();
      await rm(dataDir, { recursive: true, force: true, maxRetries: 5 });
    },
  };
}
