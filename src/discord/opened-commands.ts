import { ApplicationCommandPermissionType, Routes } from 'discord.js';
import { z } from 'zod';
import { unlessRefused } from './faults.js';
import type { BotApi } from './token.js';

const settings = z.object({
  permissions: z.array(z.object({ id: z.string(), type: z.number(), permission: z.boolean() })),
});

const named = z.array(z.object({ id: z.string(), name: z.string() }));
const member = z.object({ roles: z.array(z.string()) });

/**
 * Whether those who manage a server opened a command to a member who does not hold its usual permission, in the server's
 * settings under Integrations. What is set for the command goes before what is set for all commands of the bot, the
 * member before their roles, and these before everybody (Application Commands › Permissions).
 */
export async function isOpenedTo(
  api: BotApi,
  application: string,
  command: string,
  who: { readonly server: string; readonly memberId: string },
): Promise<boolean> {
  const { server, memberId } = who;
  const commands = named.parse(await api.get(Routes.applicationCommands(application)));
  const id = commands.find(({ name }) => name === command)?.id;
  if (id === undefined) return false;
  const set = (await settingsOf(id)) ?? (await settingsOf(application)) ?? [];
  const { roles } = member.parse(await api.get(Routes.guildMember(server, memberId)));
  const groups = [
    set.filter((one) => one.type === ApplicationCommandPermissionType.User && one.id === memberId),
    set.filter((one) => one.type === ApplicationCommandPermissionType.Role && roles.includes(one.id)),
    // The role of everybody has the server's own id.
    set.filter((one) => one.type === ApplicationCommandPermissionType.Role && one.id === server),
  ];
  const decisive = groups.find((group) => group.length > 0) ?? [];
  return decisive.some(({ permission }) => permission);

  /** Undefined where nothing was set. */
  async function settingsOf(commandId: string) {
    const route = Routes.applicationCommandPermissions(application, server, commandId);
    const set = await unlessRefused(api.get(route));
    return set === undefined ? undefined : settings.parse(set).permissions;
  }
}
