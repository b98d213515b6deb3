/**
 * Whether each weekly post comes exactly once when two processes race, connections break and processes are killed:
 * `npm run bench -- weekly-faults [runs] [first seed]`. The exit status is 1 when a post was missing or came twice.
 */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import { openRecords } from '../../src/records/database.js';
import { openEmbeddedPostgres } from '../../src/records/embedded/embedded-postgres.js';
import { migrate } from '../../src/records/migrate.js';
import { uniform } from '../statistics/seeded.js';
import { type FaultyWeek, faultyWeek } from '../support/weekly-faults.js';

const RUNS = Number(process.argv[2] ?? 200);
const FIRST_SEED = Number(process.argv[3] ?? 1);

const sum = (weeks: readonly FaultyWeek[], of: (week: FaultyWeek) => number): number =>
  weeks.reduce((total, week) => total + of(week), 0);
const missing = ({ messages }: FaultyWeek) => messages.filter((count) => count === 0).length;
const twice = ({ messages }: FaultyWeek) => messages.filter((count) => count > 1).length;

const dataDir = await mkdtemp(join(tmpdir(), 'tallow-tally-faults-'));
try {
  const postgres = await openEmbeddedPostgres({ dataDir, log: () => {}, onLockLost: () => {} });
  await migrate(postgres.connectionString);
  const db = openRecords(postgres.connectionString, () => {});
  const weeks: FaultyWeek[] = [];
  for (let run = 0; run < RUNS; run++) {
    const start = performance.now();
    const week = await faultyWeek(db, postgres.connectionString, uniform(FIRST_SEED + run));
    weeks.push(week);
    const seconds = ((performance.now() - start) / 1000).toFixed(1);
    console.log(
      `seed ${FIRST_SEED + run}: ${week.messages.length} posts, ${missing(week)} missing, ${twice(week)} twice, ${week.unrecorded} out but not recorded at a kill, ${week.faultsMet} faults met, ${seconds} s`,
    );
    for (const violation of week.violations) console.log(`  ${violation}`);
  }
  const wrong = sum(weeks, (week) => missing(week) + twice(week) + week.violations.length);
  console.table([
    {
      runs: RUNS,
      posts: sum(weeks, ({ messages }) => messages.length),
      missing: sum(weeks, missing),
      twice: sum(weeks, twice),
      'killed just after a request': sum(weeks, ({ killedAtRequests }) => killedAtRequests),
      'killed at any moment': sum(weeks, ({ killedAnytime }) => killedAnytime),
      'out but not recorded at a kill': sum(weeks, ({ unrecorded }) => unrecorded),
      'faults met': sum(weeks, ({ faultsMet }) => faultsMet),
      'refused by the stand-in': sum(weeks, ({ violations }) => violations.length),
    },
  ]);
  if (wrong > 0) process.exitCode = 1;
  await db.destroy();
  await postgres.stop();
} finally {
  await rm(dataDir, { recursive: true, force: true });
}
