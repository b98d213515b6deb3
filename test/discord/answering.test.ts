import { describe, expect, it, vi } from 'vitest';
import type { Fault, RequestKind } from '../support/chat-server/faults.js';
import { onStage, type Stage, setStage } from './stage.js';

const stage = setStage();

describe('an answer that is ready at once', () => {
  it.each([
    ['reply', false],
    ['private', true],
    ['refusal', true],
  ])('is the first answer: a %s', async (kind, ephemeral) => {
    const { standin, alice, start } = stage();
    await start();
    expect(await alice.command(`/quick ${kind}`)).toMatchObject({ deferred: false, ephemeral });
    standin.expectConformant();
  });

  it('is a dialog where it is a form, with what is known filled in', async () => {
    const { standin, alice, start } = stage();
    await start();
    const form = await alice.command('/quick form');
    expect(form.modal).toMatchObject({ title: 'A note', custom_id: 'v1|note' });
    expect(form.modal).toHaveProperty('components.0.component.value', 'begun');
    const noted = await alice.submit(form, { note: 'a *word*' });
    expect(noted.text).toContain('a \\*word\\*');
    standin.expectConformant();
  });
});

describe('an answer that takes longer than a moment', () => {
  it('comes after a waiting notice, for the right eyes, whoever saw the notice', async () => {
    const { standin, alice, start } = stage();
    await start();
    const expected = {
      reply: ['an answer', false],
      shared: ['an answer', false],
      private: ['for one', true],
      refusal: ['Not today', true],
    } as const;
    await Promise.all(
      Object.entries(expected).map(async ([kind, [text, ephemeral]]) => {
        const answer = await alice.command(`/slow ${kind}`);
        expect(answer, kind).toMatchObject({ deferred: true, ephemeral });
        expect(answer.text, kind).toContain(text);
        expect(answer.answeredAfterMs, kind).toBeLessThan(2500);
      }),
    );
    standin.expectConformant();
  });

  it('offers a form as a button that opens it, as often as one likes', async () => {
    const { standin, alice, start } = stage();
    await start();
    const offered = await alice.command('/slow form');
    expect(offered.ephemeral).toBe(true);
    expect((await alice.press(offered, 'Fill it in')).modal).toBeDefined();
    const form = await alice.press(offered, 'Fill it in');
    expect(form.modal).toHaveProperty('components.0.component.value', 'begun');
    expect((await alice.submit(form, { note: 'done' })).text).toContain('Noted');
    standin.expectConformant();
  });
});

describe('a form in answer to a form', () => {
  it('is offered as a button, because a dialog cannot open a dialog', async () => {
    const { standin, alice, start } = stage();
    await start();
    const offered = await alice.submit(await alice.command('/quick form'), { note: 'again' });
    expect(offered.buttons.map(({ label }) => label)).toEqual(['Fill it in']);
    expect((await alice.press(offered, 'Fill it in')).modal).toHaveProperty('custom_id', 'v1|note');
    standin.expectConformant();
  });
});

/** Everything that the bot showed in answer to one interaction, in its channel. */
const shownIn = ({ standin, guild }: Stage) =>
  standin.messages(guild.channel('rendering').id).map(({ body }) => ({
    text: JSON.stringify(body.embeds),
    isPrivate: body.flags === 64,
  }));
const DONE_ALL_THE_SAME = { status: 500, isDone: true } as const;
const FAILED = { status: 502 } as const;
const levelsOf = (log: readonly string[]) => log.map((line) => Number(JSON.parse(line).level));

describe('an answer is shown, and once, whatever becomes of the requests', () => {
  it.concurrent.each<[string, string, RequestKind, readonly Fault[]]>([
    ['the first answer failed though it was taken', 'quick', 'callback', [DONE_ALL_THE_SAME]],
    ['the connection broke under the first answer', 'quick', 'callback', ['drop-before']],
    ['the connection broke after the first answer', 'quick', 'callback', ['drop-after']],
    [
      'something in front of Discord turned the first answer away',
      'quick',
      'callback',
      [{ status: 403, isHtml: true }],
    ],
    ['the first answer was put off by a limit', 'quick', 'callback', [{ status: 429, retryAfter: 0.5 }]],
    ['the waiting notice failed though it was taken', 'slow', 'callback', [DONE_ALL_THE_SAME]],
    ['the waiting notice failed and was not taken', 'slow', 'callback', [FAILED, FAILED]],
    ['the connection broke under the waiting notice', 'slow', 'callback', ['drop-before']],
    ['the connection broke after the waiting notice', 'slow', 'callback', ['drop-after']],
    ['nobody heard anything of the waiting notice', 'slow', 'callback', ['hang']],
    ['a limit put the waiting notice off', 'slow', 'callback', [{ status: 429, retryAfter: 0.9 }]],
    ['nothing was ever heard of a notice that was taken', 'slow', 'callback', Array(9).fill('drop-after')],
    ['the answer in its place failed though it was taken', 'slow', 'edit of an answer', [DONE_ALL_THE_SAME]],
    [
      'the connection broke under the answer in its place',
      'slow',
      'edit of an answer',
      ['drop-before', FAILED],
    ],
    [
      'a limit put the answer in its place off',
      'slow',
      'edit of an answer',
      [{ status: 429, retryAfter: 1 }],
    ],
  ])('when %s', async (_what, speed, kind, faults) => {
    await onStage(async (stage) => {
      const { standin, alice, log, start } = stage;
      await start();
      standin.next(kind, ...faults);
      const answer = await alice.command(`/keep ${speed}-shared`);
      expect(answer).toMatchObject({ ephemeral: false });
      expect(answer.text).toContain('Batch 12');
      await new Promise((resolve) => setTimeout(resolve, 600));
      expect(shownIn(stage)).toHaveLength(1);
      expect(levelsOf(log).filter((level) => level > 40)).toEqual([]);
      standin.expectConformant();
    });
  });

  it.concurrent.each<[string, RequestKind, readonly Fault[]]>([
    ['the notice that gives way was gone though that failed', 'deletion of an answer', [DONE_ALL_THE_SAME]],
    [
      'the connection broke under taking the notice away',
      'deletion of an answer',
      ['drop-before', 'drop-after'],
    ],
    ['the connection broke under the answer beside it', 'further message', ['drop-before']],
    ['the notice itself failed though it was taken', 'callback', [DONE_ALL_THE_SAME]],
  ])('for one person, when %s', async (_what, kind, faults) => {
    await onStage(async (stage) => {
      const { standin, alice, log, start } = stage;
      await start();
      standin.next(kind, ...faults);
      const answer = await alice.command('/keep slow-private');
      expect(answer).toMatchObject({ ephemeral: true });
      expect(answer.text).toContain('Batch 12');
      expect(shownIn(stage)).toEqual([{ text: expect.stringContaining('Batch 12'), isPrivate: true }]);
      expect(levelsOf(log).filter((level) => level > 40)).toEqual([]);
      standin.expectConformant();
    });
  });

  it.concurrent('when somebody took the waiting notice away', async () => {
    await onStage(async (stage) => {
      const { standin, alice, start } = stage;
      await start();
      standin.next('edit of an answer', { status: 404, code: 10_008 });
      const answer = await alice.command('/keep slow-shared');
      expect(answer.text).toContain('Batch 12');
      standin.expectConformant();
    });
  });
});

describe('an answer for one person', () => {
  it.concurrent('is not shown to everybody when the waiting notice for everybody cannot be taken away', {
    timeout: 40_000,
  }, async () => {
    await onStage(async (stage) => {
      const { standin, alice, start } = stage;
      await start();
      standin.next('deletion of an answer', ...Array<Fault>(5).fill(FAILED));
      await alice.command('/keep slow-private');
      await vi.waitUntil(() => shownIn(stage).length === 2, { timeout: 15_000 });
      const [left, answer] = shownIn(stage);
      expect(left).toMatchObject({ isPrivate: false });
      expect(left?.text).not.toContain('Batch 12');
      expect(answer).toEqual({ text: expect.stringContaining('Batch 12'), isPrivate: true });
      standin.expectConformant();
    });
  });
});

describe('a waiting notice for everybody that can neither be taken away nor changed', () => {
  it.concurrent('never becomes the answer for one person', { timeout: 60_000 }, async () => {
    await onStage(async (stage) => {
      const { standin, alice, log, start } = stage;
      await start();
      standin.next('deletion of an answer', ...Array<Fault>(5).fill(FAILED));
      standin.next('edit of an answer', ...Array<Fault>(5).fill(FAILED));
      await expect(alice.command('/keep slow-private')).rejects.toThrow('did not answer');
      await vi.waitUntil(() => levelsOf(log).includes(50), { timeout: 30_000 });
      const shown = shownIn(stage);
      expect(shown.filter(({ isPrivate }) => !isPrivate)).toEqual([]);
      expect(shown[0]?.text).toContain('Batch 12 is saved. There is no need to send it again.');
    });
  });
});

describe('an answer that cannot be shown', () => {
  it.concurrent.each<[string, string]>([
    ['/keep slow-shared', 'Batch 12 is saved. There is no need to send it again.'],
    ['/keep slow-nothing', 'Nothing was saved. Please try again.'],
    ['/slow reply', 'Please ask again.'],
  ])(
    'is said to be so to whoever asked, and what was saved where something could be: %s',
    { timeout: 60_000 },
    async (line, said) => {
      await onStage(async (stage) => {
        const { standin, alice, log, start } = stage;
        await start();
        standin.next('edit of an answer', ...Array<Fault>(5).fill(FAILED));
        const answer = await alice.command(line);
        expect(answer).toMatchObject({ ephemeral: true });
        expect(answer.text).toContain('could not be shown');
        expect(answer.text).toContain(said);
        expect(answer.text.includes('saved')).toBe(line.startsWith('/keep'));
        const logged = await vi.waitUntil(() =>
          log.map((entry) => JSON.parse(entry)).find(({ level }) => level === 50),
        );
        expect(logged).toMatchObject({ doing: line, status: 502, isSaid: true });
        expect(answer.text).toContain(logged.reference);
        expect(shownIn(stage)).toHaveLength(1);
      });
    },
  );

  it.concurrent('is said to be so at once where Discord refuses it', async () => {
    await onStage(async (stage) => {
      const { standin, alice, start } = stage;
      await start();
      standin.next('callback', { status: 400, code: 50_035 });
      const answer = await alice.command('/keep quick-shared');
      expect(answer).toMatchObject({ ephemeral: true, deferred: false });
      expect(answer.text).toContain('Batch 12 is saved. There is no need to send it again.');
    });
  });
});

describe('a question that comes late', () => {
  it.concurrent('has its waiting notice first, and then its answer', async () => {
    await onStage(async (stage) => {
      const { standin, alice, start } = stage;
      await start();
      const answer = await alice.command('/echo', { text: 'hello' }, { ageMs: 2050 });
      expect(answer).toMatchObject({ deferred: true, ephemeral: false });
      expect(answer.text).toContain('hello');
      standin.expectConformant();
    });
  });

  it.concurrent('is not begun where Discord takes no answer any more', async () => {
    await onStage(async (stage) => {
      const { alice, log, faults, start } = stage;
      await start();
      // What fails tells that it was begun.
      await expect(alice.command('/broken', {}, { ageMs: 4000 })).rejects.toThrow('did not answer');
      await vi.waitUntil(() => log.join('').includes('the answer came too late or twice'));
      expect(faults).toEqual([]);
    });
  });

  it.concurrent('is answered as usual when it is only the clock that is wrong', async () => {
    await onStage(async (stage) => {
      const { standin, alice, start } = stage;
      await start();
      const interactionId = standin.world.newId(Date.now() - 86_400_000);
      const answer = await alice.command('/echo', { text: 'hello' }, { interactionId });
      expect(answer).toMatchObject({ deferred: false });
    });
  });
});
