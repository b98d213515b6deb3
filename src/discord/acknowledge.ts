import { DiscordAPIError, MessageFlags } from 'discord.js';
import type { Outcome } from '../chat/command.js';
import type { Audience } from '../chat/reply.js';
import { formButtonPayload, formModal, type Payload, refusalPayload, replyPayload } from './payload.js';
import type { Answerable } from './requests.js';

/** Half of what Discord allows for a first answer: the other half is for the way there. */
const WAIT_BEFORE_DEFERRING_MS = 1500;

/** Codes of answers that came too late or twice (Opcodes and Status Codes › JSON Error Codes). */
const UNKNOWN_INTERACTION = 10_062;
const ALREADY_ACKNOWLEDGED = 40_060;

/**
 * Shows an outcome as the answer to an interaction. If it takes longer than a moment, a waiting notice is shown first,
 * to `waitingAudience`; where the outcome is for somebody else's eyes, the notice gives way to a message of its own.
 */
export async function answerWith(
  interaction: Answerable,
  outcome: Promise<Outcome>,
  waitingAudience: Audience,
): Promise<void> {
  const first = await Promise.race([outcome, pause(WAIT_BEFORE_DEFERRING_MS)]);
  if (first !== undefined) return answerAtOnce(interaction, first);
  await interaction.deferReply(waitingAudience === 'only you' ? { flags: MessageFlags.Ephemeral } : {});
  const late = await outcome;
  const payload = payloadOf(late);
  if (audienceOf(late) === waitingAudience) {
    await interaction.editReply(sendable(payload));
    return;
  }
  await interaction.deleteReply();
  await interaction.followUp({ ...sendable(payload), ...flagsFor(late) });
}

async function answerAtOnce(interaction: Answerable, outcome: Outcome): Promise<void> {
  if (outcome.kind === 'form' && !interaction.isModalSubmit()) {
    await interaction.showModal(formModal(outcome));
    return;
  }
  await interaction.reply({ ...sendable(payloadOf(outcome)), ...flagsFor(outcome) });
}

function payloadOf(outcome: Outcome): Payload {
  if (outcome.kind === 'reply') return replyPayload(outcome);
  return outcome.kind === 'form' ? formButtonPayload(outcome) : refusalPayload(outcome);
}

const audienceOf = (outcome: Outcome): Audience => (outcome.kind === 'reply' ? outcome.audience : 'only you');

const flagsFor = (outcome: Outcome) =>
  audienceOf(outcome) === 'only you' ? ({ flags: MessageFlags.Ephemeral } as const) : {};

/** The same payload with lists that the client may change. */
export function sendable({ content, embeds, components, files }: Payload) {
  return {
    ...(content === '' ? {} : { content }),
    embeds: [...embeds],
    components: components.map((row) => ({ ...row, components: [...row.components] })),
    files: [...files],
    allowedMentions: { parse: [] },
  };
}

/** Whether Discord no longer takes an answer: nothing can be done about it but to note how late it was. */
export function isTooLate(error: unknown): boolean {
  return (
    error instanceof DiscordAPIError &&
    (error.code === UNKNOWN_INTERACTION || error.code === ALREADY_ACKNOWLEDGED)
  );
}

function pause(ms: number): Promise<undefined> {
  return new Promise((resolve) => {
    setTimeout(() => resolve(undefined), ms).unref();
  });
}
