import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Work } from '../../src/chat/command.js';
import { type AtOnce, turnsWith } from '../../src/chat/turns.js';

const ONE_BY_ONE: AtOnce = {
  quick: { inAll: 1, ofOne: 1 },
  long: { inAll: 1, ofOne: 1 },
  picture: { inAll: 1, ofOne: 1 },
};

/** Work that goes on until it is told to end; notes when it begins. */
function stage(atOnce: AtOnce) {
  const turns = turnsWith(atOnce);
  const begun: string[] = [];
  const ends = new Map<string, () => void>();
  return {
    begun,
    ask(name: string, community: string, kind: Work = 'quick'): Promise<string> {
      return turns.take(kind, community, () => {
        begun.push(name);
        return new Promise((resolve) => ends.set(name, () => resolve(name)));
      });
    },
    async end(name: string): Promise<void> {
      ends.get(name)?.();
      await Promise.resolve();
      await Promise.resolve();
      await Promise.resolve();
    },
  };
}

describe('turns', () => {
  it('begin at once where nobody else asks', () => {
    const { begun, ask } = stage(ONE_BY_ONE);
    void ask('a', 'ember-lane');
    expect(begun).toEqual(['a']);
  });

  it('let what is quick overtake pictures and long answers', () => {
    const { begun, ask } = stage(ONE_BY_ONE);
    for (const name of ['picture 1', 'picture 2']) void ask(name, 'ember-lane', 'picture');
    for (const name of ['plan 1', 'plan 2']) void ask(name, 'ember-lane', 'long');
    void ask('water', 'ember-lane');
    expect(begun).toEqual(['picture 1', 'plan 1', 'water']);
  });

  it('go round the communities, however much one of them asks', async () => {
    const { begun, ask, end } = stage(ONE_BY_ONE);
    for (let at = 1; at <= 50; at++) void ask(`noisy ${at}`, 'noisy');
    void ask('quiet 1', 'quiet');
    void ask('still 1', 'still');
    void ask('quiet 2', 'quiet');
    for (let at = 0; at < 5; at++) await end(begun.at(-1) ?? '');
    expect(begun).toEqual(['noisy 1', 'noisy 2', 'quiet 1', 'still 1', 'noisy 3', 'quiet 2']);
  });

  it('leave room for others where one community has all the turns it may have', () => {
    const { begun, ask } = stage({ ...ONE_BY_ONE, quick: { inAll: 3, ofOne: 2 } });
    for (const name of ['noisy 1', 'noisy 2', 'noisy 3']) void ask(name, 'noisy');
    void ask('quiet', 'quiet');
    expect(begun).toEqual(['noisy 1', 'noisy 2', 'quiet']);
  });

  it('pass on what comes of the work, and go on after it failed', async () => {
    const turns = turnsWith(ONE_BY_ONE);
    const failing = turns.take('quick', 'ember-lane', async () => {
      throw new Error('the line is down');
    });
    const next = turns.take('quick', 'ember-lane', async () => 'an answer');
    await expect(failing).rejects.toThrow('the line is down');
    expect(await next).toBe('an answer');
  });

  it('give everybody theirs in the end, in the order of asking within a community and never too many at once', async () => {
    const asks = fc.array(
      fc.record({ community: fc.nat(4), kind: fc.constantFrom<Work>('quick', 'long', 'picture') }),
    );
    await fc.assert(
      fc.asyncProperty(
        asks,
        fc.integer({ min: 1, max: 4 }),
        fc.integer({ min: 1, max: 4 }),
        async (asked, inAll, ofOne) => {
          const limit = { inAll, ofOne };
          const turns = turnsWith({ quick: limit, long: limit, picture: limit });
          const underWay: { readonly kind: Work; readonly community: number }[] = [];
          const begun: number[] = [];
          await Promise.all(
            asked.map((ask, at) =>
              turns.take(ask.kind, String(ask.community), async () => {
                begun.push(at);
                underWay.push(ask);
                const alike = underWay.filter(({ kind }) => kind === ask.kind);
                expect(alike.length).toBeLessThanOrEqual(inAll);
                expect(
                  alike.filter(({ community }) => community === ask.community).length,
                ).toBeLessThanOrEqual(ofOne);
                await new Promise((resolve) => setImmediate(resolve));
                underWay.splice(underWay.indexOf(ask), 1);
              }),
            ),
          );
          expect(begun.toSorted((a, b) => a - b)).toEqual(asked.map((_, at) => at));
          for (const kind of ['quick', 'long', 'picture'])
            for (let community = 0; community <= 4; community++) {
              const own = begun.filter(
                (at) => asked[at]?.kind === kind && asked[at]?.community === community,
              );
              expect(own).toEqual(own.toSorted((a, b) => a - b));
            }
        },
      ),
    );
  });
});
