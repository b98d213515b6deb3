import { randomUUID } from 'node:crypto';
import { join } from 'node:path';
import { allCommands, urgentCommands } from '../commands/index.js';
import { TERMINAL } from './chat/call.js';
import { type Conversation, converse } from './chat/dispatch.js';
import { rateLimited } from './chat/rate-limit.js';
import { AT_ONCE, takingTurns, turnsWith } from './chat/turns.js';
import { watched, watchedOutbox } from './chat/watched.js';
import { type Config, readConfig } from './config.js';
import { type ConsoleArguments, readArguments, USAGE } from './console/arguments.js';
import { DEMO_COMMUNITY, fillDemo, walkThroughDemo } from './console/demo.js';
import { readLine } from './console/line.js';
import { terminalOutbox } from './console/outbox.js';
import { printOutcome } from './console/print.js';
import { passingTerminal, type Speaker, startSession, terminalPlatform } from './console/session.js';
import { answerAll, clockFrom, converseInTerminal, pipedLines, savePicture } from './console/terminal.js';
import { clockCheck } from './deliveries/clock-check.js';
import { type Scheduler, type SchedulerOptions, startScheduler } from './deliveries/scheduler.js';
import { type Ending, watchForEnd } from './ending.js';
import { openLog } from './logging.js';
import type { Vitals } from './monitoring/health.js';
import { type Monitor, openMonitor } from './monitoring/monitor.js';
import { startDrawer } from './pictures/pictures.js';
import { eraseCommunity } from './records/communities.js';
import { deliveriesDue } from './records/deliveries.js';
import { type DatabaseLimits, USUAL_LIMITS } from './records/pool/limits.js';
import type { Pool } from './records/pool/pool.js';
import { StartRefused } from './records/start-problems.js';
import { openStore, type Store, type StoreOptions } from './records/store.js';
import { analyse } from './spreadsheet/analyse.js';
import { composingWith, weeklyPosts } from './weekly/post.js';
import { startWeeklyWriter } from './weekly/writer.js';

/** One run of the bot. */
interface Run {
  readonly config: Config;
  readonly typed: ConsoleArguments;
  readonly log: ReturnType<typeof openLog>;
  /** Whatever must be closed again, the last opened first. */
  readonly closers: (() => Promise<void>)[];
}

async function main(): Promise<number> {
  const read = readConfig(process.env);
  if (!read.ok) return refuseToStart(read.problem);
  const { config } = read;
  const arguments_ = readArguments(process.argv.slice(2));
  if (!arguments_.ok) return refuseToStart(arguments_.problem);
  const typed = arguments_.arguments;
  if (typed.help) {
    process.stdout.write(USAGE);
    return 0;
  }
  const [program] = typed.words;
  if (program === 'analyse') return analyseFile(typed, config);
  if (program === 'backup' || program === 'restore') return keepRecords(program, typed, config);
  const onDiscord = config.discordToken !== undefined && typed.words.length === 0 && !typed.demo;
  const log = openLog(config.logLevel ?? (onDiscord ? 'info' : 'warn'));

  const run: Run = { config, typed, log, closers: [] };
  const ending = watchForEnd(log);
  try {
    return await Promise.race([onDiscord ? talkOnDiscord(run, ending) : talkInTerminal(run), ending.status]);
  } catch (error) {
    // In the terminal somebody waits who can start it again.
    if (error instanceof StartRefused) return refuseToStart(error.message, onDiscord && error.mayPass);
    throw error;
  } finally {
    for (const close of run.closers.reverse()) await close();
    ending.finished();
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

const limitsOf = ({ databaseLimits }: Config): DatabaseLimits => ({ ...USUAL_LIMITS, ...databaseLimits });

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
  { words, data }: ConsoleArguments,
  config: Config,
): Promise<number> {
  const { backUp, restore } = await import('./records/backup/run.js');
  const stopping = new AbortController();
  for (const signal of ['SIGTERM', 'SIGINT'] as const) process.once(signal, () => stopping.abort());
  const options = {
    files: words.slice(1),
    databaseUrl: config.databaseUrl,
    limits: limitsOf(config),
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

async function storeFor(
  { config, log, closers }: Run,
  where: Pick<StoreOptions, 'databaseUrl' | 'dataDir' | 'now' | 'passing'>,
): Promise<Store> {
  const store = await openStore({
    ...where,
    limits: limitsOf(config),
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

/** Answers what is asked, from commands; the log hears of failures and the monitor of everything. */
function conversationOf(
  commands: ReturnType<typeof allCommands>,
  { log }: Run,
  monitor: Monitor | undefined,
  onDiscord: boolean,
): Conversation {
  const plain = converse(commands, (error, reference, doing) =>
    log.error({ error, reference, doing }, 'could not answer'),
  );
  const inTurn = onDiscord ? takingTurns(plain, turnsWith(AT_ONCE)) : plain;
  return monitor ? watched(inTurn, () => performance.now(), monitor.metrics.answered) : inTurn;
}

const missedBy =
  (log: Run['log']) =>
  (error: unknown): void =>
    log.error({ error }, 'a weekly post is without its picture');

async function talkOnDiscord(run: Run, ending: Ending): Promise<number> {
  const { config, typed, log, closers } = run;
  ending.heedSignals();
  const { db, pool, connectionString } = await storeFor(run, {
    databaseUrl: config.databaseUrl,
    dataDir: typed.data ?? config.dataDir,
    now: new Date(),
    passing: false,
  });
  // Many are answered at once here, so weekly posts and pictures are made in threads of their own.
  const { compose, stop } = startWeeklyWriter({ connectionString, limits: limitsOf(config) }, missedBy(log));
  closers.push(stop);
  const drawer = startDrawer();
  closers.push(() => drawer.stop());
  const monitor = monitorOf(config, pool);
  const conversation = conversationOf(allCommands(db, compose, drawer), run, monitor, true);

  const { startDiscord, LoginRefused } = await import('./discord/adapter.js');
  try {
    const adapter = await startDiscord({
      token: config.discordToken ?? '',
      ...(config.discordApi === undefined ? {} : { api: config.discordApi }),
      shards: config.shards,
      conversation: rateLimited(conversation, monitor?.metrics.limited),
      log,
      clock: () => new Date(),
      fatal: (reason) => ending.fail(reason),
    });
    closers.push(() => adapter.stop());
    const { outbox, application } = adapter;
    const scheduler = startTicking(
      { db, outbox, application, contents: { weekly: weeklyPosts(compose) } },
      run,
      monitor,
    );
    // Side by side: neither is to keep the other from finishing in time.
    closers.push(async () => void (await Promise.all([adapter.finish(), scheduler.stop()])));
    // Not waited for: much may be due, and the bot can be told to end meanwhile.
    void scheduler.tick();
    await startMonitor(monitor, { ...adapter.connection, ...scheduler.vitals }, run);
    return await ending.status;
  } catch (error) {
    if (!(error instanceof LoginRefused)) throw error;
    return refuseToStart(error.message, error.mayPass);
  }
}

const write = (text: string): void => void process.stdout.write(text);

/**
 * Answers lines that are all about an emergency before any records are opened, so that it is at once and whatever has
 * become of the database. Undefined where one is not.
 */
async function answerUrgent({ typed, config }: Run): Promise<number | undefined> {
  const conversation = converse(urgentCommands(), () => {});
  const isUrgent = (line: string) => {
    const read = readLine(line);
    const request = read.ok ? read.request : conversation.overheard(line);
    return request !== undefined && conversation.foresee(request).work === 'urgent';
  };
  if (typed.words.length === 0 || typed.demo || !typed.words.every(isUrgent)) return undefined;
  const session = startSession({
    conversation,
    speaker: { name: typed.as, community: typed.community, mayManage: typed.admin },
    json: typed.json,
    clock: clockFrom(typed.now, false),
    newInteraction: randomUUID,
    platform: passingTerminal,
    savePicture: (picture) => savePicture(typed.data ?? config.dataDir, picture),
    write,
  });
  return answerAll(session, typed.words);
}

async function talkInTerminal(run: Run): Promise<number> {
  const urgent = await answerUrgent(run);
  if (urgent !== undefined) return urgent;
  const { config, typed, log, closers } = run;
  const dataDir = typed.data ?? join(config.dataDir, typed.demo ? 'demo' : '');
  const { db, pool } = await storeFor(run, {
    // The invented community never goes where real ones are kept.
    databaseUrl: typed.demo ? undefined : config.databaseUrl,
    dataDir,
    now: typed.now === undefined ? new Date() : undefined,
    passing: typed.words.length > 0 || typed.demo,
  });
  const monitor = monitorOf(config, pool);
  const compose = composingWith(db, missedBy(log));
  const conversation = conversationOf(allCommands(db, compose), run, monitor, false);
  const isConversation = typed.words.length === 0 && !typed.demo && process.stdin.isTTY;
  const clock = clockFrom(typed.now, isConversation);
  const sessionOf = (speaker: Speaker, clockOf = clock, writeTo = write) =>
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
  if (!isConversation) return answerAll(session, lines);

  const outbox = terminalOutbox(write);
  const parts = { db, outbox, application: TERMINAL, contents: { weekly: weeklyPosts(compose) } };
  const scheduler = startTicking(parts, run, monitor);
  closers.push(() => scheduler.stop());
  await startMonitor(monitor, scheduler.vitals, run);
  return converseInTerminal(session);
}

interface Ticking extends Scheduler {
  readonly vitals: Pick<Vitals, 'lastTick' | 'deliveriesDue'>;
}

function startTicking(
  parts: Pick<SchedulerOptions, 'db' | 'outbox' | 'application' | 'contents'>,
  { log }: Run,
  monitor: Monitor | undefined,
): Ticking {
  const { db, outbox, application } = parts;
  const clock = () => new Date();
  let lastTick = clock();
  const scheduler = startScheduler({
    ...parts,
    outbox: monitor ? watchedOutbox(outbox, monitor.metrics.delivered) : outbox,
    worker: `${process.pid}-${randomUUID().slice(0, 8)}`,
    clock: () => {
      lastTick = clock();
      return lastTick;
    },
    mayWork: clockCheck(db, clock, {
      wrong: (problem) => log.error(`${problem} Nothing is sent by itself until then.`),
      right: () => log.info('the clock is right again'),
    }),
    onFailure: (error, doing) => log.error({ error, doing }, 'will try again'),
  });
  return {
    ...scheduler,
    vitals: {
      // It looks at the clock at every tick and for every message.
      lastTick: () => lastTick,
      deliveriesDue: () => deliveriesDue(db, application, clock()),
    },
  };
}

const monitorOf = ({ health }: Config, { counts }: Pool): Monitor | undefined =>
  health && openMonitor({ ...health, clock: () => new Date(), pool: counts });

/** @throws StartRefused when the port cannot be had. */
async function startMonitor(monitor: Monitor | undefined, vitals: Vitals, { closers }: Run): Promise<void> {
  if (!monitor) return;
  try {
    const { stop } = await monitor.start(vitals);
    closers.push(stop);
  } catch (error) {
    const why = error instanceof Error && 'code' in error ? ` (${String(error.code)})` : '';
    throw new StartRefused(`HEALTH_HOST and HEALTH_PORT name a place that cannot be listened on${why}.`);
  }
}

process.exitCode = await main();
