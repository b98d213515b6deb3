import { setTimeout } from 'node:timers/promises';
import { type DiscordAPIError, RateLimitError } from 'discord.js';
import { isNo } from './faults.js';

/** What came of one request to Discord. */
export type Sent =
  | { readonly kind: 'taken' }
  /** Discord said no: a status from 400 to 499. */
  | { readonly kind: 'refused'; readonly error: DiscordAPIError }
  /** Nothing was done, and nothing will be before so much time has passed. */
  | { readonly kind: 'limited'; readonly waitMs: number; readonly error: unknown }
  /** No answer came, or one of Discord's own failures (500 to 599): it may have been done or not. */
  | { readonly kind: 'unsure'; readonly error: unknown };

/** Makes a request once, and gives up on its answer after `patienceMs`. */
export async function attempt(
  request: (signal: AbortSignal) => Promise<unknown>,
  patienceMs: number,
): Promise<Sent> {
  try {
    await request(AbortSignal.timeout(patienceMs));
    return { kind: 'taken' };
  } catch (error) {
    if (isNo(error)) return { kind: 'refused', error };
    if (error instanceof RateLimitError) return { kind: 'limited', waitMs: error.retryAfter, error };
    return { kind: 'unsure', error };
  }
}

/** Makes a request until Discord has said yes or no, once more after each pause. */
export async function insist(
  request: (signal: AbortSignal) => Promise<unknown>,
  patienceMs: number,
  pausesMs: readonly number[],
): Promise<Sent> {
  let sent = await attempt(request, patienceMs);
  for (const pauseMs of pausesMs) {
    if (sent.kind === 'taken' || sent.kind === 'refused') break;
    await pause(sent.kind === 'limited' ? sent.waitMs : pauseMs);
    sent = await attempt(request, patienceMs);
  }
  return sent;
}

/** Keeps nobody from ending meanwhile. */
export const pause = (ms: number): Promise<undefined> => setTimeout(ms, undefined, { ref: false });
