import { MessageFlags } from 'discord.js';
import type { Answer, Form } from '../chat/command.js';
import type { Audience } from '../chat/reply.js';
import { formButtonPayload, formModal, type Payload, refusalPayload, replyPayload } from './payload.js';
import type { Answerable } from './requests.js';

/** Half of the 3 s that Discord allows for a first answer: the other half is for the way there and back. */
const WAIT_BEFORE_DEFERRING_MS = 1500;

/**
 * Shows an outcome as the answer to an interaction. If it takes longer than a moment, a waiting notice is shown first,
 * to `waitingAudience`. Where the outcome is for other eyes than the notice, the notice gives way to a message of its
 * own: Discord fixes who sees an answer with the first sign of it. A form that comes late, or where a form was handed
 * in, is offered as a button, because a dialog can only be the first answer to something other than a dialog;
 * `keepForm` is told, so that the button can open it at once.
 */
export async function answerWith(
  interaction: Answerable,
  outcome: Promise<Answer>,
  waitingAudience: Audience,
  keepForm: (form: Form) => void,
): Promise<void> {
  const quick = await Promise.race([outcome, pause(WAIT_BEFORE_DEFERRING_MS)]);
  if (quick?.kind === 'form' && !interaction.isModalSubmit()) {
    await interaction.showModal(formModal(quick));
    return;
  }
  if (quick !== undefined) {
    await interaction.reply({ ...payloadOf(quick, keepForm), ...flagsFor(audienceOf(quick)) });
    return;
  }
  await interaction.deferReply(flagsFor(waitingAudience));
  const late = await outcome;
  const payload = payloadOf(late, keepForm);
  const audience = audienceOf(late);
  if (audience === waitingAudience) {
    await interaction.editReply(payload);
    return;
  }
  await interaction.deleteReply();
  await interaction.followUp({ ...payload, ...flagsFor(audience) });
}

function payloadOf(outcome: Answer, keepForm: (form: Form) => void): Payload {
  switch (outcome.kind) {
    case 'reply':
      return replyPayload(outcome);
    case 'refusal':
    case 'fault':
      return refusalPayload(outcome);
    case 'form':
      keepForm(outcome);
      return formButtonPayload(outcome);
  }
}

const audienceOf = (outcome: Answer): Audience => (outcome.kind === 'reply' ? outcome.audience : 'only you');

const flagsFor = (audience: Audience) =>
  audience === 'only you' ? ({ flags: MessageFlags.Ephemeral } as const) : {};

function pause(ms: number): Promise<undefined> {
  return new Promise((resolve) => {
    setTimeout(() => resolve(undefined), ms).unref();
  });
}
