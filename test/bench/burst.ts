/**
 * What many people at once get from the bot: `npm run bench -- burst [interactions]`.
 *
 * The bot is the real process on its Discord adapter with the real client. The members and the stand-in for Discord are another
 * process, which does not validate bodies. Both share the machine with Postgres.
 */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { openEmbeddedPostgres } from '../../src/records/embedded/embedded-postgres.js';
import { migrate } from '../../src/records/migrate.js';
import { ASK_KINDS, type Ask, type AskKind, mixedAsks, waterAsks } from '../support/burst/asks.js';
import { type BusyBot, startBusyBot } from '../support/burst/busy-bot.js';
import type { Told } from '../support/burst/crowd.js';
import { type ProcessUsage, usageOf } from '../support/process-usage.js';

const ASKS = Number(process.argv[2] ?? 1000);
const WITHIN_MS = 5000;
const SERVERS = 64;
/** The burst comes from twenty servers of five members, the noise from one of twenty; `/water` alone has servers of its own. */
const MEMBERS_EACH = 20;
const BURST = { asks: ASKS, withinMs: WITHIN_MS, guilds: range(0, 20), membersEach: 5 };
const QUIET = { aSecond: 40, forMs: 15_000, guilds: range(20, 40), membersEach: MEMBERS_EACH };
const NOISY = 40;
/** As much as a community may ask. */
const NOISE = { asks: 550, withinMs: 15_000, guilds: [NOISY], membersEach: MEMBERS_EACH };
const WARMING = 41;
const SINGLE = range(42, SERVERS);

function range(from: number, to: number): readonly number[] {
  return Array.from({ length: to - from }, (_, at) => from + at);
}

function percentile(times: readonly number[], share: number): number {
  const sorted = times.toSorted((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))] ?? Number.NaN;
}

const ms = (time: number): string => `${time.toFixed(time < 100 ? 1 : 0)} ms`;
const spread = (times: readonly number[]): string =>
  `p50 ${ms(percentile(times, 0.5))}, p99 ${ms(percentile(times, 0.99))}, max ${ms(Math.max(...times))}`;
const answered = (told: readonly Told[]): readonly number[] => told.map(({ answeredMs }) => answeredMs);
const only = (told: readonly Told[], kind: AskKind): readonly Told[] =>
  told.filter((one) => one.kind === kind);
const count = (told: readonly Told[], ...how: readonly Told['how'][]): number =>
  told.filter((one) => how.includes(one.how)).length;
const deferred = (told: readonly Told[]): number => told.filter((one) => one.deferred).length;

/** The same thing again and again, from each of the servers in turn. */
function again(kind: AskKind, guilds: readonly number[], times: number, everyMs: number): readonly Ask[] {
  return Array.from({ length: times }, (_, at) => ({
    atMs: at * everyMs,
    kind,
    guild: guilds[at % guilds.length] ?? 0,
    member: Math.floor(at / guilds.length) % MEMBERS_EACH,
  }));
}

const usageNow = ({ bot }: BusyBot): Promise<ProcessUsage> => usageOf(bot.process.pid);

async function warm({ crowd }: BusyBot): Promise<void> {
  for (const kind of ASK_KINDS) await crowd.ask(again(kind, [WARMING], 10, 10));
  await crowd.ask(waterAsks({ ...QUIET, forMs: 3000 }));
}

/** Answers with what became of `/water`. */
async function measureBurst(busy: BusyBot, when: string): Promise<readonly Told[]> {
  const before = await usageNow(busy);
  const told = await busy.crowd.ask(mixedAsks(BURST));
  const after = await usageNow(busy);
  console.log(`${ASKS} interactions in ${WITHIN_MS / 1000} s from 100 members of 20 servers, ${when}`);
  console.table({
    acknowledged: spread(told.map(({ acknowledgedMs }) => acknowledgedMs)),
    answered: spread(answered(told)),
    'last answer': ms(Math.max(...told.map(({ askedMs, answeredMs }) => askedMs + answeredMs))),
    deferred: deferred(told),
    refused: count(told, 'refused'),
    failed: count(told, 'failed'),
    'without an answer': count(told, 'nothing'),
    'processor of the bot': ms(after.processorMs - before.processorMs),
    'memory before, after': `${before.residentMb.toFixed(0)} MB, ${after.residentMb.toFixed(0)} MB`,
  });
  for (const { kind, said } of told.filter(({ how }) => how === 'failed' || how === 'nothing').slice(0, 5))
    console.log(kind, said);
  console.table(
    ASK_KINDS.map((kind) => {
      const those = only(told, kind);
      return { kind, asked: those.length, answered: spread(answered(those)), deferred: deferred(those) };
    }),
  );
  return only(told, '/water');
}

async function measureBursts(busy: BusyBot): Promise<void> {
  const early = await measureBurst(busy, 'soon after it started');
  const alone = await busy.crowd.ask(waterAsks(QUIET));
  const later = await measureBurst(busy, 'when it has run a while');
  console.table([
    { '/water': 'alone', answered: spread(answered(alone)) },
    { '/water': 'in the burst soon after the start', answered: spread(answered(early)) },
    { '/water': 'in the later burst', answered: spread(answered(later)) },
  ]);
}

async function measureNoise({ crowd }: BusyBot): Promise<void> {
  const quiet = await crowd.ask(waterAsks(QUIET));
  const both = await crowd.ask(
    [...waterAsks(QUIET), ...mixedAsks(NOISE)].sort((one, other) => one.atMs - other.atMs),
  );
  const besides = both.filter(({ guild }) => guild !== NOISY);
  const [p99, p99Beside] = [quiet, besides].map((told) => percentile(answered(told), 0.99));
  console.log('/water of twenty servers, without and beside one that asks as much as it may');
  console.table({
    'without it': spread(answered(quiet)),
    'beside it': spread(answered(besides)),
    'times as long, p99': ((p99Beside ?? Number.NaN) / (p99 ?? Number.NaN)).toFixed(2),
    'refused, failed': `${count(both, 'refused')}, ${count(both, 'failed', 'nothing')}`,
  });
}

async function measureKinds(busy: BusyBot): Promise<void> {
  const measured = async (name: string, asks: readonly Ask[]) => {
    const before = await usageNow(busy);
    const told = await busy.crowd.ask(asks);
    const after = await usageNow(busy);
    const processor = ms((after.processorMs - before.processorMs) / asks.length);
    return { kind: name, 'processor of the bot': processor, answered: spread(answered(told)) };
  };
  const rows = [];
  for (const kind of ASK_KINDS) {
    if (!kind.startsWith('/yield compare')) {
      rows.push(await measured(kind, again(kind, SINGLE, 4 * SINGLE.length, 25)));
      continue;
    }
    rows.push(await measured(`${kind}, drawn`, again(kind, SINGLE, SINGLE.length, 250)));
    rows.push(await measured(`${kind}, kept`, again(kind, SINGLE, 4 * SINGLE.length, 25)));
  }
  console.table(rows);
}

const dataDir = await mkdtemp(join(tmpdir(), 'tallow-tally-bench-'));
const postgres = await openEmbeddedPostgres({ dataDir, log: () => {}, onLockLost: () => {} });
try {
  await migrate(postgres.connectionString);
  const busy = await startBusyBot(postgres.connectionString, {
    guilds: SERVERS,
    membersEach: MEMBERS_EACH,
    batchesEach: 200,
    cooksEach: 12,
  });
  const atRest = await usageNow(busy);
  await warm(busy);
  await measureBursts(busy);
  await measureNoise(busy);
  await measureKinds(busy);
  const atEnd = await usageNow(busy);
  console.table({
    'memory at rest': `${atRest.residentMb.toFixed(0)} MB`,
    'at the end': `${atEnd.residentMb.toFixed(0)} MB`,
    'at most': `${atEnd.peakMb.toFixed(0)} MB`,
  });
  const logged = (await busy.close()).split('\n').filter((line) => line.startsWith('{'));
  console.log(`The bot logged ${logged.length} lines.`);
  for (const line of logged.slice(0, 3)) console.log(line.slice(0, 300));
} finally {
  await postgres.stop();
  await rm(dataDir, { recursive: true, force: true });
}
