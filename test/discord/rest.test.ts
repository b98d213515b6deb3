import { describe, expect, it } from 'vitest';
import { reply } from '../../src/chat/reply.js';
import { setStage } from './stage.js';

const stage = setStage();
const limitsIn = (log: readonly string[]) =>
  log.map((line) => JSON.parse(line)).filter(({ msg }) => /slow down|holds requests back/.test(msg));

describe('a limit', () => {
  // Rate Limits › Header Format.
  it('of Discord is logged as Discord’s, with its route, its wait and whose it is', async () => {
    const { standin, guild, log, start } = stage();
    const { outbox } = await start();
    standin.nextCreateMessage({ status: 429, retryAfter: 0.2, scope: 'shared' });
    const post = {
      community: guild.id,
      channel: guild.channel('rendering').id,
      nonce: 'one',
      reply: reply({ title: 'The week', lines: [] }),
    };
    expect(await outbox.post(post)).toMatchObject({ kind: 'posted' });
    expect(limitsIn(log)).toEqual([
      expect.objectContaining({
        msg: 'Discord asks to slow down',
        method: 'POST',
        route: '/channels/:id/messages',
        waitMs: 200,
        scope: 'shared',
      }),
    ]);
  });

  // Receiving and Responding › Endpoints: not bound to the bot's global rate limit, which is 50 requests a second.
  it('of the client’s own does not hold answers back', async () => {
    const { standin, alice, log, start } = stage();
    await start();
    // What checks the bodies is slow to begin with.
    await alice.command('/slow reply');
    // All at the same moment, each with a notice and an edit; a slow machine may be late with some.
    await Promise.allSettled(Array.from({ length: 80 }, () => alice.command('/slow reply')));
    expect(standin.requests('edit of an answer')).toBeGreaterThan(51);
    expect(limitsIn(log)).toEqual([]);
    standin.expectConformant();
  });
});
