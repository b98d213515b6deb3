import { setTimeout as pause } from 'node:timers/promises';
import type { Records } from '../../../src/records/database.js';
import { type Bot, startBot } from '../bot.js';
import type { Interaction } from '../chat-server/interactions.js';
import { type StandIn, startStandIn } from '../chat-server/server.js';
import { type Random, randomOf } from '../hostile/random.js';
import { type Deed, newCook, newDeed } from './cooks.js';
import { readStored, type Stored } from './stored.js';
import { type Attempt, type Moment, momentOf, saidBy, type Tally, tallyOf } from './tally.js';

const COOKS = 8;
/** Within this they all send what they want to save. */
const SENDING_MS = 60;
/** The bot is killed once it has sent some of its answers, or none, and then within this. */
const KILLING_MS = { afterSome: 10, afterNone: 400 };
/** Longer than Discord waits for an answer. */
const LONGEST_WAIT_MS = 5000;

export interface KillRoundsOptions {
  readonly rounds: number;
  readonly seed: number;
  /** Hears of each round once it is over. */
  readonly onRound?: (tally: Tally) => void;
}

export interface KillRounds {
  /** After each round, and last after what was left was sent again in calm. */
  readonly tallies: readonly Tally[];
  readonly attempts: readonly Attempt[];
  readonly kills: Readonly<Record<Moment, number>>;
  readonly community: string;
  readonly violations: readonly string[];
}

interface Sent {
  readonly deed: Deed;
  readonly isRepeat: boolean;
  readonly interaction: Interaction;
  /** Once it was answered, or will never be. */
  readonly over: Promise<unknown>;
}

/**
 * Rounds in which several members save something at once while the bot is killed with kill -9, and is started again. Who
 * heard nothing sends the same again in the next round, as a new request. At the end that is done once without a kill.
 */
export async function killRounds(
  db: Records,
  connectionString: string,
  { rounds, seed, onRound = () => {} }: KillRoundsOptions,
): Promise<KillRounds> {
  const standin = await startStandIn();
  const random = randomOf(seed);
  const guild = standin.addGuild('Ember Lane', [{ name: 'rendering' }]);
  const cooks = Array.from({ length: COOKS }, (_, at) => newCook(standin.member(guild, `Cook ${at + 1}`)));
  const attempts: Attempt[] = [];
  const tallies: Tally[] = [];
  const kills: Record<Moment, number> = { before: 0, between: 0, after: 0 };
  let deeds = 0;
  let stored: Stored = await readStored(db, guild.id);

  /** What each wants to have saved in a round. */
  const wanted = (): Promise<readonly Deed[]> =>
    Promise.all(cooks.map((cook) => cook.unheard ?? newDeed(cook, ++deeds, random)));

  async function settle(sent: readonly Sent[]): Promise<void> {
    const before = deedsIn(stored);
    stored = await readStored(db, guild.id);
    const after = deedsIn(stored);
    for (const { deed, isRepeat, interaction } of sent) {
      const said = saidBy(interaction, standin.world);
      deed.cook.unheard = said === 'nothing' ? deed : undefined;
      deed.cook.batch = stored.rows.find((row) => row.deed === deed.id)?.batch ?? deed.cook.batch;
      attempts.push({
        deed: deed.id,
        kind: deed.kind,
        said,
        isRepeat,
        storedBefore: before.has(deed.id),
        storedAfter: after.has(deed.id),
      });
    }
    const tally = tallyOf(attempts, stored);
    tallies.push(tally);
    onRound(tally);
  }

  try {
    let bot = await startedBot(standin, connectionString);
    for (let round = 0; round < rounds; round++) {
      const todo = await wanted();
      const isTime = momentToKill(standin, random);
      const sending = sendAll(standin, todo, random);
      await isTime;
      await bot.kill();
      const sent = await sending;
      // What was on its way from the dead process, to the stand-in and to Postgres, arrives while the next one starts.
      bot = await startedBot(standin, connectionString);
      await settle(sent);
      kills[momentOf(attempts.slice(-sent.length))]++;
    }
    const left = cooks.flatMap(({ unheard }) => unheard ?? []);
    const sent = await sendAll(standin, left, random);
    await Promise.all(sent.map(({ over }) => over));
    bot.process.kill('SIGTERM');
    await bot.finish();
    await settle(sent);
    return { tallies, attempts, kills, community: guild.id, violations: standin.violations };
  } finally {
    await standin.close();
  }
}

/** Before the answers, among them or after them all, whatever the speed of the machine. */
async function momentToKill(standin: StandIn, random: Random): Promise<void> {
  const answers = random.below(COOKS + 1);
  const lateMs = random.below(answers === 0 ? KILLING_MS.afterNone : KILLING_MS.afterSome);
  if (answers > 0) await Promise.race([standin.arrived('callback', answers), pause(LONGEST_WAIT_MS)]);
  await pause(lateMs);
}

/** Everybody sends at a moment of their own. */
function sendAll(standin: StandIn, deeds: readonly Deed[], random: Random): Promise<readonly Sent[]> {
  return Promise.all(
    deeds.map(async (deed) => {
      await pause(random.below(SENDING_MS));
      // Nobody answers where the bot is dead; what a member saw is looked up later.
      const over = deed.send().catch(() => {});
      const interaction = standin.interactions().at(-1);
      if (interaction === undefined) throw new Error('nothing was sent');
      return { deed, isRepeat: deed === deed.cook.unheard, interaction, over };
    }),
  );
}

async function startedBot(standin: StandIn, connectionString: string): Promise<Bot> {
  // It asks for its commands once it hears interactions, and registers them where there are none.
  const isHere = standin.arrived('commands', standin.world.commands.length === 0 ? 2 : 1);
  const bot = startBot({
    isBare: true,
    env: {
      DATABASE_URL: connectionString,
      DISCORD_TOKEN: standin.token,
      DISCORD_API: standin.api,
      LOG_LEVEL: 'fatal',
    },
  });
  const ended = new Promise<never>((_, reject) => {
    bot.process.once('exit', (code) => reject(new Error(`the bot ended with ${code}: ${bot.said()}`)));
  });
  ended.catch(() => {});
  await Promise.race([isHere, ended]);
  return bot;
}

const deedsIn = ({ rows }: Stored): ReadonlySet<number> => new Set(rows.map(({ deed }) => deed));
