import type { Channel, Client, GuildTextBasedChannel } from 'discord.js';
import type { Platform } from '../chat/platform.js';
import { isOpenedTo } from './opened-commands.js';
import { missingAmong } from './permissions.js';
import type { BotApi } from './token.js';

/** The servers that the bot is in, as far as a command may ask about them. */
export function discordPlatform(client: Client<true>, api: BotApi): Platform {
  return {
    losesForms: true,
    async channel(community, idOrName) {
      const channels = client.guilds.cache.get(community)?.channels.cache;
      const wanted = idOrName.replace(/^#/, '');
      const found =
        channels?.get(wanted) ?? channels?.find((one) => one.name === wanted && isForMessages(one));
      if (!found || !isForMessages(found)) return undefined;
      return { id: found.id, name: found.name, missing: missingIn(found) };
    },
    isOpenedTo: (command, server, memberId) =>
      isOpenedTo(api, client.application.id, command, { server, memberId }),
    messageLink: (community, channel, message) =>
      `https://discord.com/channels/${/^\d+$/.test(community) ? community : '@me'}/${channel}/${message}`,
  };
}

/** Text and announcement channels and their threads; not the chat beside a voice channel. */
function isForMessages(channel: Channel): channel is GuildTextBasedChannel {
  return channel.isTextBased() && !channel.isDMBased() && !channel.isVoiceBased();
}

/** Permissions that the bot lacks to post in a channel, in Discord's words. */
function missingIn(channel: GuildTextBasedChannel): readonly string[] {
  const { me } = channel.guild.members;
  return missingAmong((me && channel.permissionsFor(me))?.bitfield ?? 0n, channel.isThread());
}
