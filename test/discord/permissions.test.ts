import { PermissionFlagsBits } from 'discord.js';
import { describe, expect, it } from 'vitest';
import { missingAmong, permissionsIn } from '../../src/discord/permissions.js';

const { ViewChannel, SendMessages, EmbedLinks, AttachFiles, Administrator } = PermissionFlagsBits;
const EVERYBODY = '1';
const COOKS = '2';
const GUESTS = '3';
const BOT = '9';

const role = (id: string, permissions: bigint) => ({ id, permissions: String(permissions) });
const overwrite = (id: string, bits: { readonly allow?: bigint; readonly deny?: bigint }) => ({
  id,
  allow: String(bits.allow ?? 0n),
  deny: String(bits.deny ?? 0n),
});
const server = (...roles: ReturnType<typeof role>[]) => ({ id: EVERYBODY, owner_id: '8', roles });
const bot = { id: BOT, roles: [COOKS, GUESTS] };
const ALL_ROLES = server(role(EVERYBODY, ViewChannel), role(COOKS, SendMessages), role(GUESTS, EmbedLinks));

// Permissions › Permission Overwrites: the order in which they are laid over each other.
describe('what the bot may do in a channel', () => {
  it('is what its roles and everybody’s may, and no other role', () => {
    expect(permissionsIn(ALL_ROLES, bot, [])).toBe(ViewChannel | SendMessages | EmbedLinks);
    expect(permissionsIn(ALL_ROLES, { id: BOT, roles: [] }, [])).toBe(ViewChannel);
  });

  it('is less where everybody is denied, and more again where a role of its own is allowed', () => {
    const denied = overwrite(EVERYBODY, { deny: ViewChannel | SendMessages });
    expect(permissionsIn(ALL_ROLES, bot, [denied])).toBe(EmbedLinks);
    expect(permissionsIn(ALL_ROLES, bot, [denied, overwrite(COOKS, { allow: ViewChannel })])).toBe(
      ViewChannel | EmbedLinks,
    );
  });

  it('is what one of its roles is allowed though another is denied it', () => {
    const overwrites = [
      overwrite(GUESTS, { allow: AttachFiles }),
      overwrite(COOKS, { deny: AttachFiles | SendMessages }),
    ];
    expect(permissionsIn(ALL_ROLES, bot, overwrites)).toBe(ViewChannel | EmbedLinks | AttachFiles);
  });

  it('is in the end what is said of the bot itself', () => {
    const overwrites = [
      overwrite(BOT, { deny: SendMessages, allow: AttachFiles }),
      overwrite(COOKS, { allow: SendMessages }),
    ];
    expect(permissionsIn(ALL_ROLES, bot, overwrites)).toBe(ViewChannel | EmbedLinks | AttachFiles);
  });

  it('is everything for an administrator and for the owner, whatever the channel says', () => {
    const denied = overwrite(BOT, { deny: SendMessages });
    const admins = server(role(EVERYBODY, 0n), role(COOKS, Administrator));
    expect(missingAmong(permissionsIn(admins, bot, [denied]), false)).toEqual([]);
    expect(missingAmong(permissionsIn({ ...ALL_ROLES, owner_id: BOT }, bot, [denied]), false)).toEqual([]);
  });
});

describe('what is missing for posts', () => {
  it('is named as in Discord’s settings, and in a thread is that of threads', () => {
    expect(missingAmong(0n, false)).toEqual([
      'View Channel',
      'Send Messages',
      'Embed Links',
      'Attach Files',
      'Read Message History',
    ]);
    expect(missingAmong(ViewChannel | SendMessages, true)[0]).toBe('Send Messages in Threads');
  });
});
