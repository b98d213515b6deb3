import { describe, expect, it } from 'vitest';
import { setStage } from './stage.js';

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
