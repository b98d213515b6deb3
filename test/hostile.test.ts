import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { hostileConversation } from './support/hostile/conversation.js';
import { openTalk, type Talk } from './support/talk.js';

let talk: Talk;
beforeAll(async () => {
  talk = await openTalk();
});
afterAll(() => talk.close());

/** The last is another at every run; what it finds is found again by `npm run bench -- hostile 1 SEED`. */
const SEEDS = [1, 2, Date.now() % 1_000_000_000];

describe('whatever enters', () => {
  it.each(SEEDS)('meets a good answer (seed %i)', { timeout: 120_000 }, async (seed) => {
    const { wrongs, refused, stored } = await hostileConversation(talk.db, seed, {
      // A fifth of a second by itself at the most; here much else goes on at the same time.
      mostMs: 2000,
      isOver: (requests) => requests >= 800,
    });
    expect(wrongs).toEqual([]);
    expect(refused).toBeGreaterThan(50);
    expect(stored).toBeGreaterThan(0);
  });
});
