import type { Gateway } from './gateway.js';
import { FIRST_ANSWER_MS, type Interaction, newInteraction } from './interactions.js';
import { directChannel } from './rest.js';
import { isJson, listOf, seenOf, textOf } from './seen.js';
import {
  ALL_PERMISSIONS,
  BOT_PERMISSIONS,
  channelJson,
  type Guild,
  type Json,
  type Message,
  memberJson,
  messageJson,
  type StoredFile,
  type User,
  userJson,
  type World,
} from './world.js';

/** What a member sees of the bot's answer. */
export interface Answer {
  readonly interactionId: string;
  readonly embeds: readonly Json[];
  readonly content: string;
  readonly components: readonly Json[];
  readonly files: readonly StoredFile[];
  readonly ephemeral: boolean;
  readonly deferred: boolean;
  readonly answeredAfterMs: number;
  readonly modal: Json | undefined;
  /** Title, description, fields and footer, one under the other. */
  readonly text: string;
  /** Labels and ids of its buttons. */
  readonly buttons: readonly { readonly label: string; readonly id: string }[];
}

export interface Member {
  readonly user: User;
  command(
    name: string,
    options?: Readonly<Record<string, string | number | boolean>>,
    how?: How,
  ): Promise<Answer>;
  autocomplete(
    name: string,
    options: Readonly<Record<string, string>>,
    focused: string,
  ): Promise<readonly Json[]>;
  press(answer: Answer, labelOrId: string): Promise<Answer>;
  submit(answer: Answer, fields: Readonly<Record<string, string>>): Promise<Answer>;
  /** Delivers the very same interaction again; the code with which a second answer to it is refused. */
  repeat(answer: Answer): Promise<number>;
}

export interface MemberKind {
  /** Holds Manage Server. */
  readonly manages?: boolean;
  readonly roles?: readonly string[];
}

export interface How {
  /** To send the same interaction a second time. */
  readonly interactionId?: string;
  /** To arrive so much later than it was sent. */
  readonly ageMs?: number;
  readonly channel?: string;
}

export interface Hands {
  readonly world: World;
  readonly gateway: Gateway;
  readonly interactions: Map<string, Interaction>;
}

const MANAGE_GUILD = 1n << 5n;
const ADMINISTRATOR = 1n << 3n;
const EPHEMERAL = 64;
const OptionType = { subcommand: 1, string: 3, integer: 4, boolean: 5, channel: 7 } as const;
/** Long after Discord would have given up on a first answer: deferred ones may take their time. */
const SETTLE_MS = 20_000;

/** The hands of a pretend member, in a server or, without one, in direct messages. */
export function memberOf(hands: Hands, user: User, guild: Guild | undefined, manages: boolean): Member {
  const { world, gateway, interactions } = hands;

  function place(how: How): Json {
    const channelId = how.channel ?? guild?.channels[0]?.id ?? directChannel(world, user.id);
    const channel = world.channels.get(channelId);
    const permissions = (ALL_PERMISSIONS & ~MANAGE_GUILD & ~ADMINISTRATOR) | (manages ? MANAGE_GUILD : 0n);
    const base: Json = {
      application_id: world.applicationId,
      version: 1,
      locale: 'en-US',
      entitlements: [],
      authorizing_integration_owners: guild ? { 0: guild.id } : { 0: '0' },
      context: guild ? 0 : 1,
      attachment_size_limit: 10_485_760,
      channel_id: channelId,
      app_permissions: String(BOT_PERMISSIONS & ~(channel?.denied ?? 0n)),
      channel: channel ? channelJson(channel, world.bot.id) : { id: channelId, type: guild ? 0 : 1 },
    };
    if (!guild) return { ...base, user: userJson(user) };
    return {
      ...base,
      guild_id: guild.id,
      guild_locale: 'en-US',
      guild: { id: guild.id, locale: 'en-US', features: [] },
      member: { ...memberJson(user), permissions: String(permissions) },
    };
  }

  function send(type: number, data: Json, how: How, source?: Message): Interaction {
    const payloadPlace = place(how);
    const createdAt = Date.now() - (how.ageMs ?? 0);
    const id = how.interactionId ?? world.newId(createdAt);
    const interaction = newInteraction(id, String(payloadPlace.channel_id), type, source, createdAt);
    interaction.event = {
      id,
      token: interaction.token,
      type,
      data,
      ...payloadPlace,
      ...(source ? { message: { ...messageJson(source, world), application_id: world.applicationId } } : {}),
    };
    interactions.set(id, interaction);
    gateway.dispatch('INTERACTION_CREATE', interaction.event, guild?.id);
    return interaction;
  }

  /** Application Commands › Permissions: the server's own settings come before the command's. */
  function isLetIn(command: Json): boolean {
    const settings = world.commandPermissions.get(`${guild?.id} ${command.id}`) ?? [];
    const named = (ids: readonly (string | undefined)[]) =>
      settings.filter(({ id }) => ids.includes(String(id)));
    for (const found of [named([user.id]), named(user.roles ?? []), named([guild?.id])])
      if (found.length > 0) return found.some(({ permission }) => permission === true);
    return manages || (command.default_member_permissions ?? null) === null;
  }

  function commandData(
    name: string,
    options: Readonly<Record<string, string | number | boolean>>,
    focused?: string,
  ): Json {
    const [root = '', second] = name.replace(/^\//, '').split(' ');
    const found = world.commands.find((command) => command.name === root);
    if (!found) throw new Error(`/${root} is not registered`);
    if (guild && !isLetIn(found)) throw new Error(`Discord does not let ${user.username} use /${root}`);
    const declared = listOf(found.options);
    const sub = second === undefined ? undefined : declared.find((option) => option.name === second);
    if (second !== undefined && !sub) throw new Error(`/${name} is not registered`);
    const known = sub ? listOf(sub.options) : declared;
    const resolved: Json = {};
    const given = Object.entries(options).map(([option, value]) => {
      const spec = known.find((one) => one.name === option);
      if (!spec) throw new Error(`/${name} has no option ${option}`);
      const channel = spec.type === OptionType.channel ? world.channels.get(String(value)) : undefined;
      if (channel)
        resolved.channels = { [channel.id]: { ...channelJson(channel, world.bot.id), permissions: '0' } };
      return {
        name: option,
        type: spec.type,
        value: spec.type === OptionType.integer && focused !== option ? Number(value) : value,
        ...(focused === option ? { focused: true } : {}),
      };
    });
    return {
      id: found.id,
      name: root,
      type: 1,
      resolved,
      options: sub ? [{ name: second, type: OptionType.subcommand, options: given }] : given,
    };
  }

  return {
    user,
    async command(name, options = {}, how = {}) {
      return settled(send(2, commandData(name, options), how), world);
    },
    async autocomplete(name, options, focused) {
      const interaction = send(4, commandData(name, options, focused), {});
      await until(interaction, () => interaction.callback !== undefined, FIRST_ANSWER_MS);
      const data = interaction.callback?.data;
      return isJson(data) ? listOf(data.choices) : [];
    },
    async press(answer, labelOrId) {
      const button = answer.buttons.find(({ label, id }) => label === labelOrId || id === labelOrId);
      if (!button)
        throw new Error(
          `no button ${labelOrId} among ${answer.buttons.map(({ label }) => label).join(', ')}`,
        );
      const original = interactions.get(answer.interactionId);
      const shown = original?.followUps.at(-1) ?? original?.original;
      if (!shown) throw new Error('there is no message to press a button of');
      const how = { channel: shown.channelId };
      return settled(send(3, { component_type: 2, custom_id: button.id }, how, shown), world);
    },
    async submit(answer, fields) {
      const { modal } = answer;
      if (!modal) throw new Error('that was no form');
      const rows = listOf(modal.components).map((row) => filled(row, fields));
      const opened = interactions.get(answer.interactionId);
      const how = opened ? { channel: opened.channelId } : {};
      const data = { custom_id: modal.custom_id, components: rows, resolved: {} };
      return settled(send(5, data, how, opened?.source), world);
    },
    async repeat(answer) {
      const interaction = interactions.get(answer.interactionId);
      if (!interaction) throw new Error('there is no such interaction');
      const before = interaction.refusedWith.length;
      gateway.dispatch('INTERACTION_CREATE', interaction.event, guild?.id);
      await until(interaction, () => interaction.refusedWith.length > before, SETTLE_MS);
      return interaction.refusedWith[before] ?? Number.NaN;
    },
  };
}

/** A row or label of a modal as it comes back: each input with what was typed, or what stood there. */
function filled(row: Json, fields: Readonly<Record<string, string>>): Json {
  const value = (input: Json): Json => ({
    type: input.type,
    id: 1,
    custom_id: input.custom_id,
    value: fields[String(input.custom_id)] ?? input.value ?? '',
  });
  if (isJson(row.component)) return { type: row.type, id: 1, component: value(row.component) };
  return { type: row.type, id: 1, components: listOf(row.components).map(value) };
}

async function settled(interaction: Interaction, world: World): Promise<Answer> {
  await until(interaction, () => interaction.callback !== undefined, FIRST_ANSWER_MS);
  await until(interaction, () => seenOf(interaction).kind !== 'thinking', SETTLE_MS);
  const seen = seenOf(interaction);
  const message = seen.kind === 'messages' ? seen.messages.at(-1) : undefined;
  const data = interaction.callback?.data;
  const json = message ? messageJson(message, world) : {};
  const embeds = listOf(json.embeds);
  const components = listOf(json.components);
  return {
    interactionId: interaction.id,
    embeds,
    content: String(json.content ?? ''),
    components,
    files: message?.files ?? [],
    ephemeral: (Number(json.flags ?? 0) & EPHEMERAL) !== 0,
    deferred: interaction.deferred,
    answeredAfterMs: interaction.answeredAfterMs ?? Number.NaN,
    modal: seen.kind === 'dialog' && isJson(data) ? data : undefined,
    text: message ? textOf(message, world) : '',
    buttons: components
      .flatMap((row) => listOf(row.components))
      .map((button) => ({ label: String(button.label), id: String(button.custom_id) })),
  };
}

function until(interaction: Interaction, done: () => boolean, withinMs: number): Promise<void> {
  return new Promise((resolve, reject) => {
    if (done()) return resolve();
    const timer = setTimeout(
      () => reject(new Error(`the bot did not answer within ${withinMs} ms`)),
      withinMs,
    );
    const before = interaction.changed;
    interaction.changed = () => {
      before();
      if (!done()) return;
      clearTimeout(timer);
      resolve();
    };
  });
}
