import {
  ApplicationCommandOptionType,
  type AutocompleteInteraction,
  type BaseInteraction,
  type ButtonInteraction,
  type ChatInputCommandInteraction,
  type CommandInteractionOption,
  ComponentType,
  GuildMember,
  type ModalSubmitInteraction,
  PermissionFlagsBits,
} from 'discord.js';
import type { Origin } from '../chat/call.js';
import { oneLine } from '../chat/clean.js';
import type { Request } from '../chat/dispatch.js';
import type { Given } from '../chat/option.js';
import type { Platform } from '../chat/platform.js';
import type { Ticket } from './first-sign.js';
import { communityOf } from './places.js';
import type { Focused } from './suggestions.js';

export type Answerable = ChatInputCommandInteraction | ButtonInteraction | ModalSubmitInteraction;

export interface TypedCommand {
  readonly path: readonly string[];
  readonly given: Given;
}

/** The words of a slash command and its options, as if they had been typed. */
export function typedCommand(
  interaction: ChatInputCommandInteraction | AutocompleteInteraction,
): TypedCommand {
  const [first] = interaction.options.data;
  const isSub = first?.type === ApplicationCommandOptionType.Subcommand;
  const options = isSub ? (first.options ?? []) : interaction.options.data;
  return {
    path: isSub ? [interaction.commandName, first.name] : [interaction.commandName],
    given: Object.fromEntries(options.map((option) => [option.name, asText(option)])),
  };
}

/** The option being typed; undefined where Discord does not say which. */
export function focusedOption({ options }: AutocompleteInteraction): Focused | undefined {
  const found = options.data
    .flatMap((option) => [option, ...(option.options ?? [])])
    .find(({ focused }) => focused === true);
  return found && { name: found.name, value: asText(found) };
}

export const ticketOf = ({ id, token, applicationId }: BaseInteraction): Ticket => ({
  id,
  token,
  application: applicationId,
});

function asText({ value }: CommandInteractionOption): string {
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  return value === undefined ? '' : String(value);
}

/** What the person wants, whichever way they said it. */
export function requestOf(interaction: Answerable): Request {
  if (interaction.isChatInputCommand()) return { kind: 'command', ...typedCommand(interaction) };
  if (interaction.isModalSubmit())
    return { kind: 'press', id: interaction.customId, fields: fieldsOf(interaction) };
  return { kind: 'press', id: interaction.customId, fields: {} };
}

function fieldsOf(interaction: ModalSubmitInteraction): Given {
  return Object.fromEntries(
    [...interaction.fields.fields.values()].flatMap((field) =>
      field.type === ComponentType.TextInput ? [[field.customId, field.value]] : [],
    ),
  );
}

/** Who asks, where and when. */
export function originOf(interaction: BaseInteraction, now: Date, platform: Platform): Origin {
  const { member, user, guildId } = interaction;
  const nickname = member instanceof GuildMember ? member.displayName : (member?.nick ?? null);
  return {
    member: {
      id: user.id,
      name: oneLine(nickname ?? user.displayName) || user.username,
      mayManage: interaction.memberPermissions?.has(PermissionFlagsBits.ManageGuild) ?? false,
    },
    community: communityOf(guildId, user.id),
    where: guildId === null ? 'direct' : 'server',
    channel: interaction.channelId ?? undefined,
    interaction: interaction.id,
    now,
    platform,
    // Discord delivers a command only from those who may run it. A button is pressed by whoever sees it.
    admitted: interaction.isChatInputCommand() || interaction.isAutocomplete(),
    application: interaction.applicationId,
  };
}
