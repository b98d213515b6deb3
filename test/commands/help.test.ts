import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { anyChannel, openTalk, type Talk } from '../support/talk.js';

let talk: Talk;
beforeAll(async () => {
  talk = await openTalk();
});
afterAll(() => talk.close());

const direct = { where: 'direct' } as const;

const suggested = (typed: string, where: 'server' | 'direct' = 'server') =>
  talk.conversation.suggest(
    ['help'],
    'about',
    typed,
    {},
    {
      member: { id: 'a', name: 'a', mayManage: false },
      community: 'ember-lane',
      where,
      channel: undefined,
      interaction: 'i',
      now: new Date(),
      platform: anyChannel,
      application: 'terminal',
    },
  );
const values = async (typed: string) => (await suggested(typed)).map(({ value }) => value);

describe('/help', () => {
  it('lists every command on a server', async () => {
    const { lines } = await talk.ask('/help');
    for (const { name, description } of talk.conversation.commands)
      expect(lines).toContain(`/${name}: ${description}.`);
  });

  it('lists in a direct message what works there, and names the rest as for a server', async () => {
    const { lines } = await talk.ask('/help', direct);
    const onServers = talk.conversation.commands.filter(({ where }) => where === 'server');
    expect(onServers.length).toBeGreaterThan(0);
    for (const { name } of onServers)
      expect(lines.filter((line) => line.startsWith(`/${name}:`))).toEqual([]);
    expect(lines).toContain('On a server only: /batch, /yield, /tasting, /weekly, /settings.');
    expect(lines.some((line) => line.startsWith('/water: '))).toBe(true);
  });

  it.each([
    ['wat', ['water']],
    ['pool', ['yield pooled']],
    ['/batch c', ['batch correct']],
    ['YIELD n', ['yield next']],
    ['batch log', ['batch log']],
    ['nothing like it', []],
  ])('suggests by any part of a command’s words: %s', async (typed, expected) => {
    expect((await values(typed)).slice(0, expected.length || 1)).toEqual(expected);
  });

  it('suggests the commands while nothing is typed, and only what it then explains', async () => {
    expect(await values('')).toEqual(talk.conversation.commands.map(({ name }) => name));
    for (const { value, label } of await suggested('a')) {
      expect(label.startsWith(`/${value}: `)).toBe(true);
      const { title, lines } = await talk.ask(`/help about:"${value}"`);
      expect(title).toBe(`/${value}`);
      expect(lines[0]).toContain(`/${value}`);
    }
  });

  it('explains one subcommand of a command alone, or the whole command where there is no such subcommand', async () => {
    const one = (await talk.ask('/help about:"batch remove"')).lines.join('\n');
    expect(one).toContain('/batch remove');
    expect(one).not.toContain('/batch log');
    expect((await talk.ask('/help about:"/batch nonsense"')).title).toBe('/batch');
  });
});
