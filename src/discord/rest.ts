import { REST, RESTEvents, type RESTOptions } from 'discord.js';
import type { Logger } from 'pino';

/** Longer than this nobody waits in line: whoever asks is told, and decides. */
const LONGEST_WAIT_MS = 10_000;

/** For requests with the bot's token. */
export function restOptions(api: string | undefined): Partial<RESTOptions> {
  return {
    ...(api === undefined ? {} : { api }),
    // Commands are registered in the background and wait by themselves.
    rejectOnRateLimit: ({ route, retryAfter }) =>
      retryAfter > LONGEST_WAIT_MS || route.startsWith('/applications/'),
  };
}

/**
 * For answering interactions, which needs no token: apart from the rest, because “interaction endpoints are not bound to
 * the bot's global rate limit” (Receiving and Responding › Endpoints), and because only who answers knows what a failed
 * try means.
 */
export function interactionRest(api: string | undefined): REST {
  return new REST({
    ...(api === undefined ? {} : { api }),
    globalRequestsPerSecond: Number.POSITIVE_INFINITY,
    retries: 0,
    rejectOnRateLimit: () => true,
    // One line for each interaction, of no use once it is answered.
    handlerSweepInterval: 10 * 60_000,
  });
}

/** Logs whenever requests have to wait, and who makes them: Discord, or this client to stay below Discord's limits. */
export function logLimits(rest: REST, log: Logger): void {
  rest.on(RESTEvents.RateLimited, ({ method, route, retryAfter, global }) =>
    log.warn({ method, route, waitMs: retryAfter, global }, 'this client holds requests back'),
  );
  rest.on(RESTEvents.Response, ({ method, route }, { status, headers }) => {
    if (status !== TOO_MANY_REQUESTS) return;
    const waitMs = 1000 * Number(headers.get('retry-after') ?? 0);
    const scope = headers.get('x-ratelimit-scope') ?? 'user';
    log.warn({ method, route, waitMs, scope }, 'Discord asks to slow down');
  });
}

const TOO_MANY_REQUESTS = 429;
