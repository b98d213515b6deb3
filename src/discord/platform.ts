import { type Channel, type Client, type GuildTextBasedChannel, PermissionFlagsBits } from 'discord.js';
import type { Platform } from '../chat/platform.js';

/** The servers that the bot is in, as far as a command may ask about them. */
export function discordPlatform(client: Client<true>): Platform {
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
    messageLink: (community, channel, message) =>
      `https://discord.com/channels/${/^\d+$/.test(community) ? community : '@me'}/${channel}/${message}`,
  };
}

/** Text and announcement channels and their threads; not the chat beside a voice channel. */
function isForMessages(channel: Channel): channel is GuildTextBasedChannel {
  return channel.isTextBased() && !channel.isDMBased() && !channel.isVoiceBased();
}

/** What a post needs, in the words of Discord's settings. */
const NEEDED = [
  ['View Channel', PermissionFlagsBits.ViewChannel],
  ['Embed Links', PermissionFlagsBits.EmbedLinks],
  ['Attach Files', PermissionFlagsBits.AttachFiles],
  // Without it Discord shows no earlier messages, and a post that may be out already could not be found again.
  ['Read Message History', PermissionFlagsBits.ReadMessageHistory],
] as const;

/** Permissions that the bot lacks to post in a channel, in Discord's words. */
export function missingIn(channel: GuildTextBasedChannel): readonly string[] {
  const { me } = channel.guild.members;
  const held = me && channel.permissionsFor(me);
  const [see, ...more] = NEEDED;
  const send = channel.isThread()
    ? (['Send Messages in Threads', PermissionFlagsBits.SendMessagesInThreads] as const)
    : (['Send Messages', PermissionFlagsBits.SendMessages] as const);
  return [see, send, ...more].filter(([, flag]) => !held?.has(flag)).map(([name]) => name);
}
