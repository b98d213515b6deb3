import { randomUUID } from 'node:crypto';
import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { allCommands } from '../commands/index.js';
import { TERMINAL } from './chat/call.js';
import { type Conversation, converse } from './chat/dispatch.js';
import { rateLimited } from './chat/rate-limit.js';
import type { Picture } from './chat/reply.js';
import { AT_ONCE, takingTurns, turnsWith } from './chat/turns.js';
import { watched, watchedOutbox } from './chat/watched.js';
import { type Config, readConfig } from './config.js';
import { type ConsoleArguments, readArguments } from './console/arguments.js';
import { DEMO_COMMUNITY, fillDemo, walkThroughDemo } from './console/demo.js';
import { terminalOutbox } from './console/outbox.js';
import { pipedLines } from './console/piped-lines.js';
import { printOutcome } from './console/print.js';
import {
  type Met,
  passingTerminal,
  type Session,
  type Speaker,
  startSession,
  terminalPlatform,
} from './console/session.js';
import { USAGE } from './console/usage.js';
import { clockCheck } from './deliveries/clock-check.js';
import { type Scheduler, type SchedulerOptions, startScheduler } from './deliveries/scheduler.js';
import type { DiscordAdapter } from './discord/adapter.js';
import { type Ending, watchForEnd } from './ending.js';
import { openLog } from './logging.js';
import type { Vitals } from './monitoring/health.js';
import { type Monitor, openMonitor } from './monitoring/monitor.js';
import { startDrawer } from './pictures/pictures.js';
import { eraseCommunity } from './records/communities.js';
import type { Records } from './records/database.js';
import { deliveriesDue } from './records/deliveries.js';
import { type DatabaseLimits, USUAL_LIMITS } from './records/pool/limits.js';
import type { Pool } from './records/pool/pool.js';
import { StartRefused } from './records/start-problems.js';
import { openStore, type Store, type StoreOptions } from './records/store.js';
import { analyse } from './spreadsheet/analyse.js';
import { composingWith } from './weekly/post.js';
import { startWeeklyWriter } from './weekly/writer.js';

type Log = ReturnType<typeof openLog>;

/** What must be closed again, the last opened first. */
type Closer = () => Promise<void>;

async function main(): Promise<number> {
  const read = readConfig(process.env);
  if (!read.ok) return refuseToStart(read.problem);
  const typed = readArguments(process.argv.slice(2));
  if (!typed.ok) return refuseToStart(typed.problem);
  const { config } = read;
  if (typed.arguments.help) {
    process.stdout.write(USAGE);
    return 0;
  }
  const [program, ...files] = typed.arguments.words;
  if (program === 'analyse') return analyseFile(typed.arguments, config);
  if (program === 'backup' || program === 'restore')
    return keepRecords(program, files, typed.arguments, config);
  const onDiscord =
    config.discordToken !== undefined && typed.arguments.words.length === 0 && !typed.arguments.demo;
  const log = openLog(config.logLevel ?? (onDiscord ? 'info' : 'warn'));

  const closers: Closer[] = [];
  const ending = watchForEnd(log);
  try {
    const talk = onDiscord
      ? openOnDiscord(config, typed.arguments, ending, log, closers)
      : openInTerminal(config, typed.arguments, log, closers);
    return await Promise.race([talk, ending.status]);
  } catch (error) {
    // In the terminal somebody waits who can start it again.
    if (error instanceof StartRefused) return refuseToStart(error.message, onDiscord && error.mayPass);
    throw error;
  } finally {
    for (const close of closers.reverse()) await close();
    ending.finished();
  }
}

async function openInTerminal(
  config: Config,
  typed: ConsoleArguments,
  log: Log,
  closers: Closer[],
): Promise<number> {
  const dataDir = typed.data ?? join(config.dataDir, typed.demo ? 'demo' : '');
  const { db, pool } = await openFor(
    {
      // The invented community never goes where real ones are kept.
      databaseUrl: typed.demo ? undefined : config.databaseUrl,
      limits: limitsOf(config),
      dataDir,
      now: typed.now === undefined ? new Date() : undefined,
      passing: typed.words.length > 0 || typed.demo,
    },
    log,
    closers,
  );
  const monitor = monitorOf(config, pool);
  const conversation = told(converse(allCommands(db), faultsTo(log)), monitor);
  return talkInTerminal(typed, dataDir, db, conversation, monitor, log, closers);
}

async function openOnDiscord(
  config: Config,
  { data = config.dataDir }: ConsoleArguments,
  ending: Ending,
  log: Log,
  closers: Closer[],
): Promise<number> {
  ending.heedSignals();
  const { databaseUrl } = config;
  const limits = limitsOf(config);
  const { db, pool, connectionString } = await openFor(
    { databaseUrl, limits, dataDir: data, now: new Date(), passing: false },
    log,
    closers,
  );
  // Many are answered at once here, so weekly posts and pictures are made in threads of their own.
  const { compose, stop } = startWeeklyWriter({ connectionString, limits });
  closers.push(stop);
  const drawer = startDrawer();
  closers.push(() => drawer.stop());
  const monitor = monitorOf(config, pool);
  const inTurn = takingTurns(converse(allCommands(db, compose, drawer), faultsTo(log)), turnsWith(AT_ONCE));
  const conversation = rateLimited(told(inTurn, monitor), monitor?.metrics.limited);
  const startTicking = ({ outbox, application }: DiscordAdapter) =>
    tickingWith({ db, outbox, application, compose }, monitor, log);
  return talkOnDiscord(config, conversation, startTicking, monitor, ending, log, closers);
}

async function openFor(
  where: Pick<StoreOptions, 'databaseUrl' | 'limits' | 'dataDir' | 'now' | 'passing'>,
  log: Log,
  closers: Closer[],
): Promise<Store> {
  const store = await openStore({
    ...where,
    log,
    announce: tellWaiting,
    onLockLost: () => {
      log.fatal('lost the hold on the data folder; ending so that no two copies write to it');
      process.exit(1);
    },
  });
  closers.push(store.close);
  return store;
}

const limitsOf = ({ databaseLimits }: Config): DatabaseLimits => ({ ...USUAL_LIMITS, ...databaseLimits });

const faultsTo =
  (log: Log) =>
  (error: unknown, reference: string, doing: string): void =>
    log.error({ error, reference, doing }, 'could not answer');

/** Needs no records: the batches are in the file. */
function analyseFile({ words, json, data, ...typed }: ConsoleArguments, config: Config): Promise<number> {
  return analyse({
    files: words.slice(1),
    json,
    skipBad: typed['skip-bad'],
    write: (text) => process.stdout.write(text),
    note: tellWaiting,
    print: (reply) => printOutcome(reply, (picture) => savePicture(data ?? config.dataDir, picture)),
  });
}

/** Backs the records up or puts them back; a signal ends it with nothing done. */
async function keepRecords(
  program: 'backup' | 'restore',
  files: readonly string[],
  { data }: ConsoleArguments,
  config: Config,
): Promise<number> {
  const { backUp, restore } = await import('./records/backup/run.js');
  const stopping = new AbortController();
  for (const signal of ['SIGTERM', 'SIGINT'] as const) process.once(signal, () => stopping.abort());
  const options = {
    files,
    databaseUrl: config.databaseUrl,
    limits: { ...USUAL_LIMITS, ...config.databaseLimits },
    dataDir: data ?? config.dataDir,
    log: openLog(config.logLevel ?? 'warn'),
    announce: tellWaiting,
    onLockLost: () => stopping.abort(),
    signal: stopping.signal,
  };
  try {
    const done = await (program === 'backup' ? backUp({ ...options, now: new Date() }) : restore(options));
    process.stdout.write(`${done}\n`);
    return 0;
  } catch (error) {
    if (stopping.signal.aborted) return refuseToStart('Stopped half-way; nothing was changed.');
    if (error instanceof StartRefused) return refuseToStart(error.message);
    throw error;
  }
}

/** The status to end with: what may pass is worth another start. */
function refuseToStart(problem: string, mayPass = false): number {
  tellWaiting(problem);
  return mayPass ? 1 : 2;
}

function tellWaiting(line: string): void {
  process.stderr.write(`${line}\n`);
}

async function talkOnDiscord(
  config: Config,
  conversation: Conversation,
  startTicking: (adapter: DiscordAdapter) => Ticking,
  monitor: Monitor | undefined,
  ending: Ending,
  log: Log,
  closers: Closer[],
): Promise<number> {
  const { startDiscord, LoginRefused } = await import('./discord/adapter.js');
  try {
    const adapter = await startDiscord({
      token: config.discordToken ?? '',
      ...(config.discordApi === undefined ? {} : { api: config.discordApi }),
      shards: config.shards,
      conversation,
      log,
      clock: () => new Date(),
      fatal: (reason) => ending.fail(reason),
    });
    closers.push(() => adapter.stop());
    const scheduler = startTicking(adapter);
    // Side by side: neither is to keep the other from finishing in time.
    closers.push(async () => void (await Promise.all([adapter.finish(), scheduler.stop()])));
    // Not waited for: much may be due, and the bot can be told to end meanwhile.
    void scheduler.tick();
    await startMonitor(monitor, { ...adapter.connection, ...scheduler.vitals }, closers);
    return await ending.status;
  } catch (error) {
    if (!(error instanceof LoginRefused)) throw error;
    return refuseToStart(error.message, error.mayPass);
  }
}

interface Ticking extends Scheduler {
  readonly vitals: Pick<Vitals, 'lastTick' | 'deliveriesDue'>;
}

function tickingWith(
  parts: Pick<SchedulerOptions, 'db' | 'outbox' | 'application' | 'compose'>,
  monitor: Monitor | undefined,
  log: Log,
): Ticking {
  let lastTick = new Date();
  const clock = () => new Date();
  const scheduler = startScheduler({
    ...parts,
    outbox: monitor ? watchedOutbox(parts.outbox, monitor.metrics.delivered) : parts.outbox,
    worker: `${process.pid}-${randomUUID().slice(0, 8)}`,
    clock: () => {
      lastTick = clock();
      return lastTick;
    },
    mayWork: clockCheck(parts.db, clock, {
      wrong: (problem) => log.error(`${problem} Nothing is sent by itself until then.`),
      right: () => log.info('the clock is right again'),
    }),
    onFailure: (error, doing) => log.error({ error, doing }, 'will try again'),
  });
  const { db, application } = parts;
  return {
    ...scheduler,
    vitals: {
      // It looks at the clock at every tick and for every message.
      lastTick: () => lastTick,
      deliveriesDue: () => deliveriesDue(db, application, new Date()),
    },
  };
}

const monitorOf = ({ health }: Config, { counts }: Pool): Monitor | undefined =>
  health && openMonitor({ ...health, clock: () => new Date(), pool: counts });

/** The same conversation, of which the monitor is told. */
const told = (conversation: Conversation, monitor: Monitor | undefined): Conversation =>
  monitor ? watched(conversation, () => performance.now(), monitor.metrics.answered) : conversation;

/** @throws StartRefused when the port cannot be had. */
async function startMonitor(monitor: Monitor | undefined, vitals: Vitals, closers: Closer[]): Promise<void> {
  if (!monitor) return;
  try {
    const { stop } = await monitor.start(vitals);
    closers.push(stop);
  } catch (error) {
    const why = error instanceof Error && 'code' in error ? ` (${String(error.code)})` : '';
    throw new StartRefused(`HEALTH_HOST and HEALTH_PORT name a place that cannot be listened on${why}.`);
  }
}

async function talkInTerminal(
  typed: ConsoleArguments,
  dataDir: string,
  db: Records,
  conversation: Conversation,
  monitor: Monitor | undefined,
  log: Log,
  closers: Closer[],
): Promise<number> {
  const write = (text: string): void => {
    process.stdout.write(text);
  };
  const isConversation = typed.words.length === 0 && !typed.demo && process.stdin.isTTY;
  const clock = clockFrom(typed.now, isConversation);
  const sessionOf = (speaker: Speaker, clockOf = clock, writeTo = write): Session =>
    startSession({
      conversation,
      speaker,
      json: typed.json,
      clock: clockOf,
      newInteraction: randomUUID,
      platform: isConversation ? terminalPlatform : passingTerminal,
      savePicture: (picture) => savePicture(dataDir, picture),
      write: writeTo,
    });

  let lines: Iterable<string> | AsyncIterable<string> | undefined =
    typed.words.length > 0 ? typed.words : undefined;
  if (typed.demo) {
    await eraseCommunity(db, DEMO_COMMUNITY);
    lines ??= process.stdin.isTTY ? undefined : await pipedLines(process.stdin);
    const isWalk = lines === undefined;
    // Answers alone are worth passing on.
    const tell = isWalk && !typed.json ? write : (text: string) => void process.stderr.write(text);
    const stage = { clock, write: tell, dataDir, sessionOf };
    const done = await (isWalk ? walkThroughDemo(stage) : fillDemo(stage));
    if (isWalk || !done) return done ? 0 : 1;
  }

  const community = typed.demo ? DEMO_COMMUNITY : typed.community;
  const session = sessionOf({ name: typed.as, community, mayManage: typed.admin });
  if (!isConversation) return answerAll(session, lines ?? createInterface({ input: process.stdin }));

  const scheduler = tickingWith(
    { db, outbox: terminalOutbox(write), application: TERMINAL, compose: composingWith(db) },
    monitor,
    log,
  );
  closers.push(() => scheduler.stop());
  await startMonitor(monitor, scheduler.vitals, closers);
  return converseInTerminal(session, write);
}

async function answerAll(session: Session, lines: Iterable<string> | AsyncIterable<string>): Promise<number> {
  let status = 0;
  for await (const line of lines) status = Math.max(status, STATUS[await session.answer(line)]);
  return status;
}

/** What the process ends with: the gravest of its lines. */
const STATUS = { answered: 0, refused: 1, fault: 2 } as const satisfies Record<Met, number>;

async function converseInTerminal(session: Session, write: (text: string) => void): Promise<number> {
  write('Type a command, /help for all of them, Ctrl-D to end.\n');
  const terminal = createInterface({ input: process.stdin, output: process.stdout, prompt: '> ' });
  const lines = terminal[Symbol.asyncIterator]();
  const ask = async (question: string): Promise<string> => {
    write(question);
    const next = await lines.next();
    return next.done ? '' : next.value;
  };
  terminal.prompt();
  for (;;) {
    const next = await lines.next();
    if (next.done) return 0;
    await session.converse(next.value, ask);
    terminal.prompt();
  }
}

/**
 * The real clock, or one that was set to `start` when the bot started. It goes on in a conversation; for lines it stands
 * still, so that all of them are answered as of that moment.
 */
function clockFrom(start: Date | undefined, goesOn: boolean): () => Date {
  if (start === undefined) return () => new Date();
  if (!goesOn) return () => start;
  const shift = start.getTime() - Date.now();
  return () => new Date(Date.now() + shift);
}

async function savePicture(dataDir: string, picture: Picture): Promise<string> {
  const folder = join(dataDir, 'pictures');
  await mkdir(folder, { recursive: true });
  const file = join(folder, picture.name);
  await writeFile(file, picture.png);
  return file;
}

process.exitCode = await main();
