import { createHash } from 'node:crypto';
import { RateLimitError, Routes, SnowflakeUtil } from 'discord.js';
import { z } from 'zod';
import type { Outbox, OutgoingMessage, Posted } from '../chat/platform.js';
import type { Reply } from '../chat/reply.js';
import { lacksAccess, lacksPermission, unlessRefused, whyClosed, whyRefused } from './faults.js';
import { type Payload, replyPayload } from './payload.js';
import { ATTACH_FILES } from './permissions.js';
import { type Channel, communityOf, type Places } from './places.js';
import type { BotApi } from './token.js';

/** The most that Discord shows of a channel at once (Get Channel Messages, `limit`). */
const PAGE = 100;
/** How far this machine's clock may be ahead of Discord's. */
const CLOCK_SKEW_MS = 60_000;
/** Where Discord does not say how long to wait. */
const USUAL_WAIT_MS = 60_000;

const message = z.object({
  id: z.string(),
  author: z.object({ id: z.string() }),
  embeds: z.array(z.object({ footer: z.object({ text: z.string() }).optional() })),
});
type Message = z.output<typeof message>;
const withId = z.object({ id: z.string() });

interface OutboxOptions {
  readonly api: BotApi;
  readonly botId: string;
  readonly places: Places;
  /** The server of a channel that this process knows by itself. */
  readonly knownServer: (channel: string) => string | undefined;
}

/**
 * Posts that nobody asked for just now. Nothing here needs the server to be one of this process, so that whichever process
 * takes a post up can send it. Discord forgets a nonce after some minutes and does not show it on messages that are read
 * again, so each post carries a mark at its foot to be found by.
 */
export function discordOutbox({ api, botId, places, knownServer }: OutboxOptions): Outbox {
  async function post(outgoing: OutgoingMessage): Promise<Posted> {
    const { community, channel } = outgoing;
    try {
      const owner = knownServer(channel) ?? communityOfChannel(await places.channel(channel));
      if (owner !== undefined && owner !== community)
        return { kind: 'closed', why: 'the channel is of another community' };
      return await send(outgoing);
    } catch (error) {
      return notPosted(error, community);
    }
  }

  async function send(outgoing: OutgoingMessage): Promise<Posted> {
    const { community, channel, reply } = outgoing;
    try {
      return await sendAs(outgoing, reply);
    } catch (error) {
      if (!lacksPermission(error)) throw error;
      const missing = (await places.missing(community, channel)) ?? [];
      const isForPicture = missing.length === 1 && missing[0] === ATTACH_FILES;
      if (isForPicture && reply.picture) return await sendAs(outgoing, withoutPicture(reply));
      if (missing.length === 0) throw error;
      return { kind: 'closed', why: `the bot lacks ${missing.join(', ')} there` };
    }
  }

  async function sendAs({ channel, nonce }: OutgoingMessage, reply: Reply): Promise<Posted> {
    const { body, files } = replyPayload(reply, markOf(nonce));
    const sent = await api.post(Routes.channelMessages(channel), {
      body: { ...body, nonce, enforce_nonce: true },
      files: [...files],
    });
    return { kind: 'posted', message: withId.parse(sent).id };
  }

  async function notPosted(error: unknown, community: string): Promise<Posted> {
    if (error instanceof RateLimitError)
      return { kind: 'later', why: 'Discord asks to wait', waitMs: error.retryAfter };
    const refused = whyRefused(error);
    if (refused === undefined) throw error;
    if (refused.kind === 'later') return { waitMs: USUAL_WAIT_MS, ...refused };
    const isAway = lacksAccess(error) && (await places.server(community)) === undefined;
    return isAway ? { kind: 'closed', why: 'the bot is no longer on that server' } : refused;
  }

  /** Oldest first, so that paging ends at the newest. */
  async function* messagesSince(channel: string, since: Date): AsyncGenerator<Message> {
    let after = SnowflakeUtil.generate({ timestamp: since.getTime() - CLOCK_SKEW_MS }).toString();
    for (;;) {
      const query = new URLSearchParams({ after, limit: String(PAGE) });
      const page = z.array(message).parse(await api.get(Routes.channelMessages(channel), { query }));
      page.sort((a, b) => (BigInt(a.id) < BigInt(b.id) ? -1 : 1));
      yield* page;
      const last = page.at(-1);
      if (last === undefined || page.length < PAGE) return;
      after = last.id;
    }
  }

  /** Whether the message was taken; rejects on a failure worth another try. */
  async function say(channel: string, { body, files }: Payload): Promise<boolean> {
    const sent = api.post(Routes.channelMessages(channel), { body, files: [...files] });
    return (await unlessRefused(sent)) !== undefined;
  }

  async function directChannel(person: string): Promise<string | undefined> {
    const opened = await unlessRefused(api.post(Routes.userChannels(), { body: { recipient_id: person } }));
    return opened === undefined ? undefined : withId.parse(opened).id;
  }

  return {
    post,

    async find(channel, nonce, since) {
      try {
        for await (const one of messagesSince(channel, since))
          if (one.author.id === botId && isMarked(one, markOf(nonce))) return one.id;
        return undefined;
      } catch (error) {
        if (whyClosed(error) === undefined) throw error;
        return undefined;
      }
    },

    async names(community, channel) {
      const [server, name] = await Promise.all([
        places.server(community),
        channel === undefined ? undefined : places.channelName(community, channel),
      ]);
      return { community: server?.name, channel: name };
    },

    async tellManagers(community, reply) {
      const server = await places.server(community);
      if (!server) return false;
      const payload = replyPayload(reply);
      const owner = await directChannel(server.owner_id);
      if (owner !== undefined && (await say(owner, payload))) return true;
      return server.system_channel_id !== null && (await say(server.system_channel_id, payload));
    },
  };
}

/** Undefined where Discord did not say with whom a direct conversation is. */
function communityOfChannel({ guild_id, recipients = [] }: Channel): string | undefined {
  const [person] = recipients;
  return guild_id ?? (person && communityOf(null, person.id));
}

/** Better a post without its picture than none. */
function withoutPicture({ picture: _, ...reply }: Reply): Reply {
  const why = `Its picture is missing because the bot lacks ${ATTACH_FILES} here.`;
  return { ...reply, lines: [...reply.lines, why] };
}

/** Short enough for people to overlook, long enough to be the only one of its kind in a channel. */
const markOf = (nonce: string): string =>
  `#${createHash('sha256').update(nonce).digest('base64url').slice(0, 8)}`;

const isMarked = ({ embeds }: Message, mark: string): boolean =>
  embeds.some(({ footer }) => footer?.text === mark || footer?.text.endsWith(` ${mark}`));
