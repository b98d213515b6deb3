import { setTimeout } from 'node:timers/promises';
import { type AutocompleteInteraction, Events, type Interaction } from 'discord.js';
import type { Logger } from 'pino';
import type { Form } from '../chat/command.js';
import { type Conversation, doingOf, type Request } from '../chat/dispatch.js';
import type { Outbox, Platform } from '../chat/platform.js';
import { answering, type Shown } from './answering.js';
import { type Connection, connectionOf } from './connection.js';
import { faultOf } from './faults.js';
import { dialogSign, messageSign } from './first-sign.js';
import { logIn, newClient, type Shards, whyClosedWith } from './log-in.js';
import { discordOutbox } from './outbox.js';
import { refusalPayload } from './payload.js';
import { communityOf, placesOf } from './places.js';
import { discordPlatform } from './platform.js';
import { type Answerable, focusedOption, originOf, requestOf, ticketOf, typedCommand } from './requests.js';
import { interactionRest, logLimits } from './rest.js';
import { suggestionsFor } from './suggestions.js';
import { registerCommands } from './sync-commands.js';
import { keepToken } from './token.js';
import type { View } from './views.js';
import { waitingForms } from './waiting-forms.js';

export { LoginRefused } from './log-in.js';

interface DiscordOptions {
  readonly token: string;
  readonly conversation: Conversation;
  readonly log: Logger;
  readonly clock: () => Date;
  /** Another API than Discord's own, for tests. */
  readonly api?: string;
  /** As many as Discord says, unless said otherwise. */
  readonly shards?: Shards;
  /** Called when the bot cannot go on. */
  readonly fatal: (reason: string) => void;
}

export interface DiscordAdapter {
  /** The id of the bot that logged in. */
  readonly application: string;
  readonly platform: Platform;
  readonly outbox: Outbox;
  readonly connection: Connection;
  /** Takes nothing new, and finishes what is under way. */
  finish(): Promise<void>;
  /** The same, and says goodbye. */
  stop(): Promise<void>;
}

const STOP_WAIT_MS = 10_000;

/**
 * Logs in and answers; tells Discord of the commands in the background.
 * @throws LoginRefused when Discord does not let the bot in or cannot be reached.
 */
export async function startDiscord(options: DiscordOptions): Promise<DiscordAdapter> {
  const { conversation, log, clock, fatal } = options;
  const client = newClient(options.api, options.shards);
  client.on(Events.Error, (error) => log.error(faultOf(error), 'the client reported an error'));
  client.on(Events.ShardError, (error) => log.warn(faultOf(error), 'the connection had an error'));
  client.on(Events.ShardReconnecting, () => log.info('the connection was lost, connecting again'));
  client.on(Events.ShardResume, () => log.info('the connection was resumed'));
  logLimits(client.rest, log);
  const ready = await logIn(client, options.token);
  client.on(Events.ShardDisconnect, ({ code }) =>
    fatal(`Discord closed the connection for good (${code}). ${whyClosedWith(code)}`),
  );

  const api = keepToken({
    rest: client.rest,
    token: options.token,
    api: options.api,
    lost: () =>
      fatal('Discord does not accept DISCORD_TOKEN any more; copy it again from the developer portal'),
  });
  const webhooks = interactionRest(options.api);
  logLimits(webhooks, log);
  const { answer: answerWith, show, suggest: offer } = answering(webhooks);
  const platform = discordPlatform(ready, api);
  const forms = waitingForms(clock);
  const underWay = new Set<Promise<void>>();
  const stopped = new AbortController();

  const ageOf = ({ createdTimestamp }: Interaction): number => clock().getTime() - createdTimestamp;

  async function answer(interaction: Answerable): Promise<void> {
    const request = requestOf(interaction);
    const { guildId, user } = interaction;
    const asker = { community: communityOf(guildId, user.id), memberId: user.id };
    const doing = doingOf(request);
    const ticket = ticketOf(interaction);
    const foreseen = conversation.foresee(request);
    if (stopped.signal.aborted && foreseen.work !== 'urgent')
      return note(await show(ticket, messageSign(restarting(request))), interaction, doing);
    const waiting = interaction.isButton() ? forms.of(asker, interaction.customId) : undefined;
    if (waiting) return note(await show(ticket, dialogSign(waiting)), interaction, doing);
    if (interaction.isModalSubmit()) forms.forget(asker, interaction.customId);
    const asked = {
      ticket,
      takesDialog: !interaction.isModalSubmit(),
      ...foreseen,
      ageMs: ageOf(interaction),
      reference: interaction.id.slice(-8),
      keepForm: (form: Form) => forms.keep(asker, form),
    };
    const shown = await answerWith(asked, () =>
      conversation.answer(request, originOf(interaction, clock(), platform)),
    );
    note(shown, interaction, doing);
  }

  const restarting = (request: Request): View => ({
    payload: refusalPayload(
      conversation.refuse(request, 'Restarting', 'The bot is restarting. Ask again in a minute.'),
    ),
    audience: 'only you',
  });

  function note(shown: Shown, interaction: Interaction, doing: string): void {
    if (shown.kind === 'shown') return;
    const what = { ...faultOf(shown.error), doing, ageMs: ageOf(interaction) };
    if (shown.kind !== 'not shown') return log.warn(what, 'the answer came too late or twice');
    const reference = interaction.id.slice(-8);
    log.error({ ...what, reference, isSaid: shown.isSaid }, 'the answer could not be shown');
  }

  async function suggest(interaction: AutocompleteInteraction): Promise<void> {
    const typed = typedCommand(interaction);
    const focused = stopped.signal.aborted ? undefined : focusedOption(interaction);
    try {
      const origin = originOf(interaction, clock(), platform);
      const choices = focused ? await suggestionsFor(conversation, typed, focused, origin) : [];
      await offer(ticketOf(interaction), choices);
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

  async function finish(): Promise<void> {
    stopped.abort();
    await allSettledWithin(underWay, STOP_WAIT_MS);
  }

  const { id: application } = ready.application;
  log.info({ servers: ready.guilds.cache.size }, 'talking on Discord');
  void registerCommands(
    { api, applicationId: application, log, stopped: stopped.signal },
    conversation.commands,
  );

  return {
    application,
    platform,
    outbox: discordOutbox({
      api,
      botId: ready.user.id,
      places: placesOf(api, ready.user.id),
      knownServer(channel) {
        const known = client.channels.cache.get(channel);
        return known && !known.isDMBased() ? known.guildId : undefined;
      },
    }),
    connection: connectionOf(client),
    finish,
    async stop() {
      await finish();
      client.removeAllListeners(Events.ShardDisconnect);
      await client.destroy();
    },
  };
}

/** Waits until nothing is under way any more, what comes meanwhile included, or the time is up. */
async function allSettledWithin(underWay: ReadonlySet<Promise<void>>, ms: number): Promise<void> {
  const end = performance.now() + ms;
  while (underWay.size > 0 && performance.now() < end) {
    const settled = new AbortController();
    const timeIsUp = setTimeout(end - performance.now(), undefined, settled).catch(() => {});
    await Promise.race([Promise.all(underWay), timeIsUp]);
    settled.abort();
  }
}
