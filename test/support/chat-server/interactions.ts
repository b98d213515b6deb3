import type { Json, Message } from './world.js';

/** Discord allows 3 s for the first answer (Receiving and Responding › Interaction Callback). */
export const FIRST_ANSWER_MS = 3000;
/** Edits and further messages are taken this long (same page, Followup Messages). */
export const TOKEN_LIFE_MS = 15 * 60_000;

/** One interaction and what the bot has made of it so far. */
export interface Interaction {
  readonly id: string;
  readonly token: string;
  readonly channelId: string;
  readonly createdAt: number;
  /** The kind: 2 a command, 3 a button, 4 suggestions, 5 a dialog handed in. */
  readonly type: number;
  /** The message whose button was pressed. */
  readonly source: Message | undefined;
  /** The event as it was sent. */
  event: Json;
  callback: Json | undefined;
  answeredAfterMs: number | undefined;
  deferred: boolean;
  deferredEphemeral: boolean;
  original: Message | undefined;
  originalDeleted: boolean;
  /** The message whose button was pressed was changed by the answer. */
  updated: boolean;
  readonly followUps: Message[];
  /** JSON error codes of first answers that were not taken. */
  readonly refusedWith: number[];
  /** Called whenever something changed. */
  changed(): void;
}

export function newInteraction(
  id: string,
  channelId: string,
  type: number,
  source: Message | undefined,
  createdAt: number,
): Interaction {
  return {
    id,
    type,
    source,
    event: {},
    updated: false,
    refusedWith: [],
    token: `token-${id}`,
    channelId,
    createdAt,
    callback: undefined,
    answeredAfterMs: undefined,
    deferred: false,
    deferredEphemeral: false,
    original: undefined,
    originalDeleted: false,
    followUps: [],
    changed: () => {},
  };
}
