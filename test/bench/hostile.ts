/**
 * Whether whatever enters meets a good answer: `npm run bench -- hostile [minutes] [seed]`. Lines, presses and forms are
 * made up from real ones, a fresh community every thousand. The exit status is 1 when something met a bad answer.
 */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { openRecords } from '../../src/records/database.js';
import { openEmbeddedPostgres } from '../../src/records/embedded/embedded-postgres.js';
import { migrate } from '../../src/records/migrate.js';
import { hostileConversation } from '../support/hostile/conversation.js';

const MINUTES = Number(process.argv[2] ?? 5);
const FIRST_SEED = Number(process.argv[3] ?? 1);
const EACH = 1000;
const MOST_MS = 250;

const dataDir = await mkdtemp(join(tmpdir(), 'tallow-tally-hostile-'));
try {
  const postgres = await openEmbeddedPostgres({ dataDir, log: () => {}, onLockLost: () => {} });
  await migrate(postgres.connectionString);
  const db = openRecords(postgres.connectionString, () => {});
  const until = Date.now() + MINUTES * 60_000;
  const sums = { requests: 0, refused: 0, stored: 0, wrong: 0 };
  let longestMs = 0;
  for (let seed = FIRST_SEED; Date.now() < until; seed++) {
    const met = await hostileConversation(db, seed, {
      mostMs: MOST_MS,
      isOver: (requests) => requests >= EACH || Date.now() > until,
    });
    sums.requests += met.requests;
    sums.refused += met.refused;
    sums.stored += met.stored;
    sums.wrong += met.wrongs.length;
    longestMs = Math.max(longestMs, met.longestMs);
    console.log(
      `seed ${seed}: ${met.requests} requests, ${met.refused} refused, ${met.stored} stored, ${met.longestMs.toFixed(0)} ms at most`,
    );
    for (const wrong of met.wrongs) console.log(`  ${wrong}`);
  }
  console.table([{ ...sums, 'busy at most, ms': Math.round(longestMs) }]);
  if (sums.wrong > 0) process.exitCode = 1;
  await db.destroy();
  await postgres.stop();
} finally {
  await rm(dataDir, { recursive: true, force: true });
}
