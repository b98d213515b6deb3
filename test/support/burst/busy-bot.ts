import { setTimeout as pause } from 'node:timers/promises';
import { openRecords } from '../../../src/records/database.js';
import { fillDueCommunities } from '../../bench/fill.js';
import { type Bot, startBot } from '../bot.js';
import type { Crowd, CrowdSize } from './crowd.js';
import { openCrowdApart } from './crowd-apart.js';

const DAY_MS = 86_400_000;
/** Logging in goes on a little after the commands are registered. */
const SETTLING_MS = 1000;

export interface BusyBot {
  readonly crowd: Crowd;
  readonly bot: Bot;
  /** Ends both; what the bot logged. */
  close(): Promise<string>;
}

/** The bot on Discord as a process, and a crowd that talks to it as another; every server has batches. */
export async function startBusyBot(
  connectionString: string,
  size: CrowdSize & { readonly batchesEach: number; readonly cooksEach: number },
): Promise<BusyBot> {
  const crowd = await openCrowdApart(size);
  const db = openRecords(connectionString, () => {});
  // The day after tomorrow, so that no weekly post is in the way.
  const due = new Date(Date.now() + 2 * DAY_MS);
  await fillDueCommunities(
    db,
    crowd.opened.guilds,
    { batches: size.batchesEach, members: size.cooksEach },
    due,
  );
  await db.destroy();
  const bot = startBot({
    isBare: true,
    env: {
      DATABASE_URL: connectionString,
      DISCORD_TOKEN: crowd.opened.token,
      DISCORD_API: crowd.opened.api,
      LOG_LEVEL: 'warn',
    },
  });
  const ended = new Promise<never>((_, reject) => {
    bot.process.once('exit', (code) => reject(new Error(`the bot ended with ${code}`)));
  });
  await Promise.race([crowd.heard(), ended]);
  await pause(SETTLING_MS);
  return {
    crowd,
    bot,
    async close() {
      bot.process.kill('SIGTERM');
      const { said } = await bot.finish();
      await crowd.close();
      return said;
    },
  };
}
