import { setTimeout as pause } from 'node:timers/promises';
import { type Bot, startBot } from '../bot.js';
import type { Interaction } from '../chat-server/interactions.js';
import { seenOf } from '../chat-server/seen.js';
import type { StandIn } from '../chat-server/server.js';

/** The processes of one bot, each with a shard of its own. */
export interface Fleet {
  readonly shards: readonly number[];
  /** Resolves once it talks on Discord. */
  start(shard: number): Promise<void>;
  /** Ends it as a crash of the machine would; the number of its process. */
  kill(shard: number): Promise<number | undefined>;
  /** Waits for it to end by itself after `because`, which it must with that code. */
  expectEnd(shard: number, because: () => void, code: number): Promise<void>;
  /** Asks it to end, which it must with code 0. */
  end(shard: number): Promise<void>;
  /** Does what makes every process begin a new session, and waits until all have: Discord repeats nothing to those. */
  loseSessions(because: () => void): Promise<void>;
  /** Whether it was under way when its process was killed, or sent while there was none, or no session. */
  isCutOff(interaction: Interaction): boolean;
  readonly wrongs: readonly string[];
}

/** While nobody could hear what a shard was told. */
interface Gap {
  readonly shard: number;
  readonly from: number;
  until: number;
  /** What a kill left undone. */
  readonly underWay: ReadonlySet<string>;
}

const SHARDS = [0, 1];
const LONGEST_START_MS = 60_000;

export function fleetOn(standin: StandIn, env: Readonly<Record<string, string>>): Fleet {
  const bots = new Map<number, Bot>();
  const gaps: Gap[] = [];
  const wrongs: string[] = [];

  function botOf(shard: number): Bot {
    const bot = bots.get(shard);
    if (!bot) throw new Error(`shard ${shard} has no process`);
    return bot;
  }

  const isOf = ({ event }: Interaction, shard: number): boolean => shardOf(String(event.guild_id)) === shard;

  function leave(shard: number, isKill: boolean): void {
    const underWay = isKill ? standin.interactions().filter((one) => isOf(one, shard) && isOpen(one)) : [];
    const from = Date.now();
    gaps.push({
      shard,
      from,
      until: Number.POSITIVE_INFINITY,
      underWay: new Set(underWay.map(({ id }) => id)),
    });
  }

  const lastSession = (shard: number): number =>
    standin.gateway.identified.findLast((one) => one.shard[0] === shard)?.at ?? 0;

  function isBack(shard: number): boolean {
    const gap = gaps.findLast((one) => one.shard === shard);
    if (!gap || lastSession(shard) < gap.from) return false;
    gap.until = lastSession(shard);
    return true;
  }

  async function expectEnd(shard: number, because: () => void, expected: number): Promise<void> {
    const bot = botOf(shard);
    leave(shard, false);
    because();
    const ended = await Promise.race([bot.finish(), pause(LONGEST_START_MS)]);
    if (ended?.code !== expected) wrongs.push(`shard ${shard} ended with ${ended?.code}, not ${expected}`);
    judgeLog(bot.said());
  }

  function judgeLog(said: string): void {
    for (const line of said.split('\n'))
      if (line !== '' && !isJsonLine(line)) wrongs.push(`in the log: ${line}`);
  }

  return {
    shards: SHARDS,
    wrongs,
    async start(shard) {
      const bot = startBot({
        isBare: true,
        env: {
          ...env,
          DISCORD_TOKEN: standin.token,
          DISCORD_API: standin.api,
          SHARDS: String(shard),
          SHARD_COUNT: String(SHARDS.length),
        },
      });
      bots.set(shard, bot);
      const isHere = await settled(() => bot.said().includes('talking on Discord'), LONGEST_START_MS);
      if (!isHere) throw new Error(`shard ${shard} did not start: ${bot.said()}`);
      isBack(shard);
    },
    async kill(shard) {
      const bot = botOf(shard);
      leave(shard, true);
      await bot.kill();
      judgeLog(bot.said());
      return bot.process.pid;
    },
    expectEnd,
    end: (shard) => expectEnd(shard, () => void botOf(shard).process.kill('SIGTERM'), 0),
    async loseSessions(because) {
      for (const shard of SHARDS) leave(shard, false);
      because();
      await settled(() => SHARDS.every(isBack), LONGEST_START_MS);
    },
    isCutOff: (one) =>
      gaps.some(
        ({ shard, from, until: to, underWay }) =>
          isOf(one, shard) && (underWay.has(one.id) || (one.createdAt >= from && one.createdAt < to)),
      ),
  };
}

/** Gateway › Sharding Formula. */
export const shardOf = (guildId: string): number => Number((BigInt(guildId) >> 22n) % BigInt(SHARDS.length));

/** Whether an answer is still to come, or could. */
export function isOpen(interaction: Interaction): boolean {
  const { kind } = seenOf(interaction);
  return kind === 'thinking' || (kind === 'nothing' && Date.now() - interaction.createdAt < 3500);
}

function isJsonLine(line: string): boolean {
  try {
    return typeof JSON.parse(line) === 'object';
  } catch {
    return false;
  }
}

/** Whether it came true within `mostMs`. */
export async function settled(isDone: () => boolean | Promise<boolean>, mostMs: number): Promise<boolean> {
  const end = performance.now() + mostMs;
  while (performance.now() < end) {
    if (await isDone()) return true;
    await pause(20);
  }
  return false;
}
