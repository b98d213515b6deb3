import {
  type APIApplicationCommandBasicOption,
  type APIApplicationCommandOption,
  ApplicationCommandOptionType,
  ApplicationCommandType,
  ApplicationIntegrationType,
  ChannelType,
  InteractionContextType,
  PermissionFlagsBits,
  type RESTPostAPIChatInputApplicationCommandsJSONBody,
} from 'discord.js';
import { type Command, isSingle } from '../chat/command.js';
import type { Option, Options } from '../chat/option.js';
import { cutText, LIMITS } from './limits.js';

/** What Discord must be told of a command. */
export function registrationOf(command: Command): RESTPostAPIChatInputApplicationCommandsJSONBody {
  return {
    type: ApplicationCommandType.ChatInput,
    name: command.name,
    description: cutText(command.description, LIMITS.commandDescription),
    contexts:
      command.where === 'server'
        ? [InteractionContextType.Guild]
        : [InteractionContextType.Guild, InteractionContextType.BotDM],
    integration_types: [ApplicationIntegrationType.GuildInstall],
    default_member_permissions: command.who === 'managers' ? String(PermissionFlagsBits.ManageGuild) : null,
    options: isSingle(command.subcommands)
      ? optionsOf(command.subcommands.options)
      : Object.entries(command.subcommands).map(
          ([name, subcommand]): APIApplicationCommandOption => ({
            type: ApplicationCommandOptionType.Subcommand,
            name,
            description: cutText(subcommand.description, LIMITS.commandDescription),
            options: optionsOf(subcommand.options),
          }),
        ),
  };
}

function optionsOf(options: Options): APIApplicationCommandBasicOption[] {
  return Object.entries(options)
    .sort(([, a], [, b]) => Number(b.required) - Number(a.required))
    .map(([name, option]) => optionOf(name, option));
}

function optionOf(name: string, option: Option<unknown>): APIApplicationCommandBasicOption {
  const { entry, required } = option;
  const base = { name, description: cutText(option.description, LIMITS.commandDescription), required };
  const suggested = option.suggests ? { autocomplete: true as const } : {};
  switch (entry.kind) {
    case 'text': {
      const max_length = Math.min(entry.maxLength, LIMITS.optionMaxLength);
      return { ...base, type: ApplicationCommandOptionType.String, max_length, ...suggested };
    }
    case 'choice': {
      const choices = entry.choices.map(({ value, label }) => ({
        name: cutText(label, LIMITS.choiceName),
        value,
      }));
      const offered = choices.length > LIMITS.choices ? { autocomplete: true as const } : { choices };
      return { ...base, type: ApplicationCommandOptionType.String, ...offered };
    }
    case 'whole number': {
      const bounds = { min_value: entry.least, max_value: entry.most };
      return { ...base, type: ApplicationCommandOptionType.Integer, ...bounds, ...suggested };
    }
    case 'yes or no':
      return { ...base, type: ApplicationCommandOptionType.Boolean };
    case 'channel':
      return {
        ...base,
        type: ApplicationCommandOptionType.Channel,
        channel_types: [ChannelType.GuildText, ChannelType.GuildAnnouncement],
      };
  }
}
