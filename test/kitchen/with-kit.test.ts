import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openTalk, type Talk } from '../support/talk.js';

let talk: Talk;
beforeAll(async () => {
  talk = await openTalk();
  for (const vessel of [
    'vessel:"Stock Pot" capacity:"12 qt"',
    'vessel:pc kind:pressure-cooker capacity:"12 qt"',
    'vessel:crock kind:slow-cooker capacity:"12 qt"',
    'vessel:tray kind:pan capacity:"12 qt"',
  ])
    await talk.ask(`/kit add ${vessel}`);
  await talk.ask('/kit add vessel:cauldron capacity:"12 qt"', { as: 'Sorrel' });
});
afterAll(() => talk.close());

describe.each(['/water fat:4lb', '/plan fat:4lb'])('the method of %s', (line) => {
  it.each([
    ['"stock pot"', 'Open pot, wet'],
    ['pc', 'Pressure cooker, wet'],
    ['crock', 'Slow cooker'],
    ['TRAY', 'Oven, dry'],
  ])('is that of the vessel when none is said: %s', async (vessel, label) => {
    const reply = await talk.ask(`${line} vessel:${vessel}`);
    expect(reply.lines.join('\n')).toContain(`${label}, ground`);
    const working = await talk.ask(`press:${reply.actions[0]?.id}`);
    expect(working.title).toBe(`The working: ${reply.title}`);
    expect(working.lines.join('\n')).toContain(`Method ${label}`);
  });

  it('brings the cautions of the vessel with it', async () => {
    const reply = await talk.ask(`${line} vessel:pc`);
    expect(reply.caution?.id).toBe('pressure-makers-limit');
  });

  it('is refused in a vessel that is not for it, with one of the kit that is', async () => {
    for (const [vessel, method, instead] of [
      ['"stock pot"', 'pressure', 'vessel:pc'],
      ['tray', 'pressure', 'vessel:pc'],
      ['pc', 'open-pot', 'vessel:"Stock Pot"'],
      ['crock', 'oven', 'vessel:'],
      ['pc', 'slow-cooker', 'vessel:crock'],
    ] as const) {
      const refusal = await talk.refuse(`${line} vessel:${vessel} method:${method}`);
      expect(refusal.text).toContain(instead);
      const [, would = ''] = /say (vessel:(?:"[^"]+"|\w+))/.exec(refusal.text) ?? [];
      expect((await talk.hear(`${line} ${would} method:${method}`)).kind).toBe('reply');
      const [, own = ''] = /with (method:[\w-]+)/.exec(refusal.text) ?? [];
      expect((await talk.hear(`${line} vessel:${vessel} ${own}`)).kind).toBe('reply');
    }
  });

  it('says how to add a pressure cooker to a kit that has none', async () => {
    const refusal = await talk.refuse(`${line} vessel:cauldron method:pressure`, { as: 'Sorrel' });
    expect(refusal.text).toContain('kind:pressure-cooker');
    const [add = ''] = /\/kit add .*? capacity:"[^"]+"/.exec(refusal.text) ?? [];
    expect((await talk.hear(add, { as: 'Another' })).kind).toBe('reply');
  });

  it('goes with what fits it besides the usual, and with any size', async () => {
    for (const [vessel, method] of [
      ['"stock pot"', 'oven'],
      ['"stock pot"', 'smoker'],
      ['"12 qt"', 'pressure'],
      ['"12 qt"', 'slow-cooker'],
    ] as const)
      expect((await talk.hear(`${line} vessel:${vessel} method:${method}`)).kind).toBe('reply');
  });
});
