import type { Reply } from './reply.js';

/** What a command or the scheduler may ask of the place the bot talks in. */
export interface Platform {
  /** The channel with this id or name in the community, or undefined when there is none the bot can see. */
  channel(community: string, idOrName: string): Promise<Channel | undefined>;
  /** How the place writes a link to a message, or undefined where messages have no address. */
  messageLink(community: string, channel: string, message: string): string | undefined;
  /**
   * Whether the community opened a command of those who manage it to a member who does not, in settings of the place
   * itself.
   */
  isOpenedTo?(command: string, community: string, memberId: string): Promise<boolean>;
  /** A form that was handed in is gone with all that was typed into it, even when nothing of it was saved. */
  readonly losesForms?: boolean;
  /** When a post that is due goes out, in words, where that is not within two minutes. */
  readonly postsWait?: string;
}

export interface Channel {
  readonly id: string;
  readonly name: string;
  /** Permissions the bot lacks to post there, in the platform's own words; empty when it may. */
  readonly missing: readonly string[];
}

/** How a message that nobody asked for just now leaves the bot. */
export interface Outbox {
  /**
   * Posts to a channel. Two posts with the same nonce within a few minutes make one message.
   * Rejects on a failure that may have passed a moment later.
   */
  post(message: OutgoingMessage): Promise<Posted>;
  /** The message the bot posted with this nonce at or after `since`, if the channel still shows it. */
  find(channel: string, nonce: string, since: Date): Promise<string | undefined>;
  /** What a community and a channel of it are called, as far as the bot can see them. */
  names(community: string, channel?: string): Promise<PlaceNames>;
  /** Tells whoever looks after the community, once; false when nobody could be reached. */
  tellManagers(community: string, reply: Reply): Promise<boolean>;
}

export interface OutgoingMessage {
  readonly community: string;
  readonly channel: string;
  readonly nonce: string;
  readonly reply: Reply;
}

export interface PlaceNames {
  readonly community: string | undefined;
  readonly channel: string | undefined;
}

export type Posted =
  | { readonly kind: 'posted'; readonly message: string }
  /** The channel is gone or shut to the bot: nothing helps before somebody changes that. */
  | { readonly kind: 'closed'; readonly why: string }
  /** It was not taken, for a reason that is not known to pass or to stay. */
  | { readonly kind: 'refused'; readonly why: string }
  /** The place takes nothing more from the bot before so much time has passed. */
  | { readonly kind: 'later'; readonly why: string; readonly waitMs: number };
