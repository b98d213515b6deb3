import {
  ChannelType,
  type Client,
  type GuildTextBasedChannel,
  PermissionFlagsBits,
  PermissionsBitField,
} from 'discord.js';
import type { Platform } from '../chat/platform.js';

/** What a post needs, in Discord's words. */
const NEEDED = [
  ['View Channel', PermissionFlagsBits.ViewChannel],
  ['Send Messages', PermissionFlagsBits.SendMessages],
  ['Embed Links', PermissionFlagsBits.EmbedLinks],
  ['Attach Files', PermissionFlagsBits.AttachFiles],
  ['Read Message History', PermissionFlagsBits.ReadMessageHistory],
] as const;

const POSTABLE: readonly ChannelType[] = [ChannelType.GuildText, ChannelType.GuildAnnouncement];

/** The servers that the bot is in, as far as a command may ask about them. */
export function discordPlatform(client: Client<true>): Platform {
  return {
    async channel(community, idOrName) {
      const guild = client.guilds.cache.get(community);
      const found =
        guild?.channels.cache.get(idOrName) ?? guild?.channels.cache.find(({ name }) => name === idOrName);
      if (!found?.isTextBased() || !POSTABLE.includes(found.type)) return undefined;
      const missing = missingIn(found);
      if (missing.includes('View Channel')) return undefined;
      return { id: found.id, name: found.name, missing };
    },
    messageLink: (community, channel, message) =>
      `https://discord.com/channels/${community}/${channel}/${message}`,
  };
}

/** Permissions that the bot lacks in a channel. */
export function missingIn(channel: GuildTextBasedChannel): readonly string[] {
  const { me } = channel.guild.members;
  const held = (me && channel.permissionsFor(me)) ?? new PermissionsBitField();
  return NEEDED.filter(([, flag]) => !held.has(flag)).map(([name]) => name);
}
