import { DiscordAPIError, REST, Routes } from 'discord.js';
import { UNAUTHORISED } from './faults.js';

/** The bot's own requests: what its token is needed for. */
export type BotApi = Pick<REST, 'get' | 'post' | 'put'>;

interface TokenOptions {
  readonly rest: REST;
  readonly token: string;
  /** Another API than Discord's own, for tests. */
  readonly api: string | undefined;
  /** Called when Discord says of the token itself that it is not the bot's any more. */
  readonly lost: () => void;
}

/** One request and nothing after it: no waiting, and no timers that keep it in memory. */
const LOOK = { rejectOnRateLimit: () => true, hashSweepInterval: 0, handlerSweepInterval: 0 };

/**
 * Makes requests with the bot's token, and keeps it: the client drops its token for ever at the first 401, though one
 * passing failure of Discord's may be behind it. Here a fresh request asks whether the token is still good; if it is, it
 * is put back and the request is made once more.
 */
export function keepToken({ rest, token, api, lost }: TokenOptions): BotApi {
  let looking: Promise<boolean> | undefined;

  /** Whoever asks while the answer is under way waits for the same one. */
  function isStillGood(): Promise<boolean> {
    looking ??= look().finally(() => {
      looking = undefined;
    });
    return looking;
  }

  async function look(): Promise<boolean> {
    try {
      await new REST({ ...LOOK, ...(api === undefined ? {} : { api }) }).setToken(token).get(Routes.user());
      return true;
    } catch (error) {
      if (error instanceof DiscordAPIError && error.status === UNAUTHORISED) lost();
      return false;
    }
  }

  async function withToken<T>(request: () => Promise<T>): Promise<T> {
    try {
      return await request();
    } catch (error) {
      if (!isTurnedAway(error)) throw error;
      const isGood = await isStillGood();
      rest.setToken(token);
      if (!isGood) throw error;
    }
    try {
      return await request();
    } catch (error) {
      if (isTurnedAway(error)) rest.setToken(token);
      throw error;
    }
  }

  return {
    get: (route, options) => withToken(() => rest.get(route, options)),
    post: (route, options) => withToken(() => rest.post(route, options)),
    put: (route, options) => withToken(() => rest.put(route, options)),
  };
}

/** The client's own words, once it has dropped the token. */
const DROPPED = 'Expected token to be set';

const isTurnedAway = (error: unknown): boolean =>
  error instanceof DiscordAPIError
    ? error.status === UNAUTHORISED
    : error instanceof Error && error.message.startsWith(DROPPED);
