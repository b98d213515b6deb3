import {
  ActivityType,
  type AutocompleteInteraction,
  Client,
  DiscordAPIError,
  Events,
  GatewayIntentBits,
  type Interaction,
  MessageFlags,
} from 'discord.js';
import type { Logger } from 'pino';
import { deedsOf } from '../chat/command.js';
import type { Conversation } from '../chat/dispatch.js';
import type { Choice } from '../chat/option.js';
import type { Outbox, Platform } from '../chat/platform.js';
import { refusal } from '../chat/reply.js';
import { answerWith, isTooLate, sendable } from './acknowledge.js';
import { cutText, LIMITS } from './limits.js';
import { discordOutbox } from './outbox.js';
import { refusalPayload } from './payload.js';
import { discordPlatform } from './platform.js';
import { type Answerable, callOf, requestOf, typedCommand } from './requests.js';
import { syncCommands } from './sync-commands.js';

export interface DiscordOptions {
  readonly token: string;
  readonly conversation: Conversation;
  readonly log: Logger;
  readonly clock: () => Date;
  /** Another API than Discord's own, for tests. */
  readonly api?: string;
  /** Called when the connection ended for good. */
  readonly fatal: (reason: string) => void;
}

export interface DiscordFace {
  readonly platform: Platform;
  readonly outbox: Outbox;
  /** Takes nothing new, finishes what is under way, says goodbye. */
  stop(): Promise<void>;
}

/** Discord did not let the bot in; one line that says what to change. */
export class LoginRefused extends Error {
  override readonly name = 'LoginRefused';
}

const STOP_WAIT_MS = 10_000;
const SUGGEST_WAIT_MS = 2000;

/**
 * Logs in, registers the commands where they changed, and answers.
 * @throws LoginRefused when Discord does not take the token.
 */
export async function startDiscord(options: DiscordOptions): Promise<DiscordFace> {
  const { conversation, log, clock } = options;
  const client = new Client({
    // No privileged intent: interactions come without any.
    intents: [GatewayIntentBits.Guilds],
    allowedMentions: { parse: [] },
    presence: { activities: [{ name: '/help', type: ActivityType.Listening }] },
    ...(options.api === undefined ? {} : { rest: { api: options.api } }),
  });
  client.on(Events.Error, (error) => log.error({ error }, 'the client reported an error'));
  client.on(Events.ShardResume, () => log.info('the connection was resumed'));
  const ready = await logIn(client, options.token);
  client.on(Events.ShardDisconnect, ({ code }) => options.fatal(`Discord closed the connection (${code})`));

  const platform = discordPlatform(ready);
  const underWay = new Set<Promise<void>>();
  let stopping = false;

  async function answer(interaction: Answerable): Promise<void> {
    const request = requestOf(interaction);
    const doing = request.kind === 'command' ? `/${request.path.join(' ')}` : request.id;
    try {
      const outcome = stopping
        ? Promise.resolve(refusal('Just restarting', 'Please ask again in a minute.'))
        : conversation.answer(request, callOf(interaction, clock(), platform));
      await answerWith(interaction, outcome, conversation.audienceOf(request));
    } catch (error) {
      const ageMs = Date.now() - interaction.createdTimestamp;
      if (isTooLate(error)) log.warn({ doing, ageMs }, 'the answer came too late or twice');
      else {
        log.error({ error, doing, ageMs }, 'the answer could not be sent');
        await apologise(interaction);
      }
    }
  }

  async function suggest(interaction: AutocompleteInteraction): Promise<void> {
    const { path, given } = typedCommand(interaction);
    const { name, value } = interaction.options.getFocused(true);
    const call = callOf(interaction, clock(), platform);
    const choices = await Promise.race([
      conversation.suggest(path, name, String(value), given, call),
      new Promise<readonly Choice[]>((resolve) => {
        setTimeout(() => resolve([]), SUGGEST_WAIT_MS).unref();
      }),
    ]);
    const isWhole = isWholeNumberOption(conversation, path, name);
    try {
      await interaction.respond(
        choices.slice(0, LIMITS.choices).map((choice) => ({
          name: cutText(choice.label, LIMITS.choiceName) || '…',
          value: isWhole ? Number(choice.value) : choice.value.slice(0, LIMITS.choiceValue),
        })),
      );
    } catch (error) {
      log.warn({ error, path }, 'suggestions could not be sent');
    }
  }

  client.on(Events.InteractionCreate, (interaction: Interaction) => {
    const work = interaction.isAutocomplete()
      ? suggest(interaction)
      : interaction.isChatInputCommand() || interaction.isButton() || interaction.isModalSubmit()
        ? answer(interaction)
        : undefined;
    if (!work) return;
    const tracked = work
      .catch((error: unknown) => log.error({ error }, 'an interaction failed'))
      .finally(() => underWay.delete(tracked));
    underWay.add(tracked);
  });

  const told = await syncCommands(ready.rest, ready.application.id, conversation.commands);
  log.info({ servers: ready.guilds.cache.size, registered: told }, 'talking on Discord');

  return {
    platform,
    outbox: discordOutbox(ready),
    async stop() {
      stopping = true;
      const bounded = new Promise<void>((resolve) => {
        setTimeout(resolve, STOP_WAIT_MS).unref();
      });
      await Promise.race([Promise.all(underWay), bounded]);
      client.removeAllListeners(Events.ShardDisconnect);
      await client.destroy();
    },
  };
}

async function logIn(client: Client, token: string): Promise<Client<true>> {
  const ready = new Promise<Client<true>>((resolve) => {
    client.once(Events.ClientReady, resolve);
  });
  try {
    await client.login(token);
  } catch (error) {
    await client.destroy();
    throw new LoginRefused(whyRefused(error));
  }
  return ready;
}

function whyRefused(error: unknown): string {
  const code = error instanceof Error && 'code' in error ? String(error.code) : '';
  const unauthorised = error instanceof DiscordAPIError && error.status === 401;
  if (
    unauthorised ||
    code === 'TokenInvalid' ||
    /4004|Authentication failed|invalid token/i.test(String(error))
  ) {
    return 'DISCORD_TOKEN was not accepted by Discord; copy it again from the developer portal.';
  }
  if (code === 'DisallowedIntents' || /4014|disallowed intents/i.test(String(error))) {
    return 'DISCORD_TOKEN belongs to an application that may not use the Guilds intent; look at it in the developer portal.';
  }
  return 'Discord could not be reached with DISCORD_TOKEN; check the network and try again.';
}

function isWholeNumberOption(conversation: Conversation, path: readonly string[], option: string): boolean {
  const wanted = path.join(' ');
  const found = conversation.commands.flatMap(deedsOf).find((one) => one.path.join(' ') === wanted);
  return found?.deed.options[option]?.entry.kind === 'whole number';
}

/** Says at least something where the answer itself was not taken. */
async function apologise(interaction: Answerable): Promise<void> {
  const sorry = sendable(
    refusalPayload({
      kind: 'refusal',
      title: 'Something went wrong on our side',
      text: `The answer could not be shown. If it happens again, tell whoever runs this bot the reference ${interaction.id.slice(-8)}.`,
    }),
  );
  try {
    if (interaction.deferred || interaction.replied)
      await interaction.followUp({ ...sorry, flags: MessageFlags.Ephemeral });
    else await interaction.reply({ ...sorry, flags: MessageFlags.Ephemeral });
  } catch {
    // Nothing can be shown; the log has the first failure.
  }
}
