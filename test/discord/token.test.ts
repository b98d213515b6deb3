import { describe, expect, it, vi } from 'vitest';
import { reply } from '../../src/chat/reply.js';
import { setStage } from './stage.js';

const stage = setStage();
const said = reply({ title: 'The week', lines: ['A line'] });

describe('a token that Discord turned away once', () => {
  it('is looked at once and kept: the post goes out, and all that follow', async () => {
    const { standin, guild, faults, start } = stage();
    const { outbox } = await start();
    const channel = guild.channel('rendering').id;
    const looksBefore = standin.requests('me');
    standin.refuseToken(1);
    const posts = await Promise.all(
      ['one', 'two', 'three'].map((nonce) =>
        outbox.post({ community: guild.id, channel, nonce, reply: said }),
      ),
    );
    expect(posts.map(({ kind }) => kind)).toEqual(['posted', 'posted', 'posted']);
    expect(standin.messages(channel)).toHaveLength(3);
    expect(standin.requests('me') - looksBefore).toBe(1);
    expect(await outbox.tellManagers(guild.id, said)).toBe(true);
    expect(faults).toEqual([]);
    standin.expectConformant();
  });

  it('does not end anything when nobody can say whether it is still good', async () => {
    const { standin, guild, faults, start } = stage();
    const { outbox } = await start();
    const post = () =>
      outbox.post({ community: guild.id, channel: guild.channel('rendering').id, nonce: 'one', reply: said });
    standin.refuseToken(1);
    standin.next('me', ...Array(4).fill({ status: 500 }));
    await expect(post()).rejects.toThrow();
    expect(await post()).toMatchObject({ kind: 'posted' });
    expect(faults).toEqual([]);
  });
});

describe('a token that is not good any more', () => {
  it('is the end, said once and in words', async () => {
    const { standin, guild, faults, alice, start } = stage();
    const { outbox } = await start();
    standin.refuseToken('for good');
    const channel = guild.channel('rendering').id;
    const posts = await Promise.allSettled(
      ['one', 'two'].map((nonce) => outbox.post({ community: guild.id, channel, nonce, reply: said })),
    );
    expect(posts.map(({ status }) => status)).toEqual(['rejected', 'rejected']);
    await vi.waitUntil(() => faults.length > 0);
    expect(faults).toEqual([
      'Discord does not accept DISCORD_TOKEN any more; copy it again from the developer portal',
    ]);
    // Answers need no token, and are given until the end.
    expect((await alice.command('/echo', { text: 'hello' })).text).toContain('hello');
  });
});
