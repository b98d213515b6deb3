/** How long a backup and putting it back take, and how large it is: `npm run bench -- backup [batches]`. */
import { mkdtemp, rm, stat } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import { backUp, restore } from '../../src/records/backup/run.js';
import { openRecords } from '../../src/records/database.js';
import { openEmbeddedPostgres } from '../../src/records/embedded/embedded-postgres.js';
import { migrate } from '../../src/records/migrate.js';
import { USUAL_LIMITS } from '../../src/records/pool/limits.js';
import { fillCommunity } from './fill.js';

const BATCHES = Number(process.argv[2] ?? 100_000);

const folder = await mkdtemp(join(tmpdir(), 'tallow-tally-bench-'));
try {
  const dataDir = join(folder, 'from');
  const postgres = await openEmbeddedPostgres({ dataDir, log: () => {}, onLockLost: () => {} });
  await migrate(postgres.connectionString);
  const db = openRecords(postgres.connectionString, () => {});
  await fillCommunity(db, 'large', BATCHES, 2000);
  await db.destroy();
  await postgres.stop();

  const file = join(folder, 'backup.gz');
  const options = {
    files: [file],
    databaseUrl: undefined,
    limits: USUAL_LIMITS,
    log: { debug: () => {}, info: () => {}, warn: () => {} },
    announce: (line: string) => process.stderr.write(`${line}\n`),
    onLockLost: () => {},
    signal: new AbortController().signal,
  };
  const timed = async (what: string, work: () => Promise<string>): Promise<void> => {
    const began = performance.now();
    const done = await work();
    console.log(
      `${what.padEnd(14)}${((performance.now() - began) / 1000).toFixed(1).padStart(6)} s  ${done}`,
    );
  };
  await timed('backup', () => backUp({ ...options, dataDir, now: new Date() }));
  await timed('restore', () => restore({ ...options, dataDir: join(folder, 'to') }));
  console.log(`${BATCHES} batches, ${((await stat(file)).size / BATCHES).toFixed(1)} bytes each`);
  console.log(`peak memory of this process ${Math.round(process.resourceUsage().maxRSS / 1024)} MB`);
} finally {
  await rm(folder, { recursive: true, force: true });
}
