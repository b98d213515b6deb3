import { describe, expect, it, vi } from 'vitest';
import { reply } from '../../src/chat/reply.js';
import { directChannel } from '../support/chat-server/rest.js';
import type { StandIn } from '../support/chat-server/server.js';
import { setStage } from './stage.js';

const stage = setStage();

/** The owner of every server of the stand-in. */
const OWNER = '1';
const SEND_MESSAGES = 1n << 11n;

function takesNoDirectMessages({ world }: StandIn): void {
  const channel = world.channels.get(directChannel(world, OWNER));
  if (channel) channel.denied = SEND_MESSAGES;
}

const said = (title = 'The week') => reply({ title, lines: ['A line'], sources: ['somewhere'] });
const pictured = () =>
  reply({
    title: 'The week',
    lines: ['A line'],
    picture: { png: new Uint8Array([1]), name: 'chart.png', alt: 'A chart' },
  });
const post = (community: string, channel: string, nonce = 'nonce-of-the-week-47') => ({
  community,
  channel,
  nonce,
  reply: said(),
});

describe('a post that nobody asked for just now', () => {
  it.each(['drop-before', 'drop-during', 'drop-after'] as const)(
    'is one message for one nonce, even when the connection breaks: %s',
    async (fault) => {
      const { standin, guild, start } = stage();
      const { outbox } = await start();
      const channel = guild.channel('rendering').id;
      standin.nextCreateMessage(fault);
      const first = await outbox.post(post(guild.id, channel)).catch(() => undefined);
      const again = await outbox.post(post(guild.id, channel));
      expect(again.kind).toBe('posted');
      if (first !== undefined) expect(first).toEqual(again);
      expect(standin.messages(channel)).toHaveLength(1);
      expect(standin.messages(channel)[0]?.body).toMatchObject({
        nonce: 'nonce-of-the-week-47',
        enforce_nonce: true,
      });
      standin.expectConformant();
    },
  );

  it('is rejected, to be tried again, on a failure that may pass', async () => {
    const { standin, guild, start } = stage();
    const { outbox } = await start();
    const send = () => outbox.post(post(guild.id, guild.channel('rendering').id));
    standin.nextCreateMessage(...Array.from({ length: 4 }, () => ({ status: 500 })));
    await expect(send()).rejects.toThrow();
    // Not Discord’s own no, but that of something in front of it.
    standin.nextCreateMessage({ status: 403, isHtml: true });
    await expect(send()).rejects.toThrow();
  });

  it('is found again by its nonce, among many, and no other is taken for it', async () => {
    const { standin, guild, start } = stage();
    const { outbox } = await start();
    const channel = guild.channel('rendering').id;
    const since = new Date();
    for (let at = 0; at < 130; at++) standin.world.addMessage(channel, { content: `chatter ${at}` }, []);
    const posted = await outbox.post(post(guild.id, channel, 'nonce-of-the-week-47'));
    const next = await outbox.post(post(guild.id, channel, 'nonce-of-the-week-48'));
    for (let at = 0; at < 130; at++) standin.world.addMessage(channel, { content: `chatter ${at}` }, []);
    const find = (nonce: string) => outbox.find(channel, nonce, since);
    expect({ kind: 'posted', message: await find('nonce-of-the-week-47') }).toEqual(posted);
    expect({ kind: 'posted', message: await find('nonce-of-the-week-48') }).toEqual(next);
    expect(await find('nonce-of-the-week-49')).toBeUndefined();
  });

  it('is found though our clock is half a minute ahead of Discord’s', async () => {
    const { guild, start } = stage();
    const { outbox } = await start();
    const channel = guild.channel('rendering').id;
    const posted = await outbox.post(post(guild.id, channel, 'nonce-of-the-week-47'));
    const ahead = new Date(Date.now() + 30_000);
    expect({ kind: 'posted', message: await outbox.find(channel, 'nonce-of-the-week-47', ahead) }).toEqual(
      posted,
    );
  });

  it('is found whatever its sources say, however long they are', async () => {
    const { guild, start } = stage();
    const { outbox } = await start();
    const channel = guild.channel('rendering').id;
    const since = new Date();
    const long = reply({ title: 'Long', lines: [], sources: ['x'.repeat(5000)] });
    await outbox.post({ ...post(guild.id, channel), reply: long });
    expect(await outbox.find(channel, 'nonce-of-the-week-47', since)).toBeDefined();
  });

  it('says in plain words why a channel is closed', async () => {
    const { guild, start } = stage();
    const { outbox } = await start();
    guild.channel('gone').deleted = true;
    const closed = async (community: string, channel: string) => outbox.post(post(community, channel));
    expect(await closed(guild.id, guild.channel('shut').id)).toEqual({
      kind: 'closed',
      why: 'the bot lacks Send Messages, Attach Files there',
    });
    expect(await closed(guild.id, guild.channel('gone').id)).toEqual({
      kind: 'closed',
      why: 'the channel is gone',
    });
    expect(await closed('1', guild.channel('rendering').id)).toEqual({
      kind: 'closed',
      why: 'the channel is of another community',
    });
  });

  // Permissions › Bitwise Permission Flags.
  it.each([
    ['Send Messages', SEND_MESSAGES],
    ['Embed Links', 1n << 14n],
    ['Send Messages, Embed Links', SEND_MESSAGES | (1n << 14n)],
    ['Send Messages, Attach Files', SEND_MESSAGES | (1n << 15n)],
    ['View Channel', 1n << 10n],
  ])('names what the bot lacks: %s', async (names, denied) => {
    const { standin, start } = stage();
    const lane = standin.addGuild('Shut Lane', [{ name: 'weekly', denied }]);
    const { outbox } = await start();
    const withPicture = { ...post(lane.id, lane.channel('weekly').id), reply: pictured() };
    expect(await outbox.post(withPicture)).toEqual({
      kind: 'closed',
      why: `the bot lacks ${names} there`,
    });
  });

  it('goes without its picture where only that may not be sent, and says so', async () => {
    const { standin, start } = stage();
    const lane = standin.addGuild('Plain Lane', [{ name: 'weekly', denied: 1n << 15n }]);
    const { outbox } = await start();
    const posted = await outbox.post({ ...post(lane.id, lane.channel('weekly').id), reply: pictured() });
    expect(posted.kind).toBe('posted');
    const [message] = standin.messages(lane.channel('weekly').id);
    expect(message?.files).toEqual([]);
    expect(message?.body).toHaveProperty(
      'embeds.0.description',
      'A line\nIts picture is missing because the bot lacks Attach Files here.',
    );
    standin.expectConformant();
  });

  it('is closed where the bot was taken off the server', async () => {
    const { standin, guild, start } = stage();
    const { outbox } = await start();
    standin.removeGuild(guild);
    await vi.waitUntil(async () => {
      const posted = await outbox.post(post(guild.id, guild.channel('rendering').id));
      return posted.kind === 'closed' && posted.why === 'the bot is no longer on that server';
    });
  });

  it('is refused with Discord’s reason where nobody knows whether that passes, and waits in slow mode', async () => {
    const { standin, guild, start } = stage();
    const { outbox } = await start();
    const again = () => outbox.post(post(guild.id, guild.channel('rendering').id));
    standin.nextCreateMessage({ status: 400, code: 50_083 });
    expect(await again()).toEqual({ kind: 'refused', why: 'the thread is archived (code 50083)' });
    standin.nextCreateMessage({ status: 418, code: 99_999 });
    expect(await again()).toEqual({
      kind: 'refused',
      why: 'Discord does not take the post: a fault (code 99999)',
    });
    standin.nextCreateMessage({ status: 400, code: 20_016, retryAfter: 90 });
    expect(await again()).toEqual({ kind: 'later', why: 'the channel is in slow mode', waitMs: 90_000 });
    standin.nextCreateMessage({ status: 429, retryAfter: 600, scope: 'shared' });
    expect(await again()).toMatchObject({ kind: 'later', why: 'Discord asks to wait' });
  });

  it('does not need the server to be one that this process hears of', async () => {
    const { standin, start } = stage();
    const { outbox } = await start();
    // Past the gateway, as if it were another shard's.
    const far = standin.world.addGuild('Far Lane', [{ name: 'weekly' }]);
    const channel = far.channel('weekly').id;
    const since = new Date();
    const posted = await outbox.post(post(far.id, channel));
    expect(posted.kind).toBe('posted');
    expect(await outbox.find(channel, 'nonce-of-the-week-47', since)).toBe(standin.messages(channel)[0]?.id);
    expect(await outbox.post(post('1', channel))).toMatchObject({
      why: 'the channel is of another community',
    });
    expect(await outbox.tellManagers(far.id, said('Please look'))).toBe(true);
    expect(await outbox.names(far.id, channel)).toEqual({ community: 'Far Lane', channel: 'weekly' });
  });

  it('is not found, rather than failing, in a channel that is gone', async () => {
    const { standin, guild, start } = stage();
    const { outbox } = await start();
    guild.channel('gone').deleted = true;
    expect(await outbox.find(guild.channel('gone').id, 'any', new Date())).toBeUndefined();
    expect(await outbox.find(standin.world.newId(), 'any', new Date())).toBeUndefined();
  });
});

describe('telling the managers', () => {
  it('writes to the owner', async () => {
    const { standin, guild, start } = stage();
    const { outbox } = await start();
    expect(await outbox.tellManagers(guild.id, said('Please look'))).toBe(true);
    expect(standin.messages(guild.channel('rendering').id)).toEqual([]);
    const direct = standin.world.messages.find(({ channelId }) =>
      standin.world.channels.get(channelId)?.name.startsWith('direct-'),
    );
    expect(direct?.body).toHaveProperty('embeds.0.title', 'Please look');
    // The same conversation takes posts too, of the owner's own community and no other.
    const [owner, channel] = [OWNER, direct?.channelId ?? ''];
    expect(await outbox.post(post(`direct-${owner}`, channel))).toMatchObject({ kind: 'posted' });
    expect(await outbox.post(post('direct-2', channel, 'another'))).toMatchObject({ kind: 'closed' });
    standin.expectConformant();
  });

  it('uses the server’s own channel where the owner takes no direct messages', async () => {
    const { standin, guild, start } = stage();
    const { outbox } = await start();
    takesNoDirectMessages(standin);
    expect(await outbox.tellManagers(guild.id, said('The channel is gone'))).toBe(true);
    const [told] = standin.messages(guild.channel('rendering').id);
    expect(told?.body).toHaveProperty('embeds.0.title', 'The channel is gone');
    standin.expectConformant();
  });

  it('says so when neither is open', async () => {
    const { standin, start } = stage();
    const other = standin.addGuild('Quiet Lane', [{ name: 'announcements', denied: SEND_MESSAGES }]);
    const { outbox } = await start();
    takesNoDirectMessages(standin);
    expect(await outbox.tellManagers(other.id, said('Please look'))).toBe(false);
    expect(standin.world.messages).toEqual([]);
  });

  it('has names for places, as far as they can be seen', async () => {
    const { standin, guild, start } = stage();
    const hidden = standin.addGuild('Hidden Lane', [{ name: 'cellar', denied: 1n << 10n }]);
    const { outbox } = await start();
    expect(await outbox.names(hidden.id, hidden.channel('cellar').id)).toEqual({
      community: 'Hidden Lane',
      channel: 'cellar',
    });
    guild.channel('gone').deleted = true;
    expect(await outbox.names(guild.id, guild.channel('gone').id)).toEqual({
      community: 'Ember Lane',
      channel: undefined,
    });
    expect(await outbox.names('123')).toEqual({ community: undefined, channel: undefined });
  });

  it('says when there is nobody to tell', async () => {
    const { outbox } = await stage().start();
    expect(await outbox.tellManagers('123', said())).toBe(false);
  });
});
