import type { KyselyPlugin } from 'kysely';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { allCommands } from '../../commands/index.js';
import type { Answer } from '../../src/chat/command.js';
import { converse } from '../../src/chat/dispatch.js';
import { readLine } from '../../src/console/line.js';
import { drawnHere, type Pictures } from '../../src/pictures/pictures.js';
import { anyChannel, NOW, openTalk, type Talk } from '../support/talk.js';

let talk: Talk;
let drawn = 0;
let read: string[] = [];
let asked = 0;
/** What keeps pictures from being drawn just now. */
let broken: Error | undefined;
let reported: unknown[] = [];

const counted: Pictures = {
  async yields(picture) {
    drawn += 1;
    if (broken) throw broken;
    return drawnHere.yields(picture);
  },
  async scatter(picture) {
    drawn += 1;
    if (broken) throw broken;
    return drawnHere.scatter(picture);
  },
};
/** Hears of every query. */
const heard: KyselyPlugin = {
  transformQuery({ node }) {
    read.push(node.kind);
    return node;
  },
  transformResult: async ({ result }) => result,
};

let ask: (line: string, community?: string) => Promise<Answer>;
beforeAll(async () => {
  talk = await openTalk();
  for (const [at, tallow] of ['900 g', '950 g', '880 g', '940 g', '870 g', '910 g'].entries())
    for (const community of ['ember-lane', 'elsewhere'])
      await talk.ask(
        `/batch log fat:"2 kg" tallow:"${tallow}" minutes:"${2 + at} h" method:${at % 2 === 0 ? 'oven' : 'open-pot'} cut:ground`,
        { as: `cook ${at % 3}`, community },
      );
  const conversation = converse(allCommands(talk.db.withPlugin(heard), undefined, counted), (error) =>
    reported.push(error),
  );
  ask = async (line, community = 'ember-lane') => {
    const request = readLine(line);
    if (!request.ok) throw new Error(request.problem);
    return conversation.answer(request.request, {
      member: { id: 'cook 1', name: 'cook 1', mayManage: false },
      community,
      where: 'server',
      channel: undefined,
      interaction: `asked ${++asked}`,
      now: new Date(NOW),
      platform: anyChannel,
      application: 'terminal',
    });
  };
});
afterAll(async () => {
  await talk.close();
  expect(reported).toEqual([]);
});

const NOT_DRAWN = 'The picture could not be drawn this time.';

describe('an answer that was worked out before', () => {
  it('is the same picture, drawn once while no batch changes, for each comparison and community', async () => {
    const first = await ask('/yield compare by:method');
    expect(first).toMatchObject({ picture: { name: 'yield-by-method.png' } });
    expect(await ask('/yield compare by:method')).toEqual(first);
    expect(drawn).toBe(1);
    await Promise.all([ask('/yield compare by:weight'), ask('/yield compare by:weight')]);
    await ask('/yield compare by:method', 'elsewhere');
    expect(drawn).toBe(3);
  });

  it('is worked out again, picture and all, after the next batch', async () => {
    const before = await ask('/yield compare by:method');
    drawn = 0;
    await ask('/batch log fat:"2 kg" tallow:"700 g" minutes:"3 h" method:oven cut:ground');
    expect(await ask('/yield compare by:method')).not.toEqual(before);
    expect(drawn).toBe(1);
  });

  it('leaves /water with the revision, the kit and the season to read', async () => {
    const first = await ask('/water fat:"4 lb 8 oz" method:oven');
    read = [];
    expect(await ask('/water fat:"4 lb 8 oz" method:oven')).toEqual({
      ...first,
      actions: [expect.objectContaining({ label: 'Show the working' })],
    });
    expect(read.filter((kind) => kind === 'SelectQueryNode')).toHaveLength(3);
  });
});

describe('an answer whose picture cannot be drawn', () => {
  it.each(['compare by:cut', 'compare by:time', 'mine'])('is given without it: /yield %s', async (line) => {
    if (line === 'compare by:cut')
      await ask('/batch log fat:"2 kg" tallow:"600 g" minutes:"3 h" method:oven cut:cubed');
    broken = new Error('the thread took longer than 20 s');
    const without = await ask(`/yield ${line}`);
    expect(without).toMatchObject({ kind: 'reply', lines: expect.arrayContaining([NOT_DRAWN]) });
    expect(without).not.toHaveProperty('picture');
    expect(reported).toEqual([broken]);
    reported = [];
    broken = undefined;
    const next = await ask(`/yield ${line}`);
    if (next.kind !== 'reply') throw new Error(next.title);
    const { picture, ...told } = next;
    expect(picture).toBeDefined();
    expect(without).toEqual({ ...told, lines: [...told.lines, NOT_DRAWN] });
  });
});
