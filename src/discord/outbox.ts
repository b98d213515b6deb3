import { createHash } from 'node:crypto';
import {
  type Channel,
  type Client,
  type Guild,
  type Message,
  type SendableChannels,
  SnowflakeUtil,
  type TextBasedChannel,
} from 'discord.js';
import type { Outbox, Posted } from '../chat/platform.js';
import { communityOf } from './community.js';
import { whyClosed } from './faults.js';
import { type Payload, replyPayload } from './payload.js';
import { missingIn } from './platform.js';

/** The most that Discord shows of a channel at once (Get Channel Messages, `limit`). */
const PAGE = 100;
/** How far this machine's clock may be ahead of Discord's. */
const CLOCK_SKEW_MS = 60_000;

/**
 * Posts that nobody asked for just now. Discord forgets a nonce after some minutes and does not show it on messages
 * that are read again, so each post carries a mark at its foot to be found by.
 */
export function discordOutbox(client: Client<true>): Outbox {
  return {
    async post({ community, channel: id, nonce, reply }): Promise<Posted> {
      try {
        const channel = await client.channels.fetch(id);
        const wrong = whyUnfit(channel, community);
        if (!channel?.isSendable() || wrong !== undefined) {
          return { kind: 'closed', why: wrong ?? 'the bot may not post there' };
        }
        const payload = replyPayload(reply, markOf(nonce));
        const message = await channel.send({ ...payload, nonce, enforceNonce: true });
        return { kind: 'posted', message: message.id };
      } catch (error) {
        const why = whyClosed(error);
        if (why === undefined) throw error;
        return { kind: 'closed', why };
      }
    },

    async find(id, nonce, since) {
      try {
        const channel = await client.channels.fetch(id);
        if (!channel?.isTextBased()) return undefined;
        for await (const message of messagesSince(channel, since)) {
          if (message.author.id === client.user.id && isMarked(message, markOf(nonce))) return message.id;
        }
        return undefined;
      } catch (error) {
        if (whyClosed(error) === undefined) throw error;
        return undefined;
      }
    },

    async names(community, channel) {
      const guild = client.guilds.cache.get(community);
      return {
        community: guild?.name,
        channel: channel === undefined ? undefined : guild?.channels.cache.get(channel)?.name,
      };
    },

    async tellManagers(community, reply) {
      const guild = client.guilds.cache.get(community);
      if (!guild) return false;
      const payload = replyPayload(reply);
      return (await tellOwner(client, guild, payload)) || (await tellInSystemChannel(guild, payload));
    },
  };
}

function whyUnfit(channel: Channel | null, community: string): string | undefined {
  if (channel === null) return 'the bot is no longer on that server';
  const belongsTo = communityOfChannel(channel);
  return belongsTo === undefined || belongsTo === community
    ? undefined
    : 'the channel is of another community';
}

/** Undefined where Discord did not say with whom a direct conversation is. */
function communityOfChannel(channel: Channel): string | undefined {
  if (!channel.isDMBased()) return channel.guildId;
  return 'recipientId' in channel && channel.recipientId ? communityOf(null, channel.recipientId) : undefined;
}

const tellInSystemChannel = async ({ systemChannel }: Guild, payload: Payload): Promise<boolean> =>
  systemChannel !== null && missingIn(systemChannel).length === 0 && (await say(systemChannel, payload));

async function tellOwner(client: Client, { ownerId }: Guild, payload: Payload): Promise<boolean> {
  const owner = await client.users.createDM(ownerId).catch(refusedAs(undefined));
  return owner !== undefined && (await say(owner, payload));
}

/** Whether the message was taken; rejects on a failure worth another try. */
const say = (channel: SendableChannels, payload: Payload): Promise<boolean> =>
  channel.send(payload).then(() => true, refusedAs(false));

function refusedAs<T>(answer: T): (error: unknown) => T {
  return (error) => {
    if (whyClosed(error) === undefined) throw error;
    return answer;
  };
}

/** Short enough for people to overlook, long enough to be the only one of its kind in a channel. */
const markOf = (nonce: string): string =>
  `#${createHash('sha256').update(nonce).digest('base64url').slice(0, 8)}`;

const isMarked = ({ embeds }: Message, mark: string): boolean =>
  embeds.some(({ footer }) => footer?.text === mark || footer?.text.endsWith(` ${mark}`));

/** Oldest first, so that paging ends at the newest. */
async function* messagesSince(channel: TextBasedChannel, since: Date): AsyncGenerator<Message> {
  let after = SnowflakeUtil.generate({ timestamp: since.getTime() - CLOCK_SKEW_MS }).toString();
  for (;;) {
    const page = [...(await channel.messages.fetch({ after, limit: PAGE, cache: false })).values()];
    page.sort((a, b) => (BigInt(a.id) < BigInt(b.id) ? -1 : 1));
    yield* page;
    const last = page.at(-1);
    if (last === undefined || page.length < PAGE) return;
    after = last.id;
  }
}
