import { setTimeout as pause } from 'node:timers/promises';
import type { Records } from '../../src/records/database.js';
import { type Bot, startBot } from './bot.js';
import type { Fault } from './chat-server/faults.js';
import { type StandIn, startStandIn } from './chat-server/server.js';
import { giveUpClaims, makePostsDue } from './due-posts.js';

const FAULTS: readonly Fault[] = [
  'drop-before',
  'drop-during',
  'drop-after',
  { status: 500 },
  { status: 429, retryAfter: 0.05 },
];
const MOST_FAULTS = 6;
/** More than two processes take up at once, so that both have something to send. */
const COMMUNITIES = 24;
const PROCESSES = 2;
/** How long after a request the answer, and the record of it, are under way. */
const DANGER_MS = 60;
/** From start to first request, before it was measured. */
const USUAL_START_MS = 2500;
/** Only met when something is wrong, or the machine is very slow. */
const LONGEST_WAIT_MS = 90_000;

export interface FaultyWeek {
  /** Messages in each community's channel once all is calm again. */
  readonly messages: readonly number[];
  /** Processes killed soon after a request to create a message. */
  readonly killedAtRequests: number;
  /** Processes killed at any moment of their lives. */
  readonly killedAnytime: number;
  /** Requests to create a message that met a fault. */
  readonly faultsMet: number;
  /** Messages that were out when their process died, and not recorded. */
  readonly unrecorded: number;
  readonly violations: readonly string[];
}

interface Setting {
  readonly standin: StandIn;
  readonly db: Records;
  readonly connectionString: string;
  readonly random: () => number;
  readonly channels: readonly string[];
  readonly communities: readonly string[];
  readonly week: string;
}

/**
 * The posts of one week by two processes that race, through broken connections, kill -9 in the moment after a request
 * and kill -9 at any moment, and then in calm. What dead processes had claimed is given up at once rather than when the
 * lease ends, which is only done while no process lives; by then the nonces may be forgotten.
 * @param random uniform, from 0 to below 1
 */
export async function faultyWeek(
  db: Records,
  connectionString: string,
  random: () => number,
): Promise<FaultyWeek> {
  const standin = await startStandIn();
  try {
    const setting = { ...(await setUp(db, standin)), standin, db, connectionString, random };
    const requestsFirst = random() < 0.5;
    let startMs = USUAL_START_MS;
    let unrecorded = 0;
    for (const atRequests of [requestsFirst, !requestsFirst]) {
      if (atRequests) startMs = await killAtRequests(setting);
      else await killAnytime(setting, 1.5 * startMs);
      unrecorded += countMessages(setting) - (await countSent(setting));
      await giveUpClaims(db);
      if (random() < 0.5) standin.forgetNonces();
    }
    await finishInCalm(setting);
    return {
      messages: setting.channels.map((channel) => standin.messages(channel).length),
      killedAtRequests: PROCESSES,
      killedAnytime: PROCESSES,
      faultsMet: standin.faultsMet('message'),
      unrecorded,
      violations: standin.violations,
    };
  } finally {
    await standin.close();
  }
}

/** Communities whose post has just come due. */
async function setUp(
  db: Records,
  standin: StandIn,
): Promise<Pick<Setting, 'channels' | 'communities' | 'week'>> {
  const places = Array.from({ length: COMMUNITIES }, (_, at) => {
    const guild = standin.addGuild(`Community ${at}`, [{ name: 'rendering' }]);
    return { community: guild.id, channel: guild.channel('rendering').id };
  });
  return {
    channels: places.map(({ channel }) => channel),
    communities: places.map(({ community }) => community),
    week: await makePostsDue(db, standin.world.applicationId, places),
  };
}

/** Answers how long it took from the start to a first request. */
async function killAtRequests(setting: Setting): Promise<number> {
  const { standin, random } = setting;
  standin.nextCreateMessage(...someFaults(random));
  const first = standin.arrived('message');
  const chosen = standin.arrived('message', 1 + Math.floor(random() * (COMMUNITIES / 2)));
  const started = performance.now();
  const bots = startBoth(setting);
  // On a fast machine little or nothing may be left to ask for.
  const allSent = until(() => isAllSent(setting), LONGEST_WAIT_MS);
  await Promise.race([first, allSent]);
  const startMs = performance.now() - started;
  await Promise.race([chosen, allSent]);
  await Promise.all(bots.map(async (bot) => killIn(bot, random() * DANGER_MS)));
  return startMs;
}

async function killAnytime(setting: Setting, longestLifeMs: number): Promise<void> {
  const { standin, random } = setting;
  standin.nextCreateMessage(...someFaults(random));
  await Promise.all(startBoth(setting).map((bot) => killIn(bot, random() * longestLifeMs)));
}

/** No faults, and an end that lets what is under way finish: a second message would still come. */
async function finishInCalm(setting: Setting): Promise<void> {
  setting.standin.forgetFaults();
  const bots = startBoth(setting);
  await until(() => isAllSent(setting), LONGEST_WAIT_MS);
  await Promise.all(
    bots.map(async (bot) => {
      bot.process.kill('SIGTERM');
      await bot.finish();
    }),
  );
}

async function killIn(bot: Bot, ms: number): Promise<void> {
  await pause(ms);
  await bot.kill();
}

function someFaults(random: () => number): readonly Fault[] {
  return Array.from({ length: 1 + Math.floor(random() * MOST_FAULTS) }, () => {
    return FAULTS[Math.floor(random() * FAULTS.length)] ?? 'drop-after';
  });
}

const startBoth = ({ standin, connectionString }: Setting): readonly Bot[] =>
  Array.from({ length: PROCESSES }, () =>
    startBot({
      isBare: true,
      env: {
        DATABASE_URL: connectionString,
        DISCORD_TOKEN: standin.token,
        DISCORD_API: standin.api,
        LOG_LEVEL: 'fatal',
      },
    }),
  );

async function until(isDone: () => Promise<boolean>, mostMs: number): Promise<void> {
  const end = performance.now() + mostMs;
  while (performance.now() < end && !(await isDone())) await pause(100);
}

const countMessages = ({ standin, channels }: Setting): number =>
  channels.reduce((sum, channel) => sum + standin.messages(channel).length, 0);

async function countSent({ db, communities, week }: Setting): Promise<number> {
  const sent = await db
    .selectFrom('deliveries')
    .select('community_id')
    .where('community_id', 'in', communities)
    .where('about', '=', week)
    .where('state', '=', 'sent')
    .execute();
  return sent.length;
}

const isAllSent = async (setting: Setting): Promise<boolean> => (await countSent(setting)) === COMMUNITIES;
