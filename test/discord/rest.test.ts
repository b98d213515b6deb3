import { REST, RESTEvents, Routes } from 'discord.js';
import { describe, expect, it } from 'vitest';
import { reply } from '../../src/chat/reply.js';
import { interactionRest } from '../../src/discord/rest.js';
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
  it('of the client’s own does not hold answers back, as it does other requests', async () => {
    const { standin } = stage();
    const heldBack = async (rest: REST): Promise<number> => {
      let count = 0;
      rest.on(RESTEvents.RateLimited, () => count++);
      const edits = Array.from({ length: 70 }, () =>
        rest.patch(Routes.webhookMessage(standin.world.newId(), 'token'), { auth: false, body: {} }),
      );
      await Promise.allSettled(edits);
      return count;
    };
    expect(await heldBack(interactionRest(standin.api))).toBe(0);
    expect(await heldBack(new REST({ api: standin.api }))).toBeGreaterThan(0);
  });
});
