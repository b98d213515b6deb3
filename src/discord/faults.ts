import { DiscordAPIError, HTTPError, RESTJSONErrorCodes } from 'discord.js';

/** An error as it may be written to a log. */
export interface Fault {
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

const TOO_LATE: ReadonlySet<number | string> = new Set([
  RESTJSONErrorCodes.UnknownInteraction,
  RESTJSONErrorCodes.InteractionHasAlreadyBeenAcknowledged,
  // The token of an interaction lasts 15 minutes.
  RESTJSONErrorCodes.InvalidWebhookToken,
]);

/** Whether Discord no longer takes an answer: nothing can be done about it but to note how late it was. */
export function isTooLate(thrown: unknown): boolean {
  return thrown instanceof DiscordAPIError && TOO_LATE.has(thrown.code);
}

/** JSON error codes after which posting again is of no use (Opcodes and Status Codes › JSON), and what they mean. */
const CLOSED: ReadonlyMap<number | string, string> = new Map<number | string, string>([
  [RESTJSONErrorCodes.UnknownChannel, 'the channel is gone'],
  [RESTJSONErrorCodes.UnknownGuild, 'the bot is no longer on that server'],
  [RESTJSONErrorCodes.MissingAccess, 'the bot may not see the channel'],
  [RESTJSONErrorCodes.MissingPermissions, 'the bot may not post there'],
  [RESTJSONErrorCodes.CannotSendMessagesToThisUser, 'they take no direct messages from the bot'],
  [RESTJSONErrorCodes.CannotSendMessagesInNonTextChannel, 'it is not a channel for messages'],
  [RESTJSONErrorCodes.MessageWasBlockedByAutomaticModeration, 'the server’s filter refused the message'],
]);

/** Why a channel no longer takes messages from the bot, or undefined when another try may succeed. */
export function whyClosed(thrown: unknown): string | undefined {
  return thrown instanceof DiscordAPIError ? CLOSED.get(thrown.code) : undefined;
}
