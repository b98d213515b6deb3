import type { Json, Message } from './world.js';

/** Discord allows 3 s for the first answer (Receiving and Responding › Interaction Callback). */
export const FIRST_ANSWER_MS = 3000;

/** One interaction and what the bot has made of it so far. */
export interface Interaction {
  readonly id: string;
  readonly token: string;
  readonly channelId: string;
  readonly createdAt: number;
  callback: Json | undefined;
  answeredAfterMs: number | undefined;
  deferred: boolean;
  deferredEphemeral: boolean;
  original: Message | undefined;
  originalDeleted: boolean;
  readonly followUps: Message[];
  /** Called whenever something changed. */
  changed(): void;
}

export function newInteraction(id: string, channelId: string): Interaction {
  return {
    id,
    token: `token-${id}`,
    channelId,
    createdAt: Date.now(),
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
