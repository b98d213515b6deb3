import { type AutocompleteInteraction, Events, type Interaction, MessageFlags, RESTEvents } from 'discord.js';
import type { Logger } from 'pino';
import type { Conversation } from '../chat/dispatch.js';
import type { Outbox, Platform } from '../chat/platform.js';
import { answerWith } from './acknowledge.js';
import { communityOf } from './community.js';
import { faultOf, isTooLate } from './faults.js';
import { logIn, newClient } from './log-in.js';
import { discordOutbox } from './outbox.js';
import { formModal, refusalPayload } from './payload.js';
import { discordPlatform } from './platform.js';
import { type Answerable, originOf, requestOf, typedCommand } from './requests.js';
import { suggestionsFor } from './suggestions.js';
import { syncCommands } from './sync-commands.js';
import { waitingForms } from './waiting-forms.js';

export { LoginRefused } from './log-in.js';

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
  /** The id of the bot that logged in. */
  readonly application: string;
  readonly platform: Platform;
  readonly outbox: Outbox;
  /** Takes nothing new, finishes what is under way, says goodbye. */
  stop(): Promise<void>;
}

const STOP_WAIT_MS = 10_000;

/**
 * Logs in, registers the commands where they changed, and answers.
 * @throws LoginRefused when Discord does not let the bot in or cannot be reached.
 */
export async function startDiscord(options: DiscordOptions): Promise<DiscordFace> {
  const { conversation, log, clock } = options;
  const client = newClient(options.api);
  client.on(Events.Error, (error) => log.error(faultOf(error), 'the client reported an error'));
  client.on(Events.ShardError, (error) => log.warn(faultOf(error), 'the connection had an error'));
  client.on(Events.ShardReconnecting, () => log.info('the connection was lost, connecting again'));
  client.on(Events.ShardResume, () => log.info('the connection was resumed'));
  client.rest.on(RESTEvents.RateLimited, ({ method, route, retryAfter }) =>
    log.warn({ method, route, retryAfter }, 'Discord asks to slow down'),
  );
  const ready = await logIn(client, options.token);
  client.on(Events.ShardDisconnect, ({ code }) => options.fatal(`Discord closed the connection (${code})`));

  const platform = discordPlatform(ready);
  const forms = waitingForms(clock);
  const underWay = new Set<Promise<void>>();
  let stopping = false;

  async function answer(interaction: Answerable): Promise<void> {
    const request = requestOf(interaction);
    const { guildId, user } = interaction;
    const asker = { community: communityOf(guildId, user.id), memberId: user.id };
    try {
      if (stopping) {
        const restarting = conversation.refuse(
          request,
          'Restarting',
          'The bot is restarting. Ask again in a minute.',
        );
        await interaction.reply({ ...refusalPayload(restarting), flags: MessageFlags.Ephemeral });
        return;
      }
      if (interaction.isButton()) {
        const waiting = forms.of(asker, interaction.customId);
        if (waiting) return void (await interaction.showModal(formModal(waiting)));
      }
      if (interaction.isModalSubmit()) forms.forget(asker, interaction.customId);
      const outcome = conversation.answer(request, originOf(interaction, clock(), platform));
      await answerWith(interaction, outcome, conversation.audienceOf(request), (form) =>
        forms.keep(asker, form),
      );
    } catch (error) {
      const doing = request.kind === 'command' ? `/${request.path.join(' ')}` : request.id;
      const ageMs = clock().getTime() - interaction.createdTimestamp;
      if (isTooLate(error))
        log.warn({ ...faultOf(error), doing, ageMs }, 'the answer came too late or twice');
      else {
        log.error({ ...faultOf(error), doing, ageMs }, 'the answer could not be sent');
        await apologise(interaction);
      }
    }
  }

  async function suggest(interaction: AutocompleteInteraction): Promise<void> {
    const typed = typedCommand(interaction);
    const { name, value } = interaction.options.getFocused(true);
    try {
      const origin = originOf(interaction, clock(), platform);
      const focused = { name, value: String(value) };
      await interaction.respond(stopping ? [] : await suggestionsFor(conversation, typed, focused, origin));
    } catch (error) {
      log.warn({ ...faultOf(error), doing: typed.path.join(' ') }, 'suggestions could not be sent');
    }
  }

  function hear(interaction: Interaction): Promise<void> | undefined {
    if (interaction.isAutocomplete()) return suggest(interaction);
    const isForUs = interaction.isChatInputCommand() || interaction.isButton() || interaction.isModalSubmit();
    return isForUs ? answer(interaction) : undefined;
  }

  client.on(Events.InteractionCreate, (interaction) => {
    const work = hear(interaction);
    if (!work) return;
    const tracked = work
      .catch((error: unknown) => log.error(faultOf(error), 'an interaction failed'))
      .finally(() => underWay.delete(tracked));
    underWay.add(tracked);
  });

  try {
    const told = await syncCommands(ready.rest, ready.application.id, conversation.commands);
    log.info({ servers: ready.guilds.cache.size, registered: told }, 'talking on Discord');
  } catch (error) {
    await client.destroy();
    throw new Error(`Discord did not take the commands: ${faultOf(error).error.message}`);
  }

  return {
    application: ready.application.id,
    platform,
    outbox: discordOutbox(ready),
    async stop() {
      stopping = true;
      await allSettledWithin(underWay, STOP_WAIT_MS);
      client.removeAllListeners(Events.ShardDisconnect);
      await client.destroy();
    },
  };
}

/** Waits until nothing is under way any more, what comes meanwhile included, or the time is up. */
async function allSettledWithin(underWay: ReadonlySet<Promise<void>>, ms: number): Promise<void> {
  let isOver = false;
  let timer: NodeJS.Timeout | undefined;
  const timeIsUp = new Promise<void>((resolve) => {
    timer = setTimeout(() => {
      isOver = true;
      resolve();
    }, ms);
  });
  while (underWay.size > 0 && !isOver) await Promise.race([Promise.all(underWay), timeIsUp]);
  clearTimeout(timer);
}

/** Says at least something where the answer itself was not taken. */
async function apologise(interaction: Answerable): Promise<void> {
  const sorry = {
    ...refusalPayload({
      title: 'Something went wrong on our side',
      text: `The answer could not be shown. If it happens again, tell whoever runs this bot the reference ${interaction.id.slice(-8)}.`,
    }),
    flags: MessageFlags.Ephemeral,
  } as const;
  try {
    if (interaction.deferred || interaction.replied) await interaction.followUp(sorry);
    else await interaction.reply(sorry);
  } catch {
    // Nothing can be shown; the log has the first failure.
  }
}
