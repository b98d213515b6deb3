import {
  ActivityType,
  Client,
  Events,
  GatewayCloseCodes,
  GatewayIntentBits,
  Options,
  SimpleIdentifyThrottler,
  type WebSocketOptions,
} from 'discord.js';
import { restOptions } from './rest.js';

/** Discord did not let the bot in; one line that says what to change, never the token itself. */
export class LoginRefused extends Error {
  override readonly name = 'LoginRefused';
  constructor(
    message: string,
    /** Whether the same may work a little later. */
    readonly mayPass: boolean,
  ) {
    super(message);
  }
}

/** The shards of this process: their number is Discord's to say with `auto`. */
export type Shards = 'auto' | { readonly ids: readonly number[]; readonly count: number };

/** A client that hears of its servers and of what people ask it, and of nothing else. */
export function newClient(api: string | undefined, shards: Shards = 'auto'): Client {
  return new Client({
    ...(shards === 'auto' ? { shards } : { shards: [...shards.ids], shardCount: shards.count }),
    // No privileged intent: interactions come without any.
    intents: [GatewayIntentBits.Guilds],
    allowedMentions: { parse: [] },
    presence: { activities: [{ name: '/help', type: ActivityType.Listening }] },
    makeCache: Options.cacheWithLimits({
      // Nothing of these is ever read again; kept, they would grow with every person who asks.
      ...NEVER_KEPT,
      UserManager: { maxSize: 0, keepOverLimit: ({ id, client }) => id === client.user?.id },
      GuildMemberManager: { maxSize: 0, keepOverLimit: ({ id, client }) => id === client.user.id },
    }),
    rest: restOptions(api),
    ws: { buildIdentifyThrottler: oneThrottler() },
  });
}

/**
 * Lets shards identify as fast as Discord allows (Gateway › Session Start Limit Object, `max_concurrency`). The client's own
 * way makes a throttler for each of those that ask before the first is made, and so holds none of them back.
 */
function oneThrottler(): NonNullable<WebSocketOptions['buildIdentifyThrottler']> {
  let throttler: Promise<SimpleIdentifyThrottler> | undefined;
  return async (manager) => {
    throttler ??= manager
      .fetchGatewayInformation()
      .then(({ session_start_limit: limit }) => new SimpleIdentifyThrottler(limit.max_concurrency));
    try {
      return await throttler;
    } catch (error) {
      throttler = undefined;
      throw error;
    }
  };
}

const NEVER_KEPT = {
  MessageManager: 0,
  ReactionManager: 0,
  PresenceManager: 0,
  VoiceStateManager: 0,
  GuildBanManager: 0,
  GuildInviteManager: 0,
  GuildEmojiManager: 0,
  GuildStickerManager: 0,
  GuildScheduledEventManager: 0,
  StageInstanceManager: 0,
  AutoModerationRuleManager: 0,
  ApplicationCommandManager: 0,
} as const;

/**
 * Connects, and waits until the servers are known.
 * @throws LoginRefused when Discord does not let the bot in or cannot be reached.
 */
export async function logIn(client: Client, token: string): Promise<Client<true>> {
  const ready = new Promise<Client<true>>((resolve) => {
    client.once(Events.ClientReady, resolve);
  });
  const turnedAway = new Promise<never>((_, reject) => {
    client.once(Events.ShardDisconnect, ({ code }) => reject(new LoginRefused(whyClosedWith(code), false)));
  });
  try {
    return await Promise.race([client.login(token).then(() => ready), turnedAway]);
  } catch (error) {
    await client.destroy();
    throw error instanceof LoginRefused ? error : refusalFor(error);
  }
}

const WRONG_TOKEN = 'DISCORD_TOKEN was not accepted by Discord; copy it again from the developer portal.';
const INTENTS =
  'DISCORD_TOKEN belongs to an application that may not use the Guilds intent; look at it in the developer portal.';

/**
 * Why Discord closes a connection for good (Opcodes and Status Codes › Gateway Close Event Codes), in the client's words
 * where it hears of it first, and what to do about it.
 */
const CLOSES: readonly { readonly code: number; readonly client: string; readonly why: string }[] = [
  { code: GatewayCloseCodes.AuthenticationFailed, client: 'Authentication failed', why: WRONG_TOKEN },
  { code: GatewayCloseCodes.DisallowedIntents, client: 'Used disallowed intents', why: INTENTS },
  { code: GatewayCloseCodes.InvalidIntents, client: 'Used invalid intents', why: INTENTS },
  {
    code: GatewayCloseCodes.ShardingRequired,
    client: 'Sharding is required',
    why: 'The bot of DISCORD_TOKEN is on so many servers that Discord wants more shards: leave SHARDS and SHARD_COUNT out, or raise SHARD_COUNT in every process.',
  },
  {
    code: GatewayCloseCodes.InvalidShard,
    client: 'Invalid shard',
    why: 'Discord does not take a shard of the bot of DISCORD_TOKEN: in SHARDS each must be below SHARD_COUNT, which is the same in every process.',
  },
];

/** What to do about a connection that Discord closed for good. */
export const whyClosedWith = (code: number): string =>
  CLOSES.find((one) => one.code === code)?.why ??
  `Discord turned the bot of DISCORD_TOKEN away (close code ${code}).`;

function refusalFor(error: unknown): LoginRefused {
  const code = error instanceof Error && 'code' in error ? String(error.code) : undefined;
  const said = CLOSES.find(({ client }) => error instanceof Error && error.message === client)?.why;
  if (code === 'TokenInvalid' || said !== undefined) return new LoginRefused(said ?? WRONG_TOKEN, false);
  const reason = code === undefined ? '' : ` (${code})`;
  return new LoginRefused(
    `Discord could not be reached to log in with DISCORD_TOKEN${reason}; check the network and try again.`,
    true,
  );
}
