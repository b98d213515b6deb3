import { randomBytes } from 'node:crypto';
import { inject } from 'vitest';
import { databaseUrl, runOn, TEMPLATE } from './databases.js';

export interface FreshDatabase {
  readonly connectionString: string;
  drop(): Promise<void>;
}

const BUSY = '55006';
const ATTEMPTS = 10;

/** A migrated, empty database that nobody else uses. */
export async function freshDatabase(): Promise<FreshDatabase> {
  const server = inject('postgres');
  const name = `test_${randomBytes(8).toString('hex')}`;
  for (let attempt = 1; ; attempt++) {
    try {
      await runOn(server, 'postgres', `create database ${name} template ${TEMPLATE} strategy file_copy`);
      break;
    } catch (error) {
      // Another test file is copying the template at this moment.
      const busy = error instanceof Error && 'code' in error && error.code === BUSY;
      if (!busy || attempt >= ATTEMPTS) throw error;
      await new Promise((resolve) => setTimeout(resolve, 50 * attempt));
    }
  }
  return {
    connectionString: databaseUrl(server, name),
    drop: () => runOn(server, 'postgres', `drop database ${name} with (force)`),
  };
}
