import { setTimeout as pause } from 'node:timers/promises';
import type { PostgresPool } from 'kysely';
import pg from 'pg';
import { Connection } from './connection.js';
import { failedConnect, isFull, NoAnswer } from './failures.js';
import { answerWithinMs, clientLimits, type DatabaseLimits } from './limits.js';
import { watchForOutage } from './outage.js';
import { turnsFor } from './turns.js';
import { withClient } from './with-client.js';

/** What befalls the connections, for the log: one was lost, the database is out of reach, it is back. */
export type HearOfDatabase = (news: 'connection lost' | 'away' | 'back', cause?: unknown) => void;

/** Connections that are used and that are not, and who waits for one. */
export interface PoolCounts {
  readonly inUse: number;
  readonly idle: number;
  readonly waiting: number;
}

export interface Pool extends PostgresPool {
  counts(): PoolCounts;
}

/** Between two attempts to get a connection from a server that takes no more just now. */
const FULL_PAUSE_MS = 200;
/** For open connections to close in good order. */
const END_MS = 2000;

/**
 * A pool of connections to one Postgres, made when first needed, that does not wait for a database that is gone.
 * `connect` rejects with Unavailable: busy when no connection becomes free in time, away when none can be made, and then
 * at once until one can again. Of what a statement rejects with tells Connection.
 */
export function openPool(settings: pg.ClientConfig, limits: DatabaseLimits, hear: HearOfDatabase): Pool {
  const config: pg.ClientConfig = { ...settings, ...clientLimits(limits), keepAlive: true };
  const pool = new pg.Pool({ ...config, max: limits.connections });
  const turns = turnsFor(limits.connections);
  const open = new Map<pg.PoolClient, Connection>();
  const outage = watchForOutage(() => tryToConnect(config), {
    away: (cause) => hear('away', cause),
    back: () => hear('back'),
  });

  function lost(error: Error): void {
    // The others to a server that hangs are no better.
    if (error instanceof NoAnswer) for (const other of open.values()) other.isSound = false;
    hear('connection lost', error);
  }

  pool.on('connect', (client) => {
    const answerMs = answerWithinMs(limits);
    open.set(client, new Connection({ client, answerWithinMs: answerMs, lost, released: turns.giveBack }));
  });
  pool.on('remove', (client) => open.delete(client));
  // The connection has heard it.
  pool.on('error', () => {});

  const refuseWhileAway = (): void => {
    if (outage.cause !== undefined && pool.idleCount === 0) throw failedConnect(outage.cause);
  };

  async function connected(until: number): Promise<Connection> {
    for (;;) {
      refuseWhileAway();
      try {
        const client = await pool.connect();
        const connection = open.get(client);
        if (connection?.isSound) return connection;
        client.release(true);
      } catch (error) {
        if (!isFull(error)) outage.begin(error);
        if (!isFull(error) || performance.now() + FULL_PAUSE_MS > until) throw failedConnect(error);
        await pause(FULL_PAUSE_MS);
      }
    }
  }

  return {
    async connect() {
      const until = performance.now() + limits.waitMs;
      refuseWhileAway();
      await turns.take(limits.waitMs);
      try {
        return await connected(until);
      } catch (error) {
        turns.giveBack();
        throw error;
      }
    },
    counts() {
      const { taken, waiting } = turns.counts();
      return { inUse: taken, idle: pool.idleCount, waiting };
    },
    async end() {
      outage.stop();
      // A server that hangs does not say goodbye, and a connection that stays open keeps the process from ending.
      const cut = setTimeout(() => {
        for (const { connection } of open.keys()) connection.stream.destroy();
      }, END_MS);
      await pool.end();
      while (open.size > 0) await pause(10);
      clearTimeout(cut);
    },
  };
}

/** Rejects when no connection can be made; a server that takes no more just now is there. */
async function tryToConnect(config: pg.ClientConfig): Promise<void> {
  try {
    await withClient(config, async () => {});
  } catch (error) {
    if (!isFull(error)) throw error;
  }
}
