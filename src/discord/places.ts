import { ChannelType, Routes } from 'discord.js';
import { z } from 'zod';
import { unlessRefused } from './faults.js';
import { missingAmong, permissionsIn } from './permissions.js';
import type { BotApi } from './token.js';

/** A server is a community; in direct messages everybody is a community of their own. */
export const communityOf = (guildId: string | null, userId: string): string => guildId ?? `direct-${userId}`;

const server = z.object({
  id: z.string(),
  name: z.string(),
  owner_id: z.string(),
  system_channel_id: z.string().nullable(),
  roles: z.array(z.object({ id: z.string(), permissions: z.string() })),
});
type Server = z.output<typeof server>;

const channel = z.object({
  id: z.string(),
  type: z.number(),
  guild_id: z.string().optional(),
  name: z.string().nullish(),
  parent_id: z.string().nullish(),
  recipients: z.array(z.object({ id: z.string() })).optional(),
  permission_overwrites: z
    .array(z.object({ id: z.string(), allow: z.string(), deny: z.string() }))
    .optional(),
});
export type Channel = z.output<typeof channel>;

const member = z.object({ roles: z.array(z.string()) });

const THREADS: readonly number[] = [
  ChannelType.AnnouncementThread,
  ChannelType.PublicThread,
  ChannelType.PrivateThread,
];

/**
 * Servers and channels as Discord tells of them when asked, whichever process hears of them: a process knows by itself
 * only those of its own shards.
 */
export interface Places {
  /** Undefined where the bot is not on it, or never was. */
  server(id: string): Promise<Server | undefined>;
  /** Rejects with Discord's refusal where there is none, or none that the bot may see. */
  channel(id: string): Promise<Channel>;
  /** The name of a channel, also of one that the bot may not look into. */
  channelName(server: string, id: string): Promise<string | undefined>;
  /** Permissions that the bot lacks for posts there; undefined where that cannot be told. */
  missing(server: string, id: string): Promise<readonly string[] | undefined>;
}

export function placesOf(api: BotApi, botId: string): Places {
  const readServer = async (id: string) => server.parse(await api.get(Routes.guild(id)));
  const readChannel = async (id: string) => channel.parse(await api.get(Routes.channel(id)));
  const readChannels = async (id: string) => z.array(channel).parse(await api.get(Routes.guildChannels(id)));

  return {
    server: (id) => (IS_ID.test(id) ? unlessRefused(readServer(id)) : Promise.resolve(undefined)),
    channel: readChannel,
    async channelName(serverId, id) {
      const seen = await unlessRefused(readChannel(id));
      if (seen?.name) return seen.name;
      const all = await unlessRefused(readChannels(serverId));
      return all?.find((one) => one.id === id)?.name ?? undefined;
    },
    missing: (serverId, id) => unlessRefused(readMissing(serverId, id)),
  };

  async function readMissing(serverId: string, id: string): Promise<readonly string[]> {
    const [on, self, here] = await Promise.all([
      readServer(serverId),
      api.get(Routes.guildMember(serverId, botId)),
      readChannel(id),
    ]);
    const isThread = THREADS.includes(here.type);
    // A thread has the permissions of the channel that it hangs from.
    const of = isThread && here.parent_id ? await readChannel(here.parent_id) : here;
    const { roles } = member.parse(self);
    return missingAmong(permissionsIn(on, { id: botId, roles }, of.permission_overwrites ?? []), isThread);
  }
}

/** What else is called a community is no server: a direct conversation, for one. */
const IS_ID = /^\d+$/;
