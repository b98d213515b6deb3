import pg from 'pg';
import { SUPERUSER } from './cluster.js';

export const HOST = '127.0.0.1';
const ANSWER_WAIT_MS = 5000;

/** Where the server is to be reached; nothing in the environment changes the way. */
export function connectionStringOf(port: number, password: string): string {
  return `postgres://${SUPERUSER}:${password}@${HOST}:${port}/postgres?sslmode=disable`;
}

/** A connection whose loss is noticed by its end alone. */
export async function connect(port: number, password: string, applicationName: string): Promise<pg.Client> {
  const client = new pg.Client({
    connectionString: connectionStringOf(port, password),
    application_name: applicationName,
    connectionTimeoutMillis: ANSWER_WAIT_MS,
    keepAlive: true,
  });
  // Unheard, the error would end the process first.
  client.on('error', () => {});
  try {
    await client.connect();
    return client;
  } catch (error) {
    // A connection left half open would keep the server waiting for it.
    void client.end().catch(() => {});
    throw error;
  }
}
