import { describe, expect, it } from 'vitest';
import { setStage } from './stage.js';

const stage = setStage();

describe('what a command may know of a server', () => {
  it('has channels by id and by name, and what the bot lacks there in Discord’s words', async () => {
    const { guild, start } = stage();
    const { platform } = await start();
    const { id } = guild.channel('shut');
    const shut = { id, name: 'shut', missing: ['Send Messages', 'Attach Files'] };
    expect(await platform.channel(guild.id, id)).toEqual(shut);
    expect(await platform.channel(guild.id, 'shut')).toEqual(shut);
    expect(await platform.channel(guild.id, '#rendering')).toMatchObject({ name: 'rendering', missing: [] });
  });

  it('says so when the bot may not see a channel', async () => {
    const { standin, start } = stage();
    const hidden = standin.addGuild('Hidden Lane', [{ name: 'cellar', denied: 1n << 10n }]);
    const { platform } = await start();
    expect((await platform.channel(hidden.id, 'cellar'))?.missing).toContain('View Channel');
  });

  it('does not reach into another community, nor into none', async () => {
    const { standin, guild, start } = stage();
    const other = standin.addGuild('Quiet Lane', [{ name: 'kitchen' }]);
    const { platform } = await start();
    expect(await platform.channel(guild.id, other.channel('kitchen').id)).toBeUndefined();
    expect(await platform.channel('direct-1', guild.channel('rendering').id)).toBeUndefined();
  });

  // Application Commands › Permissions: the member before their roles, these before everybody; the command before all.
  it.each([
    ['nothing is set', [], [], false],
    ['a role of theirs is allowed', [['role', '77', true]], [], true],
    ['a role of theirs is denied', [['role', '77', false]], [], false],
    ['another role is allowed', [['role', '78', true]], [], false],
    ['everybody is allowed', [['role', 'everybody', true]], [], true],
    [
      'everybody is allowed but a role of theirs is not',
      [
        ['role', 'everybody', true],
        ['role', '77', false],
      ],
      [],
      false,
    ],
    [
      'a role of theirs is denied but they are allowed',
      [
        ['role', '77', false],
        ['user', 'self', true],
      ],
      [],
      true,
    ],
    ['all commands are opened to a role of theirs', [], [['role', '77', true]], true],
    [
      'all commands are, but this one is set otherwise',
      [['role', '78', true]],
      [['role', '77', true]],
      false,
    ],
  ] as const)('knows to whom a server opened a command: %s', async (_what, ofCommand, ofAll, opened) => {
    const { standin, guild, start } = stage();
    const { platform } = await start();
    const { user } = standin.member(guild, 'Bram', { roles: ['77'] });
    const meant = (id: string) => (id === 'self' ? user.id : id === 'everybody' ? guild.id : id);
    const set = (id: unknown, settings: readonly (readonly [string, string, boolean])[]) => {
      const permissions = settings.map(([type, who, permission]) => {
        return { id: meant(who), type: type === 'role' ? 1 : 2, permission };
      });
      if (permissions.length > 0) standin.world.commandPermissions.set(`${guild.id} ${id}`, permissions);
    };
    set(standin.world.commands.find(({ name }) => name === 'manage')?.id, ofCommand);
    set(standin.world.applicationId, ofAll);
    expect(await platform.isOpenedTo?.('manage', guild.id, user.id)).toBe(opened);
    expect(await platform.isOpenedTo?.('nothing-of-ours', guild.id, user.id)).toBe(false);
  });

  // Discord's own form of a message's address ("Copy Message Link").
  it('links to messages', async () => {
    const { platform } = await stage().start();
    expect(platform.messageLink('1', '2', '3')).toBe('https://discord.com/channels/1/2/3');
    expect(platform.messageLink('direct-9', '2', '3')).toBe('https://discord.com/channels/@me/2/3');
  });
});
