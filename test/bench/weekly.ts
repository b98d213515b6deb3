/**
 * How long the weekly posts of many communities of 200 batches take when all are due at the same hour, how much memory
 * the bot takes for it, and how long people wait for `/water` meanwhile: `npm run bench -- weekly [communities] [paced]`.
 *
 * The bot is the real process on its Discord adapter, the server a stand-in in the process of the benchmark; both and
 * Postgres share the machine. Without `paced` the posts are planned beforehand and may all go out at once, so that the work
 * itself is measured; with it the bot plans them and spreads them as in real life.
 */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import { setTimeout as pause } from 'node:timers/promises';
import { openRecords } from '../../src/records/database.js';
import { openEmbeddedPostgres } from '../../src/records/embedded/embedded-postgres.js';
import { migrate } from '../../src/records/migrate.js';
import { planWeeklyPosts } from '../../src/weekly/plan.js';
import { startBot } from '../support/bot.js';
import type { Member } from '../support/chat-server/member.js';
import { startStandIn } from '../support/chat-server/server.js';
import { usageOf } from '../support/process-usage.js';
import { fillDueCommunities } from './fill.js';

const COMMUNITIES = Number(process.argv[2] ?? 1000);
const IS_PACED = process.argv[3] === 'paced';
const EACH = { batches: 200, members: 12 };
const QUIET_MS = 10_000;
const ASKED_EVERY_MS = 100;
const LONGEST_WAIT_MS = 90 * 60_000;
const DAY_MS = 86_400_000;
const SETTLING_MS = 3000;

const percentile = (times: readonly number[], share: number): number =>
  times.toSorted((a, b) => a - b)[Math.min(times.length - 1, Math.floor(times.length * share))] ?? Number.NaN;
const waited = (times: readonly number[]): string =>
  `p50 ${percentile(times, 0.5)}, p99 ${percentile(times, 0.99)}, max ${Math.max(...times)} ms (${times.length})`;
const inSeconds = (ms: number): string => `${(ms / 1000).toFixed(1)} s`;

/** Asks for `/water` again and again until told to stop; answers how long each waited, in milliseconds. */
function askAgainAndAgain(members: readonly Member[]) {
  const times: number[] = [];
  const underWay: Promise<void>[] = [];
  let asked = 0;
  const timer = setInterval(() => {
    const member = members[asked++ % members.length];
    const answer = member?.command('/water', { fat: '4 lb 8 oz', method: 'pressure', cut: 'ground' });
    if (answer) underWay.push(answer.then(({ answeredAfterMs }) => void times.push(answeredAfterMs)));
  }, ASKED_EVERY_MS);
  return async (): Promise<readonly number[]> => {
    clearInterval(timer);
    await Promise.all(underWay);
    return times;
  };
}

const dataDir = await mkdtemp(join(tmpdir(), 'tallow-tally-bench-'));
const standin = await startStandIn();
try {
  const postgres = await openEmbeddedPostgres({ dataDir, log: () => {}, onLockLost: () => {} });
  await migrate(postgres.connectionString);
  const db = openRecords(postgres.connectionString, () => {});
  const guilds = Array.from({ length: COMMUNITIES }, (_, at) =>
    standin.addGuild(`Community ${at}`, [{ name: 'rendering' }]),
  );
  const members = guilds.slice(0, 50).map((guild) => standin.member(guild, 'Alice'));
  const later = new Date(Date.now() + DAY_MS);
  const communities = guilds.map((guild) => ({ id: guild.id, channel: guild.channel('rendering').id }));
  const filling = performance.now();
  await fillDueCommunities(db, communities, EACH, later);
  console.log(`Filled ${COMMUNITIES * EACH.batches} batches in ${inSeconds(performance.now() - filling)}.`);
  if (!IS_PACED) {
    const planning = performance.now();
    await planWeeklyPosts(db, standin.world.applicationId, later);
    console.log(`Planned ${COMMUNITIES} posts in ${inSeconds(performance.now() - planning)}.`);
  }

  const bot = startBot({
    isBare: true,
    env: {
      DATABASE_URL: postgres.connectionString,
      DISCORD_TOKEN: standin.token,
      DISCORD_API: standin.api,
      LOG_LEVEL: 'error',
    },
  });
  bot.process.stderr?.pipe(process.stderr);
  while (standin.world.commands.length === 0) await pause(100);
  await pause(SETTLING_MS);
  const stopWarming = askAgainAndAgain(members);
  await pause(SETTLING_MS);
  await stopWarming();
  const stopQuiet = askAgainAndAgain(members);
  await pause(QUIET_MS);
  const quiet = await stopQuiet();
  const before = await usageOf(bot.process.pid);

  const started = performance.now();
  const first = standin.arrived('message').then(() => performance.now());
  const stopBusy = askAgainAndAgain(members);
  if (IS_PACED) await db.updateTable('communities').set({ weekly_next: new Date() }).execute();
  else await db.updateTable('deliveries').set({ due_at: new Date(), claimed_until: null }).execute();
  const sent = async (): Promise<number> => {
    const row = await db
      .selectFrom('deliveries')
      .select((e) => e.fn.countAll<number>().as('posts'))
      .where('state', '=', 'sent')
      .executeTakeFirstOrThrow();
    return row.posts;
  };
  const heldMb: number[] = [];
  for (let posts = 0; posts < COMMUNITIES; posts = await sent()) {
    if (performance.now() - started > LONGEST_WAIT_MS) throw new Error(`only ${posts} posts were sent`);
    await pause(500);
    heldMb.push((await usageOf(bot.process.pid)).residentMb);
    // Pictures that were looked at are let go, so that the server's memory is not what is measured.
    for (const message of standin.world.messages) message.files = [];
  }
  const ended = performance.now();
  const busy = await stopBusy();
  const after = await usageOf(bot.process.pid);
  const work = ended - (await first);
  const half = heldMb.slice(Math.floor(heldMb.length / 2));
  const cpuMs = after.processorMs - before.processorMs;
  console.table([
    {
      communities: COMMUNITIES,
      posts: standin.world.messages.filter(({ nonce }) => nonce !== undefined).length,
      pacing: IS_PACED ? 'as in real life' : 'none, all at once',
      'first to last post': inSeconds(work),
      'for each': `${(work / COMMUNITIES).toFixed(1)} ms`,
      'processor for each': `${(cpuMs / COMMUNITIES).toFixed(1)} ms`,
      'memory before': `${before.residentMb.toFixed(0)} MB`,
      'mean of the last half': `${(half.reduce((sum, mb) => sum + mb, 0) / half.length).toFixed(0)} MB`,
      peak: `${after.peakMb.toFixed(0)} MB`,
    },
  ]);
  console.table([
    { '/water': 'when nothing is due', waited: waited(quiet) },
    { '/water': 'while the posts go out', waited: waited(busy) },
  ]);
  for (const violation of standin.violations.slice(0, 10)) console.log(violation);
  bot.process.kill('SIGTERM');
  await bot.finish();
  await db.destroy();
  await postgres.stop();
} finally {
  await standin.close();
  await rm(dataDir, { recursive: true, force: true });
}
