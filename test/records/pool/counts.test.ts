import { sql } from 'kysely';
import { expect, it } from 'vitest';
import { connectionTo, recordsIn } from '../../../src/records/database.js';
import { USUAL_LIMITS } from '../../../src/records/pool/limits.js';
import { openPool } from '../../../src/records/pool/pool.js';
import { freshDatabase } from '../../support/postgres.js';

it('counts the connections in use and idle, and who waits for one', async () => {
  const database = await freshDatabase();
  const pool = openPool(
    connectionTo(database.connectionString),
    { ...USUAL_LIMITS, connections: 2 },
    () => {},
  );
  const db = recordsIn(pool);
  expect(pool.counts()).toEqual({ inUse: 0, idle: 0, waiting: 0 });
  const asked = [1, 2, 3, 4, 5].map(() => sql`select pg_sleep(0.2)`.execute(db));
  await expect.poll(pool.counts).toEqual({ inUse: 2, idle: 0, waiting: 3 });
  await Promise.all(asked);
  expect(pool.counts()).toEqual({ inUse: 0, idle: 2, waiting: 0 });
  await db.destroy();
  await database.drop();
});
