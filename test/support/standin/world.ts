import type { Json } from './json.js';
import { ALL_PERMISSIONS, ORDINARY, type Overwrite, permissionsIn } from './permissions.js';
import { snowflakes } from './snowflake.js';

/** What the stand-in knows: people, servers, channels, messages and commands. */
export interface World {
  readonly bot: User;
  readonly applicationId: string;
  readonly guilds: Map<string, Guild>;
  readonly channels: Map<string, Channel>;
  readonly users: Map<string, User>;
  /** Commands by where they are offered: `everywhere`, or a server's id. */
  readonly commands: Map<string, readonly Json[]>;
  /** How often all commands were overwritten. */
  overwrites: number;
  newId(): string;
  addGuild(name: string, channels: readonly ChannelSpec[]): Guild;
  /** The person of that name, new or known. */
  user(name: string): User;
  /** Where the bot and a person talk alone. */
  directChannel(user: User): Channel;
  messagesIn(channelId: string): readonly Message[];
  messageOf(channelId: string, messageId: string): Message | undefined;
  addMessage(channelId: string, draft: Partial<MessageBody>, from?: Json): Message;
  deleteMessage(message: Message): void;
  /** The message that was made with this nonce, while Discord remembers it. */
  madeWith(nonce: string): Message | undefined;
  /** As after some minutes: nonces are remembered no longer. */
  forgetNonces(): void;
}

export const EVERYWHERE = 'everywhere';

export interface User {
  readonly id: string;
  readonly username: string;
  readonly bot: boolean;
  /** Takes no direct messages. */
  closed: boolean;
}

export type ChannelKind = 'text' | 'announcement' | 'voice' | 'category' | 'direct';

export interface ChannelSpec {
  readonly name: string;
  readonly kind?: Exclude<ChannelKind, 'direct'>;
  /** Permission bits that the bot is denied there. */
  readonly denied?: bigint;
  /** Permission bits that everyone is denied there. */
  readonly everyoneDenied?: bigint;
  /** Permission bits that the bot is allowed there whatever is denied to everyone. */
  readonly allowed?: bigint;
}

export interface Channel {
  readonly id: string;
  readonly name: string;
  readonly kind: ChannelKind;
  readonly guild: Guild | undefined;
  /** Whom the bot talks to, in direct messages. */
  readonly recipient: User | undefined;
  denied: bigint;
  everyoneDenied: bigint;
  allowed: bigint;
  deleted: boolean;
}

export interface Guild {
  readonly id: string;
  readonly name: string;
  readonly owner: User;
  readonly channels: readonly Channel[];
  /** What members hold beyond what everybody does, by the member's id. */
  readonly extra: Map<string, Role>;
  /** The bot is no longer on it. */
  left: boolean;
  channel(name: string): Channel;
}

export interface Role {
  readonly id: string;
  readonly permissions: bigint;
}

export interface StoredFile {
  readonly id: string;
  readonly name: string;
  readonly description: string | undefined;
  readonly bytes: Uint8Array;
}

export interface MessageBody {
  readonly content: string;
  readonly embeds: readonly Json[];
  readonly components: readonly Json[];
  readonly files: readonly StoredFile[];
  readonly flags: number;
  readonly nonce: string | undefined;
}

export interface Message extends MessageBody {
  readonly id: string;
  readonly channelId: string;
  readonly createdAt: number;
  /** The interaction it answers. */
  readonly from: Json | undefined;
  content: string;
  embeds: readonly Json[];
  components: readonly Json[];
  files: readonly StoredFile[];
  flags: number;
  editedAt: number | undefined;
}

/** Message flags (Message › Message Flags). */
export const Flags = { ephemeral: 1 << 6, loading: 1 << 7, componentsV2: 1 << 15 } as const;

export const isEphemeral = (message: Message): boolean => (message.flags & Flags.ephemeral) !== 0;
export const isLoading = (message: Message): boolean => (message.flags & Flags.loading) !== 0;

export function createWorld(clock: () => number): World {
  const newId = snowflakes(clock);
  const bot: User = { id: newId(), username: 'tallow-tally', bot: true, closed: false };
  const guilds = new Map<string, Guild>();
  const channels = new Map<string, Channel>();
  const users = new Map([[bot.id, bot]]);
  const named = new Map<string, User>();
  const direct = new Map<string, Channel>();
  const messages = new Map<string, Message[]>();
  const nonces = new Map<string, Message>();

  function user(name: string): User {
    const known = named.get(name);
    if (known) return known;
    const created: User = { id: newId(), username: name, bot: false, closed: false };
    users.set(created.id, created);
    named.set(name, created);
    return created;
  }

  return {
    bot,
    applicationId: bot.id,
    guilds,
    channels,
    users,
    commands: new Map(),
    overwrites: 0,
    newId,
    user,

    addGuild(name, specs) {
      const own: Channel[] = [];
      const guild: Guild = {
        id: newId(),
        name,
        owner: user(`Owner of ${name}`),
        channels: own,
        extra: new Map(),
        left: false,
        channel(wanted) {
          const found = own.find((one) => one.name === wanted);
          if (!found) throw new Error(`${name} has no channel ${wanted}`);
          return found;
        },
      };
      for (const spec of specs) {
        const channel: Channel = {
          id: newId(),
          name: spec.name,
          kind: spec.kind ?? 'text',
          guild,
          recipient: undefined,
          denied: spec.denied ?? 0n,
          everyoneDenied: spec.everyoneDenied ?? 0n,
          allowed: spec.allowed ?? 0n,
          deleted: false,
        };
        own.push(channel);
        channels.set(channel.id, channel);
      }
      guilds.set(guild.id, guild);
      return guild;
    },

    directChannel(recipient) {
      const known = direct.get(recipient.id);
      if (known) return known;
      const channel: Channel = {
        id: newId(),
        name: '',
        kind: 'direct',
        guild: undefined,
        recipient,
        denied: 0n,
        everyoneDenied: 0n,
        allowed: 0n,
        deleted: false,
      };
      direct.set(recipient.id, channel);
      channels.set(channel.id, channel);
      return channel;
    },

    messagesIn: (channelId) => messages.get(channelId) ?? [],
    messageOf: (channelId, messageId) => messages.get(channelId)?.find(({ id }) => id === messageId),

    addMessage(channelId, draft, from) {
      const message: Message = {
        id: newId(),
        channelId,
        createdAt: clock(),
        editedAt: undefined,
        from,
        content: draft.content ?? '',
        embeds: draft.embeds ?? [],
        components: draft.components ?? [],
        files: draft.files ?? [],
        flags: draft.flags ?? 0,
        nonce: draft.nonce,
      };
      const there = messages.get(channelId);
      if (there) there.push(message);
      else messages.set(channelId, [message]);
      if (message.nonce !== undefined) nonces.set(message.nonce, message);
      return message;
    },

    deleteMessage(message) {
      const there = messages.get(message.channelId);
      const at = there?.indexOf(message) ?? -1;
      if (at >= 0) there?.splice(at, 1);
    },

    madeWith: (nonce) => nonces.get(nonce),
    forgetNonces: () => nonces.clear(),
  };
}

export function overwritesOf(channel: Channel, bot: User): readonly Overwrite[] {
  return [
    { id: channel.guild?.id ?? '', allow: 0n, deny: channel.everyoneDenied },
    { id: bot.id, allow: channel.allowed, deny: channel.denied },
  ].filter(({ id, allow, deny }) => id !== '' && (allow | deny) !== 0n);
}

/** What a person may do on a server before any channel has its say. */
export function heldBy(person: User, guild: Guild): bigint {
  if (person.id === guild.owner.id) return ALL_PERMISSIONS;
  return ORDINARY | (guild.extra.get(person.id)?.permissions ?? 0n);
}

/** What a person may do in a channel; in direct messages both may talk. */
export function permissionsOf(person: User, channel: Channel, bot: User): bigint {
  const { guild } = channel;
  if (!guild) return ORDINARY;
  return permissionsIn(heldBy(person, guild), overwritesOf(channel, bot), guild.id, person.id);
}
