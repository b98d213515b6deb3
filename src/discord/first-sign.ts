import { InteractionResponseType, type RawFile, type REST, Routes } from 'discord.js';
import type { Form } from '../chat/command.js';
import type { Audience } from '../chat/reply.js';
import { attempt, pause, type Sent } from './attempts.js';
import { isAnswered, isTooLate } from './faults.js';
import { formModal } from './payload.js';
import { bodyFor, flagsFor, type View } from './views.js';

/** Where one interaction is answered. Its token is all the right that is needed. */
export interface Ticket {
  readonly id: string;
  readonly token: string;
  readonly application: string;
}

/** What Discord is told first: the answer, a dialog, or that the answer will come. */
export interface FirstSign {
  readonly isNotice: boolean;
  readonly body: { readonly type: InteractionResponseType; readonly data?: unknown };
  readonly files: readonly RawFile[];
}

/** How far the first sign came. */
export type Begun =
  /** The answer itself was taken. */
  | { readonly kind: 'shown' }
  /** A waiting notice stands there, or perhaps the answer does. */
  | { readonly kind: 'waiting' }
  /** Every try ended without a word; `isNotice` when a waiting notice was among them. */
  | { readonly kind: 'unsure'; readonly isNotice: boolean; readonly error: unknown }
  | { readonly kind: 'refused'; readonly isNotice: boolean; readonly error: unknown }
  /** Discord takes no answer any more, or has one, from another process or from before. */
  | { readonly kind: 'too late' | 'answered before'; readonly error: unknown };

/** How long Discord takes a first answer (Receiving and Responding › Interaction Callback). */
const WINDOW_MS = 3000;
/** A notice is sent when half of that is over, so that a second one still comes in time. */
const NOTICE_PATIENCE_MS = 800;
const PATIENCE_MS = 1200;
const UPLOAD_PATIENCE_MS = 5000;
const PAUSES_MS = [100, 200, 400, 800] as const;

/** Tells Discord once; rejects when it is not taken. */
export const callBack = (
  rest: REST,
  { id, token }: Ticket,
  { body, files }: Pick<FirstSign, 'body' | 'files'>,
  signal: AbortSignal,
): Promise<unknown> =>
  rest.post(Routes.interactionCallback(id, token), { auth: false, body, files: [...files], signal });

/**
 * Tells Discord, with what `choose` gives for each try, until it has said yes or no or its time is over. That it has been
 * told before (40060) means our own earlier try, where there was one that ended without a word.
 */
export async function giveFirst(rest: REST, ticket: Ticket, choose: () => FirstSign): Promise<Begun> {
  const end = performance.now() + WINDOW_MS;
  const unheard: FirstSign[] = [];
  for (let at = 0; ; at++) {
    const sign = choose();
    const sent = await attempt((signal) => callBack(rest, ticket, sign, signal), patienceFor(sign));
    if (sent.kind === 'taken') return { kind: sign.isNotice ? 'waiting' : 'shown' };
    if (sent.kind === 'refused') return begunDespite(sent, sign, unheard);
    if (sent.kind === 'unsure') unheard.push(sign);
    const leftMs = end - performance.now();
    const isHopeless = sent.kind === 'limited' && sent.waitMs > leftMs + WINDOW_MS;
    if (leftMs <= 0 || isHopeless) return begunWithoutWord(sent, unheard);
    // The last try comes when the time is over: what Discord says then tells whether an earlier one was taken.
    await pause(sent.kind === 'limited' ? sent.waitMs : Math.min(PAUSES_MS[at] ?? leftMs, leftMs));
  }
}

function patienceFor({ isNotice, files }: FirstSign): number {
  if (isNotice) return NOTICE_PATIENCE_MS;
  return files.length > 0 ? UPLOAD_PATIENCE_MS : PATIENCE_MS;
}

function begunDespite(
  { error }: Extract<Sent, { kind: 'refused' }>,
  { isNotice }: FirstSign,
  unheard: readonly FirstSign[],
): Begun {
  if (isTooLate(error)) return { kind: 'too late', error };
  if (!isAnswered(error)) return { kind: 'refused', isNotice, error };
  if (unheard.length === 0) return { kind: 'answered before', error };
  return { kind: hasNotice(unheard) ? 'waiting' : 'shown' };
}

const begunWithoutWord = (
  { error }: Extract<Sent, { error: unknown }>,
  unheard: readonly FirstSign[],
): Begun =>
  unheard.length === 0
    ? { kind: 'too late', error }
    : { kind: 'unsure', isNotice: hasNotice(unheard), error };

const hasNotice = (signs: readonly FirstSign[]): boolean => signs.some(({ isNotice }) => isNotice);

export const messageSign = (view: View): FirstSign => ({
  isNotice: false,
  body: { type: InteractionResponseType.ChannelMessageWithSource, data: bodyFor(view) },
  files: view.payload.files,
});

export const dialogSign = (form: Form): FirstSign => ({
  isNotice: false,
  body: { type: InteractionResponseType.Modal, data: formModal(form) },
  files: [],
});

export const noticeSign = (audience: Audience): FirstSign => ({
  isNotice: true,
  body: { type: InteractionResponseType.DeferredChannelMessageWithSource, data: flagsFor(audience) },
  files: [],
});
