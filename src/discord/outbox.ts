import { type Client, DiscordAPIError, type Message, SnowflakeUtil, type TextBasedChannel } from 'discord.js';
import type { Outbox, Posted } from '../chat/platform.js';
import { sendable } from './acknowledge.js';
import { replyPayload } from './payload.js';
import { missingIn } from './platform.js';

/** JSON error codes after which trying again is of no use (Opcodes and Status Codes). */
const CLOSED: ReadonlyMap<number | string, string> = new Map([
  [10_003, 'the channel is gone'],
  [10_004, 'the bot is no longer on that server'],
  [50_001, 'the bot may not see the channel'],
  [50_013, 'the bot may not post there'],
  [50_007, 'they take no direct messages'],
]);

const LOOKED_THROUGH = 100;

/**
 * Posts that nobody asked for just now. Discord forgets a nonce after some minutes and does not show it on messages
 * that are read again, so each post carries its nonce at its foot as a mark to be found by.
 */
export function discordOutbox(client: Client<true>): Outbox {
  return {
    async post({ channel: id, nonce, reply }): Promise<Posted> {
      try {
        const channel = await client.channels.fetch(id);
        if (!channel?.isSendable()) return { kind: 'closed', why: 'the bot may not post there' };
        const message = await channel.send({
          ...sendable(replyPayload(reply, markOf(nonce))),
          nonce,
          enforceNonce: true,
        });
        return { kind: 'posted', message: message.id };
      } catch (error) {
        const why = error instanceof DiscordAPIError ? CLOSED.get(error.code) : undefined;
        if (why === undefined) throw error;
        return { kind: 'closed', why };
      }
    },

    async find(id, nonce, since) {
      const channel = await client.channels.fetch(id);
      if (!channel?.isTextBased()) return undefined;
      for await (const message of messagesSince(channel, since)) {
        const isOurs = message.author.id === client.user.id;
        if (isOurs && message.embeds.some(({ footer }) => footer?.text.endsWith(markOf(nonce))))
          return message.id;
      }
      return undefined;
    },

    async tellManagers(community, reply) {
      const guild = client.guilds.cache.get(community);
      if (!guild) return false;
      const message = sendable(replyPayload(reply));
      const { systemChannel } = guild;
      try {
        if (systemChannel && missingIn(systemChannel).length === 0) {
          await systemChannel.send(message);
          return true;
        }
        const owner = await client.users.fetch(guild.ownerId);
        await owner.send(message);
        return true;
      } catch (error) {
        if (error instanceof DiscordAPIError) return false;
        throw error;
      }
    },
  };
}

const markOf = (nonce: string): string => `#${nonce.slice(0, 8)}`;

/** Oldest first, so that paging ends at the newest. */
async function* messagesSince(channel: TextBasedChannel, since: Date): AsyncGenerator<Message> {
  let after = SnowflakeUtil.generate({ timestamp: since.getTime() - 60_000 }).toString();
  for (;;) {
    const page = [...(await channel.messages.fetch({ after, limit: LOOKED_THROUGH, cache: false })).values()];
    page.sort((a, b) => (BigInt(a.id) < BigInt(b.id) ? -1 : 1));
    yield* page;
    const last = page.at(-1);
    if (last === undefined || page.length < LOOKED_THROUGH) return;
    after = last.id;
  }
}
