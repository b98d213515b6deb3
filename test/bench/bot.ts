/** How fast the bot answers and how much memory it takes: `npm run bench -- bot [seconds]`. */
import { spawn, spawnSync } from 'node:child_process';
import { randomUUID } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import { allCommands } from '../../commands/index.js';
import type { Origin } from '../../src/chat/call.js';
import { converse } from '../../src/chat/dispatch.js';
import { readLine } from '../../src/console/line.js';
import { terminalPlatform } from '../../src/console/session.js';
import { openRecords } from '../../src/records/database.js';
import { openEmbeddedPostgres } from '../../src/records/embedded/embedded-postgres.js';
import { migrate } from '../../src/records/migrate.js';
import { startStandIn } from '../support/chat-server/server.js';
import { fillCommunity } from './fill.js';

const SECONDS = Number(process.argv[2] ?? 20);
const PER_SECOND = 50;
const MANY = 100_000;

interface Row {
  readonly what: string;
  readonly measured: string;
  readonly wanted: string;
}

const rows: Row[] = [];
const pause = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));

function percentile(sorted: readonly number[], share: number): number {
  return sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))] ?? Number.NaN;
}

function describeTimes(times: number[]): string {
  const sorted = times.sort((a, b) => a - b);
  const [half, p99, most] = [percentile(sorted, 0.5), percentile(sorted, 0.99), sorted.at(-1) ?? Number.NaN];
  return `p50 ${half.toFixed(1)} ms, p99 ${p99.toFixed(1)} ms, max ${most.toFixed(1)} ms (${sorted.length})`;
}

const dataDir = await mkdtemp(join(tmpdir(), 'tallow-tally-bench-'));
try {
  const postgres = await openEmbeddedPostgres({ dataDir, log: () => {}, onLockLost: () => {} });
  await migrate(postgres.connectionString);
  const db = openRecords(postgres.connectionString, () => {});
  const conversation = converse(allCommands(db), (error) => console.error(error));

  const ask = async (line: string, community: string, member: string): Promise<number> => {
    const read = readLine(line);
    if (!read.ok) throw new Error(read.problem);
    const call: Origin = {
      member: { id: member, name: member, mayManage: false },
      community,
      where: 'server',
      channel: undefined,
      interaction: randomUUID(),
      now: new Date(),
      platform: terminalPlatform,
      application: 'terminal',
    };
    const start = performance.now();
    const outcome = await conversation.answer(read.request, call);
    const time = performance.now() - start;
    if (outcome.kind !== 'reply') throw new Error(`${line}: ${JSON.stringify(outcome)}`);
    return time;
  };

  const kinds = [
    {
      name: '/water',
      wanted: 'p99 < 10 ms',
      line: () => '/water fat:"4 lb 8 oz" method:pressure cut:ground',
    },
    {
      name: '/batch log',
      wanted: 'p99 < 40 ms',
      // No two alike, which would be asked about.
      line: (count: number) => `/batch log fat:"${2000 + count} g" tallow:"1 kg" method:oven cut:ground`,
    },
    { name: '/plan', wanted: 'p99 < 15 ms', line: () => '/plan fat:"5 lb"' },
  ].filter(({ name }) => conversation.commands.some((one) => name.startsWith(`/${one.name}`)));
  for (const { line } of kinds) for (let warm = 0; warm < 30; warm++) await ask(line(warm), 'warm', 'm');

  const times = new Map(kinds.map(({ name }) => [name, [] as number[]]));
  const waiting: Promise<void>[] = [];
  for (let count = 0; count < SECONDS * PER_SECOND; count++) {
    const kind = kinds[count % kinds.length];
    if (!kind) continue;
    waiting.push(
      ask(kind.line(count), `c${count % 20}`, `m${count % 100}`).then(
        (time) => void times.get(kind.name)?.push(time),
      ),
    );
    await pause(1000 / PER_SECOND);
  }
  await Promise.all(waiting);
  for (const { name, wanted } of kinds) {
    rows.push({
      what: `${name}, ${PER_SECOND} commands/s mixed`,
      measured: describeTimes(times.get(name) ?? []),
      wanted,
    });
  }

  await fillCommunity(db, 'large', MANY, 2000);
  const pooled: number[] = [];
  for (let run = 0; run < 20; run++) pooled.push(await ask('/yield pooled', 'large', 'm1'));
  rows.push({ what: `/yield pooled, ${MANY} batches`, measured: describeTimes(pooled), wanted: '< 100 ms' });
  await db.destroy();
  await postgres.stop();

  const oneShots: number[] = [];
  for (let run = 0; run < 5; run++) {
    const start = performance.now();
    const { status } = spawnSync(
      'npm',
      ['start', '--silent', '--', '--data', dataDir, '/water fat:"4 lb 8 oz"'],
      { stdio: 'ignore' },
    );
    if (status !== 0) throw new Error(`npm start ended with ${status}`);
    // The first run may build.
    if (run > 0) oneShots.push(performance.now() - start);
  }
  rows.push({
    what: 'npm start with one line, Postgres included',
    measured: describeTimes(oneShots),
    wanted: '< 3 s',
  });

  const standin = await startStandIn();
  standin.addGuild('Ember Lane', [{ name: 'rendering' }]);
  const bot = spawn(process.execPath, ['dist/src/main.js'], {
    env: {
      ...process.env,
      DISCORD_TOKEN: standin.token,
      DISCORD_API: standin.api,
      DATA_DIR: dataDir,
      LOG_LEVEL: 'error',
    },
    stdio: 'inherit',
  });
  while (standin.world.commands.length === 0) await pause(100);
  await pause(5000);
  const status = readFileSync(`/proc/${bot.pid}/status`, 'utf8');
  const residentMb = Number(/VmRSS:\s+(\d+)/.exec(status)?.[1]) / 1024;
  rows.push({
    what: 'resident memory of the bot at rest, on Discord',
    measured: `${residentMb.toFixed(0)} MB`,
    wanted: '< 150 MB',
  });
  bot.kill('SIGTERM');
  await new Promise((resolve) => bot.once('exit', resolve));
  await standin.close();
} finally {
  await rm(dataDir, { recursive: true, force: true });
}
console.table(rows);
