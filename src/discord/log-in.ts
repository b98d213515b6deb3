import { ActivityType, Client, Events, GatewayCloseCodes, GatewayIntentBits, Options } from 'discord.js';
import { restOptions } from './rest.js';

/** Discord did not let the bot in; one line that says what to change, never the token itself. */
export class LoginRefused extends Error {
  override readonly name = 'LoginRefused';
}

/** A client that hears of its servers and of what people ask it, and of nothing else. */
export function newClient(api: string | undefined): Client {
  return new Client({
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
  });
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
    client.once(Events.ShardDisconnect, ({ code }) => reject(new LoginRefused(whyClosedWith(code))));
  });
  try {
    return await Promise.race([client.login(token).then(() => ready), turnedAway]);
  } catch (error) {
    await client.destroy();
    throw error instanceof LoginRefused ? error : new LoginRefused(whyFailed(error));
  }
}

const WRONG_TOKEN = 'DISCORD_TOKEN was not accepted by Discord; copy it again from the developer portal.';
const INTENTS =
  'DISCORD_TOKEN belongs to an application that may not use the Guilds intent; look at it in the developer portal.';

function whyClosedWith(code: number): string {
  if (code === GatewayCloseCodes.AuthenticationFailed) return WRONG_TOKEN;
  if (code === GatewayCloseCodes.DisallowedIntents || code === GatewayCloseCodes.InvalidIntents)
    return INTENTS;
  return `Discord turned the bot of DISCORD_TOKEN away (close code ${code}).`;
}

/** The client's words for the same, which it uses where it hears of them first. */
function whyFailed(error: unknown): string {
  const code = error instanceof Error && 'code' in error ? String(error.code) : undefined;
  const message = error instanceof Error ? error.message : '';
  if (code === 'TokenInvalid' || message === 'Authentication failed') return WRONG_TOKEN;
  if (message === 'Used disallowed intents' || message === 'Used invalid intents') return INTENTS;
  const reason = code === undefined ? '' : ` (${code})`;
  return `Discord could not be reached to log in with DISCORD_TOKEN${reason}; check the network and try again.`;
}
