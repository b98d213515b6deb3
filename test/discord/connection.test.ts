import { describe, expect, it } from 'vitest';
import { reply } from '../../src/chat/reply.js';
import { setStage } from './stage.js';

const stage = setStage();

describe('how the bot stands with Discord', () => {
  it('is not ready while it is cut off', async () => {
    const { standin, start } = stage();
    const { connection } = await start();
    expect(connection.isReady()).toBe(true);
    standin.gateway.cut();
    await expect.poll(connection.isReady).toBe(false);
    await expect.poll(connection.isReady, { timeout: 10_000 }).toBe(true);
  });

  it('is without a token from a request that was turned away for it until one that was not', async () => {
    const { standin, guild, start } = stage();
    const { connection, outbox } = await start();
    await expect.poll(() => standin.world.commands.length).toBeGreaterThan(0);
    const post = (nonce: string) =>
      outbox.post({
        community: guild.id,
        channel: guild.channel('rendering').id,
        nonce,
        reply: reply({ title: 'The week', lines: [] }),
      });
    expect(connection.isTokenAccepted()).toBe(true);
    // Whether the token is still good cannot be found out either.
    standin.nextCreateMessage({ status: 401 });
    standin.next('me', ...Array.from({ length: 4 }, () => ({ status: 500 })));
    await expect(post('one')).rejects.toThrow();
    expect(connection.isTokenAccepted()).toBe(false);
    await post('two');
    expect(connection.isTokenAccepted()).toBe(true);
  });
});
