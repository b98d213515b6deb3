import { DiscordAPIError, HTTPError, RESTJSONErrorCodes } from 'discord.js';
import { z } from 'zod';

/** The status of a request whose token is turned away. */
export const UNAUTHORISED = 401;

/** An error as it may be written to a log. */
interface Fault {
  readonly error: Error;
  readonly code?: number | string;
  readonly status?: number;
}

/**
 * What may be logged of an error: not the address, which holds an interaction's token, and not the body, which holds
 * what people wrote. The client's own errors carry both.
 */
export function faultOf(thrown: unknown): Fault {
  if (!(thrown instanceof Error)) return { error: new Error(String(thrown)) };
  const error = new Error(thrown.message);
  error.name = thrown.name;
  if (thrown.stack !== undefined) error.stack = thrown.stack;
  if (thrown instanceof DiscordAPIError) return { error, code: thrown.code, status: thrown.status };
  return thrown instanceof HTTPError ? { error, status: thrown.status } : { error };
}

/** Whether Discord no longer takes an answer: 3 s are over, or the 15 minutes that the token of an interaction lasts. */
export const isTooLate = hasCode(
  RESTJSONErrorCodes.UnknownInteraction,
  RESTJSONErrorCodes.InvalidWebhookToken,
);

/** Whether an interaction has been answered, if only by a waiting notice. */
export const isAnswered = hasCode(RESTJSONErrorCodes.InteractionHasAlreadyBeenAcknowledged);

/** Whether an answer that was to be changed is not there: never given, or taken away. */
export const isGone = hasCode(RESTJSONErrorCodes.UnknownMessage, RESTJSONErrorCodes.UnknownWebhook);

function hasCode(...codes: readonly number[]): (thrown: unknown) => boolean {
  return (thrown) => thrown instanceof DiscordAPIError && codes.includes(Number(thrown.code));
}

/**
 * Whether Discord itself said no to a request, with a status from 400 to 499 and a code of its own. What stands in front of
 * it, a gateway of the network for one, has no codes.
 */
export const isNo = (thrown: unknown): thrown is DiscordAPIError =>
  thrown instanceof DiscordAPIError && thrown.code !== undefined;

/** The same of a request with the bot's token, where a token that is turned away says nothing about the request. */
const isRefused = (thrown: unknown): thrown is DiscordAPIError =>
  isNo(thrown) && thrown.status !== UNAUTHORISED;

/** What came of a request with the bot's token; undefined where Discord refused it. */
export async function unlessRefused<T>(request: Promise<T>): Promise<T | undefined> {
  try {
    return await request;
  } catch (error) {
    if (isRefused(error)) return undefined;
    throw error;
  }
}

export const lacksAccess = hasCode(
  RESTJSONErrorCodes.MissingAccess,
  RESTJSONErrorCodes.UnknownChannel,
  RESTJSONErrorCodes.UnknownGuild,
);
export const lacksPermission = hasCode(RESTJSONErrorCodes.MissingPermissions);

/** JSON error codes after which posting again is of no use (Opcodes and Status Codes › JSON), and what they mean. */
const CLOSED: ReadonlyMap<number | string, string> = new Map<number | string, string>([
  [RESTJSONErrorCodes.UnknownChannel, 'the channel is gone'],
  [RESTJSONErrorCodes.UnknownGuild, 'the bot is no longer on that server'],
  [RESTJSONErrorCodes.MissingAccess, 'the bot lacks View Channel there'],
  [RESTJSONErrorCodes.MissingPermissions, 'the bot may not post there'],
  [RESTJSONErrorCodes.CannotSendMessagesToThisUser, 'they take no direct messages from the bot'],
  [RESTJSONErrorCodes.CannotSendMessagesInNonTextChannel, 'it is not a channel for messages'],
  [RESTJSONErrorCodes.MessageWasBlockedByAutomaticModeration, 'the server’s filter refused the message'],
]);

/** Codes that may pass, or that the bot itself may be to blame for. */
const REFUSED: ReadonlyMap<number | string, string> = new Map<number | string, string>([
  [RESTJSONErrorCodes.InvalidActionOnArchivedThread, 'the thread is archived'],
  [RESTJSONErrorCodes.ThreadLocked, 'the thread is locked'],
  [
    RESTJSONErrorCodes.InvalidFormBodyOrContentType,
    'Discord finds fault with the message, which is for whoever runs the bot to mend',
  ],
]);

/** Why a channel no longer takes messages from the bot, or undefined when another try may succeed. */
export function whyClosed(thrown: unknown): string | undefined {
  return thrown instanceof DiscordAPIError ? CLOSED.get(thrown.code) : undefined;
}

const withWait = z.object({ retry_after: z.number().nonnegative() });

/** What Discord's no to a post means; undefined where it was not Discord that said no. */
export function whyRefused(
  thrown: unknown,
):
  | { readonly kind: 'closed' | 'refused'; readonly why: string }
  | { readonly kind: 'later'; readonly why: string; readonly waitMs?: number }
  | undefined {
  if (!isRefused(thrown)) return undefined;
  const closed = CLOSED.get(thrown.code);
  if (closed !== undefined) return { kind: 'closed', why: closed };
  if (thrown.code === RESTJSONErrorCodes.ActionCannotBePerformedDueToSlowmodeRateLimit) {
    const told = withWait.safeParse(thrown.rawError);
    const why = 'the channel is in slow mode';
    return { kind: 'later', why, ...(told.success ? { waitMs: 1000 * told.data.retry_after } : {}) };
  }
  const known = REFUSED.get(thrown.code) ?? `Discord does not take the post: ${firstLine(thrown.message)}`;
  return { kind: 'refused', why: `${known} (code ${thrown.code})` };
}

const firstLine = (text: string): string => text.split('\n', 1)[0] ?? '';
