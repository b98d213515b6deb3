import { PermissionFlagsBits } from 'discord.js';

interface Role {
  readonly id: string;
  readonly permissions: string;
}

interface Overwrite {
  readonly id: string;
  readonly allow: string;
  readonly deny: string;
}

/** What a member may do in a channel (Permissions › Permission Overwrites), as bits. */
export function permissionsIn(
  server: { readonly id: string; readonly owner_id: string; readonly roles: readonly Role[] },
  member: { readonly id: string; readonly roles: readonly string[] },
  overwrites: readonly Overwrite[],
): bigint {
  const held = server.roles
    .filter(({ id }) => id === server.id || member.roles.includes(id))
    .reduce((sum, { permissions }) => sum | BigInt(permissions), 0n);
  if (member.id === server.owner_id || (held & PermissionFlagsBits.Administrator) !== 0n) return EVERYTHING;
  // Everybody's first, then all of the roles' together, the member's own last.
  const groups = [[server.id], member.roles, [member.id]];
  return groups.reduce((sum, ids) => {
    const meant = overwrites.filter(({ id }) => ids.includes(id));
    const denied = meant.reduce((bits, { deny }) => bits | BigInt(deny), 0n);
    const allowed = meant.reduce((bits, { allow }) => bits | BigInt(allow), 0n);
    return (sum & ~denied) | allowed;
  }, held);
}

const EVERYTHING = Object.values(PermissionFlagsBits).reduce((sum, bit) => sum | bit, 0n);

export const ATTACH_FILES = 'Attach Files';

/** What a post needs, in the words of Discord's settings. */
const NEEDED = [
  ['Embed Links', PermissionFlagsBits.EmbedLinks],
  [ATTACH_FILES, PermissionFlagsBits.AttachFiles],
  // Without it Discord shows no earlier messages, and a post that may be out already could not be found again.
  ['Read Message History', PermissionFlagsBits.ReadMessageHistory],
] as const;

/** Permissions that the bot lacks for posts, in Discord's words. */
export function missingAmong(held: bigint, isThread: boolean): readonly string[] {
  const send = isThread
    ? (['Send Messages in Threads', PermissionFlagsBits.SendMessagesInThreads] as const)
    : (['Send Messages', PermissionFlagsBits.SendMessages] as const);
  return [['View Channel', PermissionFlagsBits.ViewChannel] as const, send, ...NEEDED]
    .filter(([, bit]) => (held & bit) === 0n)
    .map(([name]) => name);
}
