/**
 * How long the pooled statistics take from the database, and how much memory: `npm run bench -- statistics [largest]`.
 * Ten batches a member; the largest community has a million batches unless a smaller number is given.
 */
import { randomUUID } from 'node:crypto';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import { allCommands } from '../../commands/index.js';
import { converse } from '../../src/chat/dispatch.js';
import { readLine } from '../../src/console/line.js';
import { terminalPlatform } from '../../src/console/session.js';
import { openRecords } from '../../src/records/database.js';
import { openEmbeddedPostgres } from '../../src/records/embedded/embedded-postgres.js';
import { migrate } from '../../src/records/migrate.js';
import { communitySums } from '../../src/records/model-sums.js';
import { fitMixedModel } from '../../src/statistics/model/mixed-model.js';
import { pairwiseContrasts } from '../../src/statistics/questions/pairwise.js';
import { startBot } from '../support/bot.js';
import { fillCommunity } from './fill.js';

const LARGEST = Number(process.argv[2] ?? 1_000_000);
const SIZES = [1000, 10_000, 100_000, 1_000_000].filter((size) => size <= LARGEST);
const RUNS = 9;

const median = (times: readonly number[]): number =>
  times.toSorted((a, b) => a - b)[Math.floor(times.length / 2)] ?? Number.NaN;
const shown = (ms: number): string => `${ms < 20 ? ms.toFixed(1) : Math.round(ms)} ms`;

/** The most that a bot of its own ever held, asked everything that adds batches up. */
async function peakMb(connectionString: string, community: string): Promise<number> {
  const bot = startBot({
    env: { DATABASE_URL: connectionString },
    args: ['--community', community, '--as', 'm1', '--data', dataDir],
  });
  for (const line of [
    '/yield pooled',
    '/yield forecast fat:2kg method:oven cut:ground',
    '/yield compare by:method',
  ])
    for (let run = 0; run < 3; run += 1) await bot.say(line);
  const status = await readFile(`/proc/${bot.process.pid}/status`, 'utf8');
  await bot.finish();
  return Math.round(Number(/VmHWM:\s+(\d+)/.exec(status)?.[1]) / 1024);
}

const dataDir = await mkdtemp(join(tmpdir(), 'tallow-tally-bench-'));
try {
  const postgres = await openEmbeddedPostgres({ dataDir, log: () => {}, onLockLost: () => {} });
  await migrate(postgres.connectionString);
  const db = openRecords(postgres.connectionString, () => {});
  const conversation = converse(allCommands(db), (error) => console.error(error));

  const ask = async (line: string, community: string): Promise<number> => {
    const read = readLine(line);
    if (!read.ok) throw new Error(read.problem);
    const start = performance.now();
    const outcome = await conversation.answer(read.request, {
      member: { id: 'm1', name: 'm1', mayManage: false },
      community,
      where: 'server',
      channel: undefined,
      interaction: randomUUID(),
      now: new Date(),
      platform: terminalPlatform,
      application: 'terminal',
    });
    if (outcome.kind !== 'reply') throw new Error(`${line}: ${JSON.stringify(outcome)}`);
    return performance.now() - start;
  };
  /** After a change, which is when what was worked out before is of no use. */
  const afterChange = async (line: string, community: string): Promise<number> => {
    await db
      .updateTable('batches')
      .set({ note: randomUUID() })
      .where('community_id', '=', community)
      .where('number', '=', 1)
      .execute();
    return ask(line, community);
  };
  /** The first run finds nothing warm and is not counted. */
  const often = async (once: () => Promise<number>): Promise<number> => {
    await once();
    const times: number[] = [];
    for (let run = 0; run < RUNS; run += 1) times.push(await once());
    return median(times);
  };

  const rows: Record<string, string>[] = [];
  for (const batches of SIZES) {
    const community = `with ${batches}`;
    await fillCommunity(db, community, batches, batches === 1000 ? 60 : batches / 10);
    const sums = await communitySums(db, community);
    const database = await often(async () => {
      const start = performance.now();
      await communitySums(db, community);
      return performance.now() - start;
    });
    const fit = await often(async () => {
      const start = performance.now();
      const fitted = fitMixedModel(sums.sums);
      if (fitted.kind !== 'none') pairwiseContrasts(fitted, 'method');
      return performance.now() - start;
    });
    rows.push({
      batches: String(batches),
      members: String(sums.members),
      database: shown(database),
      'fit and contrasts': shown(fit),
      together: shown(database + fit),
      '/yield pooled': shown(await often(() => afterChange('/yield pooled', community))),
      '/yield forecast': shown(
        await often(() => afterChange('/yield forecast fat:2kg method:oven cut:ground', community)),
      ),
      'again, nothing changed': shown(
        await often(() => ask('/yield forecast fat:2kg method:oven cut:ground', community)),
      ),
      'compare’s working': shown(
        await often(() => afterChange('press:v1|yield.compare-working|method', community)),
      ),
      '/yield compare, picture too': shown(
        await often(() => afterChange('/yield compare by:method', community)),
      ),
      'peak memory of the bot': `${await peakMb(postgres.connectionString, community)} MB`,
    });
  }
  await db.destroy();
  await postgres.stop();
  console.table(rows);
  console.log(
    'Wanted: fit a few ms; together < 2.5 s at a million; a reply < 30 ms at a thousand; < 300 MB.',
  );
} finally {
  await rm(dataDir, { recursive: true, force: true });
}
