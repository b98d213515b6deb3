import type { ErrorAnswer } from './faults.js';

/** What the stand-in knows: people, servers, channels, messages, commands. Ids grow like Discord's. */

export type Json = { [key: string]: unknown };

export interface User {
  readonly id: string;
  readonly username: string;
  readonly bot: boolean;
  /** Roles on the servers that this person is on. */
  readonly roles?: readonly string[];
}

export interface Channel {
  readonly id: string;
  readonly name: string;
  readonly guildId: string | undefined;
  /** Whom the bot talks to there, in direct messages. */
  readonly recipient?: User;
  /** Permission bits that the bot is denied there. */
  denied: bigint;
  deleted: boolean;
  /** How Discord refuses every message there, where it does. */
  refusal: ErrorAnswer | undefined;
}

export interface Guild {
  readonly id: string;
  readonly name: string;
  readonly channels: readonly Channel[];
  channel(name: string): Channel;
}

export interface StoredFile {
  readonly name: string;
  readonly description: string | undefined;
  readonly bytes: Uint8Array;
}

export interface Message {
  readonly id: string;
  readonly channelId: string;
  readonly createdAt: number;
  /** What a second request with the same nonce is held against; forgotten after a while. */
  nonce: string | undefined;
  files: readonly StoredFile[];
  body: Json;
}

const EPHEMERAL = 1 << 6;

/** Only the person who asked can see it (Message › Message Flags). */
export const isEphemeral = ({ body }: Message): boolean => (Number(body.flags ?? 0) & EPHEMERAL) !== 0;

// Discord's epoch, the first second of 2015 (API reference, Snowflakes).
const EPOCH_MS = 1_420_070_400_000;
/** Keeps the ids of servers apart from all others. */
const GUILD_BITS = 1n << 21n;

export interface World {
  readonly bot: User;
  readonly applicationId: string;
  readonly guilds: Map<string, Guild>;
  readonly channels: Map<string, Channel>;
  readonly users: Map<string, User>;
  readonly messages: Message[];
  commands: Json[];
  /** What the server's own settings say of a command: by the ids of the two with a space between. */
  readonly commandPermissions: Map<string, readonly Json[]>;
  /** How often all commands were overwritten. */
  overwrites: number;
  /** Of a moment; of now unless said. */
  newId(at?: number): string;
  addGuild(name: string, channels: readonly { readonly name: string; readonly denied?: bigint }[]): Guild;
  addUser(name: string, roles?: readonly string[]): User;
  addMessage(channelId: string, body: Json, files: readonly StoredFile[]): Message;
}

export function createWorld(): World {
  let counter = 0;
  let guildCounter = 0;
  const startedAt = Date.now();
  const newId = (at = Date.now()) => String((BigInt(at - EPOCH_MS) << 22n) + BigInt(counter++));
  const bot: User = { id: newId(), username: 'tallow-tally', bot: true };
  const world: World = {
    bot,
    applicationId: bot.id,
    guilds: new Map(),
    channels: new Map(),
    users: new Map([[bot.id, bot]]),
    messages: [],
    commands: [],
    commandPermissions: new Map(),
    overwrites: 0,
    newId,
    addGuild(name, specs) {
      // A moment of its own for each, so that servers spread over the shards (Gateway › Sharding Formula).
      const id = String((BigInt(startedAt - EPOCH_MS + guildCounter++) << 22n) + GUILD_BITS);
      const channels = specs.map(
        (spec): Channel => ({
          id: newId(),
          name: spec.name,
          guildId: id,
          denied: spec.denied ?? 0n,
          deleted: false,
          refusal: undefined,
        }),
      );
      const guild: Guild = {
        id,
        name,
        channels,
        channel(wanted) {
          const found = channels.find((one) => one.name === wanted);
          if (!found) throw new Error(`no channel ${wanted}`);
          return found;
        },
      };
      world.guilds.set(id, guild);
      for (const channel of channels) world.channels.set(channel.id, channel);
      return guild;
    },
    addUser(name, roles = []) {
      const user: User = { id: newId(), username: name, bot: false, roles };
      world.users.set(user.id, user);
      return user;
    },
    addMessage(channelId, body, files) {
      const message: Message = {
        id: newId(),
        channelId,
        createdAt: Date.now(),
        nonce: body.nonce === undefined ? undefined : String(body.nonce),
        files,
        body,
      };
      world.messages.push(message);
      return message;
    },
  };
  return world;
}

export function userJson(user: User): Json {
  return {
    id: user.id,
    username: user.username,
    global_name: user.username,
    discriminator: '0',
    avatar: null,
    bot: user.bot,
    flags: 0,
    public_flags: 0,
    primary_guild: null,
  };
}

/** Every permission; what a channel denies is taken away by its overwrites. */
export const ALL_PERMISSIONS = (1n << 50n) - 1n;
const ADMINISTRATOR = 1n << 3n;
export const BOT_PERMISSIONS = ALL_PERMISSIONS & ~ADMINISTRATOR;

export function channelJson(channel: Channel, botId: string): Json {
  if (channel.recipient)
    return {
      id: channel.id,
      type: 1,
      flags: 0,
      last_message_id: null,
      recipients: [userJson(channel.recipient)],
    };
  return {
    id: channel.id,
    type: 0,
    guild_id: channel.guildId,
    name: channel.name,
    position: 0,
    flags: 0,
    permission_overwrites:
      channel.denied === 0n ? [] : [{ id: botId, type: 1, allow: '0', deny: String(channel.denied) }],
    nsfw: false,
    rate_limit_per_user: 0,
  };
}

export function memberJson(user: User): Json {
  return {
    user: userJson(user),
    roles: [...(user.roles ?? [])],
    joined_at: '2026-01-01T00:00:00+00:00',
    deaf: false,
    mute: false,
    flags: 0,
    nick: null,
    avatar: null,
    banner: null,
    pending: false,
    premium_since: null,
    communication_disabled_until: null,
  };
}

export function guildJson(guild: Guild, bot: User): Json {
  return {
    id: guild.id,
    name: guild.name,
    owner_id: bot.id === guild.id ? bot.id : '1',
    unavailable: false,
    large: false,
    member_count: 2,
    joined_at: '2026-01-01T00:00:00+00:00',
    roles: [
      {
        id: guild.id,
        name: '@everyone',
        permissions: String(BOT_PERMISSIONS),
        position: 0,
        color: 0,
        hoist: false,
        managed: false,
        mentionable: false,
        flags: 0,
      },
    ],
    members: [memberJson(bot)],
    channels: guild.channels.filter((one) => !one.deleted).map((one) => channelJson(one, bot.id)),
    threads: [],
    emojis: [],
    stickers: [],
    presences: [],
    voice_states: [],
    stage_instances: [],
    guild_scheduled_events: [],
    features: [],
    system_channel_id: guild.channels[0]?.id ?? null,
    system_channel_flags: 0,
    premium_tier: 0,
    preferred_locale: 'en-US',
    nsfw_level: 0,
    verification_level: 0,
    default_message_notifications: 0,
    explicit_content_filter: 0,
    mfa_level: 0,
    afk_timeout: 300,
    premium_progress_bar_enabled: false,
  };
}

export function messageJson(message: Message, world: World): Json {
  const { body } = message;
  const embeds = Array.isArray(body.embeds) ? body.embeds.map((embed) => ({ ...embed, type: 'rich' })) : [];
  return {
    id: message.id,
    channel_id: message.channelId,
    author: userJson(world.bot),
    content: body.content ?? '',
    timestamp: new Date(message.createdAt).toISOString(),
    edited_timestamp: null,
    tts: false,
    mention_everyone: false,
    mentions: [],
    mention_roles: [],
    attachments: message.files.map((file, at) => ({
      id: String(at),
      filename: file.name,
      size: file.bytes.length,
      url: `http://127.0.0.1/${file.name}`,
      proxy_url: `http://127.0.0.1/${file.name}`,
      ...(file.description === undefined ? {} : { description: file.description }),
    })),
    embeds,
    components: Array.isArray(body.components) ? numbered(body.components) : [],
    pinned: false,
    type: 0,
    flags: body.flags ?? 0,
  };
}

/** Components with the numbers that Discord gives those that bring none. */
function numbered(components: readonly unknown[]): readonly unknown[] {
  let last = 0;
  const number = (component: unknown): unknown =>
    typeof component === 'object' && component !== null
      ? {
          id: ++last,
          ...component,
          ...('components' in component && Array.isArray(component.components)
            ? { components: component.components.map(number) }
            : {}),
        }
      : component;
  return components.map(number);
}
