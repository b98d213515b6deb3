import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { numberIn, openTalk, type Talk } from '../support/talk.js';

// NIST Handbook 44, appendix C: a quart is 946.352946 mL; NIST SP 811, appendix B: a foot is 0.3048 m.
const ML_PER_QT = 946.352946;

let talk: Talk;
beforeAll(async () => {
  talk = await openTalk();
});
afterAll(() => talk.close());

describe('/kit', () => {
  it('starts empty and says how to begin', async () => {
    const reply = await talk.ask('/kit list', { as: 'Yarrow' });
    expect(reply.title).toBe('Your kit is empty');
    expect(reply.lines.join(' ')).toContain('/kit add');
  });

  it('keeps vessels and the kitchen, seen only by their owner', async () => {
    await talk.ask('/kit add vessel:"stock pot" capacity:"12 qt" diameter:"11 in"');
    const reply = await talk.ask(
      '/kit add altitude:"5280 ft" burner:"1800 W" burner-kind:electric price:0.17',
    );
    expect(reply.audience).toBe('only you');
    expect(reply.figures).toMatchObject({ vessels: 1, burnerW: 1800, pricePerKWh: 0.17 });
    expect(numberIn(reply, 'altitudeM')).toBeCloseTo(1609.344, 9);
    const list = await talk.ask('/kit list');
    expect(list.figures).toEqual(reply.figures);
    expect(list.figures.capacitiesMl).toEqual([12 * ML_PER_QT]);
    expect(list.lines.join('\n')).toContain('stock pot: pot, 12 qt');
    expect((await talk.ask('/kit list', { as: 'Sorrel' })).figures.vessels).toBe(0);
    expect((await talk.ask('/kit list', { community: 'elsewhere' })).figures.vessels).toBe(0);
  });

  it('takes a vessel for what its name says, unless told, and changes only what is said of it later', async () => {
    const speaking = { as: 'Mallow' };
    const kinds = async (line: string) => (await talk.ask(line, speaking)).lines.join('\n');
    expect(await kinds('/kit add vessel:"pressure cooker" capacity:"6 qt"')).toContain(
      'pressure cooker: pressure cooker, 6 qt',
    );
    expect(await kinds('/kit add vessel:"slow one" capacity:"5 qt"')).toContain('slow one: slow cooker');
    expect(await kinds('/kit add vessel:old capacity:"8 qt"')).toContain('old: pot, 8 qt');
    expect(await kinds('/kit add vessel:old kind:pressure-cooker')).toContain('old: pressure cooker, 8 qt');
    const water = await talk.ask('/water fat:2lb vessel:"pressure cooker"', speaking);
    expect(water.lines[0]).toContain('Pressure cooker, wet');
  });

  it.each([
    ['$0.30', 0.3],
    ['0.30 €', 0.3],
    ['£0.27', 0.27],
    ['0,30€', 0.3],
    ['0.17', 0.17],
  ])('takes a price written “%s”', async (price, pricePerKWh) => {
    const reply = await talk.ask(`/kit add price:"${price}"`, { as: 'Angelica' });
    expect(reply.figures.pricePerKWh).toBe(pricePerKWh);
  });

  it('works in direct messages', async () => {
    const alone = { where: 'direct', community: 'dm-tansy' } as const;
    await talk.ask('/kit add vessel:kettle capacity:3L', alone);
    expect((await talk.ask('/kit list', alone)).figures.vessels).toBe(1);
  });

  it('takes out a vessel or forgets a part of the kitchen', async () => {
    const speaking = { as: 'Dill' };
    await talk.ask('/kit add vessel:crock kind:slow-cooker capacity:6qt altitude:300m', speaking);
    expect((await talk.ask('/kit remove what:CROCK', speaking)).figures).toMatchObject({
      vessels: 0,
      altitudeM: 300,
    });
    expect((await talk.ask('/kit remove what:altitude', speaking)).title).toBe('Your kit is empty');
    expect((await talk.refuse('/kit remove what:altitude', speaking)).text).toContain('Nothing was saved.');
  });

  it('suggests what there is to take out', async () => {
    const speaking = { as: 'Fennel' };
    await talk.ask('/kit add vessel:"big pot" capacity:20qt burner:"15000 BTU/h"', speaking);
    const suggestions = await talk.conversation.suggest(
      ['kit', 'remove'],
      'what',
      'b',
      {},
      {
        member: { id: 'Fennel', name: 'Fennel', mayManage: false },
        community: 'ember-lane',
        where: 'server',
        channel: undefined,
        interaction: 'suggest-1',
        now: new Date(0),
        platform: { channel: async () => undefined, messageLink: () => undefined },
        application: 'terminal',
      },
    );
    expect(suggestions.map(({ value }) => value)).toEqual(['big pot', 'burner']);
  });

  it.each([
    ['vessel:thimble capacity:"10 ml"', '1 qt'],
    ['vessel:tank capacity:"500 L"', '200 L'],
    ['altitude:"20 km"', '6000 m'],
    ['burner:"5 W"', '100 W'],
    ['vessel:pot', 'how much it holds'],
    ['capacity:"8 qt"', 'needs a name'],
    ['vessel:"8 qt" capacity:"8 qt"', 'nothing else has'],
    ['vessel:burner capacity:"8 qt"', 'nothing else has'],
    ['vessel:pot capacity:"8 qt" diameter:"11 m"', '150 cm'],
    ['vessel:pot capacity:"200 L" diameter:"11 cm"', 'wide'],
    ['', '/kit add'],
    ['price:free', '0.17'],
    ['price:-1', '0.17'],
    ['price:30¢', '0.17'],
    ['price:"$0.30 €"', '0.17'],
  ])('refuses “%s” and keeps nothing of it', async (options, words) => {
    const speaking = { as: 'Nettle' };
    const refusal = await talk.refuse(`/kit add ${options}`, speaking);
    expect(refusal.text).toContain(words);
    expect(refusal.text).toContain('Nothing was saved.');
    expect((await talk.ask('/kit list', speaking)).title).toBe('Your kit is empty');
  });

  it('keeps nothing of a request of which a part is wrong', async () => {
    const speaking = { as: 'Comfrey' };
    await talk.refuse('/kit add altitude:300m vessel:pot', speaking);
    expect((await talk.ask('/kit list', speaking)).title).toBe('Your kit is empty');
  });

  it('holds thirty vessels at most', async () => {
    const speaking = { as: 'Borage' };
    for (let number = 1; number <= 30; number++)
      await talk.ask(`/kit add vessel:"pot no ${number}" capacity:${number}qt`, speaking);
    const refusal = await talk.refuse('/kit add vessel:"one more" capacity:8qt altitude:300m', speaking);
    expect(refusal.text).toContain('30 vessels');
    expect((await talk.ask('/kit list', speaking)).figures).toMatchObject({ vessels: 30, altitudeM: null });
  });
});
