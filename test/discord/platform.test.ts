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

  // Discord's own form of a message's address ("Copy Message Link").
  it('links to messages', async () => {
    const { platform } = await stage().start();
    expect(platform.messageLink('1', '2', '3')).toBe('https://discord.com/channels/1/2/3');
    expect(platform.messageLink('direct-9', '2', '3')).toBe('https://discord.com/channels/@me/2/3');
  });
});
