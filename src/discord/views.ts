import { MessageFlags } from 'discord.js';
import type { Answer, Form, Outcome } from '../chat/command.js';
import type { Audience } from '../chat/reply.js';
import { formButtonPayload, type Payload, refusalPayload, replyPayload } from './payload.js';

/** A message, and who sees it. */
export interface View {
  readonly payload: Payload;
  readonly audience: Audience;
}

/** An outcome as a message; `keepForm` is told of a form, so that its button can open it at once. */
export function viewOf(outcome: Answer, keepForm: (form: Form) => void): View {
  switch (outcome.kind) {
    case 'reply':
      return { payload: replyPayload(outcome), audience: outcome.audience };
    case 'refusal':
    case 'fault':
      return { payload: refusalPayload(outcome), audience: 'only you' };
    case 'form':
      keepForm(outcome);
      return { payload: formButtonPayload(outcome), audience: 'only you' };
  }
}

/** What stands where a waiting notice stood that could not be taken away. */
export const NOTICE_LEFT: Payload = refusalPayload({
  title: 'Answered',
  text: 'The answer is not for everybody here; whoever asked sees it.',
});

/** Where the answer itself could not be shown; says at least what was saved, where something could be. */
export function apologyFor(
  outcome: Answer,
  asked: { readonly reference: string; readonly stores: boolean },
): View {
  const words =
    outcome.kind === 'fault'
      ? outcome
      : {
          title: 'The answer could not be shown',
          text: `${whatBecameOf(outcome, asked.stores)} If it happens again, tell whoever runs this bot the reference ${asked.reference}.`,
        };
  return { payload: refusalPayload(words), audience: 'only you' };
}

function whatBecameOf(outcome: Outcome, stores: boolean): string {
  // A refusal says by itself what was saved.
  if (outcome.kind === 'refusal') return outcome.text;
  const saved = outcome.kind === 'reply' ? outcome.saved : undefined;
  if (saved !== undefined) return `${saved}. There is no need to send it again.`;
  return stores ? 'Nothing was saved. Please try again.' : 'Please ask again.';
}

/** The body of a message that is sent for the first time, when it is still to be said who sees it. */
export const bodyFor = ({ payload, audience }: View) => ({
  ...payload.body,
  ...flagsFor(audience),
});

export const flagsFor = (audience: Audience): { readonly flags?: MessageFlags.Ephemeral } =>
  audience === 'only you' ? { flags: MessageFlags.Ephemeral } : {};
