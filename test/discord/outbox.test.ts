import { describe, expect, it } from 'vitest';
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
    standin.nextCreateMessage(...Array.from({ length: 5 }, () => ({ status: 500 })));
    await expect(outbox.post(post(guild.id, guild.channel('rendering').id))).rejects.toThrow();
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

  it('says when there is nobody to tell', async () => {
    const { outbox } = await stage().start();
    expect(await outbox.tellManagers('123', said())).toBe(false);
  });
});
