import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Reply } from '../../src/chat/reply.js';
import { openTalk, type Talk } from '../support/talk.js';

let talk: Talk;
beforeAll(async () => {
  talk = await openTalk();
  await talk.ask('/kit add vessel:"Grandmother’s kettle" capacity:"12 qt" diameter:"11 in"', COOK);
  await talk.ask('/kit add vessel:"Blue enamel" kind:pressure-cooker capacity:"16 qt"', COOK);
  await talk.ask('/kit add burner:"1700 W" burner-kind:induction altitude:"5150 ft" price:0.4321', COOK);
  await talk.ask('/kit add fat-temperature:"39 °F" water-temperature:"61 °F"', COOK);
});
afterAll(() => talk.close());

const COOK = { as: 'Sorrel' };
const OTHER = { as: 'Ben' };

/** What the kit says of itself, as replies would spell it. */
const KIT = [
  'Grandmother',
  'Blue enamel',
  '1700 W',
  'induction',
  '5150',
  '1570 m',
  '0.4321',
  '39 °F',
  '61 °F',
];

const LINES = [
  '/water fat:"5 lb"',
  '/water fat:"30 lb"',
  '/water fat:60kg vessel:100qt',
  '/water fat:2lb method:pressure',
  '/plan fat:"5 lb" by:"Saturday 6pm"',
  '/plan tallow:"6 cups"',
  '/plan fat:2lb method:pressure',
  '/yield next',
];

const read = ({ title, lines, sources, caution, cautions }: Reply) =>
  JSON.stringify([title, lines, sources, caution, cautions]);
const workingIds = ({ actions }: Reply) =>
  actions.filter(({ label }) => label === 'Show the working').map(({ id }) => id);

describe('what others see of a cook’s kit', () => {
  it.each(LINES)('is not what is in it: %s', async (line) => {
    const reply = await talk.ask(line, COOK);
    expect(reply.audience).toBe('everyone');
    for (const part of KIT) expect(read(reply)).not.toContain(part);
    // Whoever knows the cost and the energy knows the price.
    expect(read(reply)).not.toContain('costs 0');
    // The id of a button can be read by everybody who sees the message.
    for (const id of workingIds(reply)) expect(id).toMatch(/^v1\|[\w-]+\.working\|working-[\w-]+$/);
  });

  it.each(LINES.slice(0, -1))('is not in a working that they open: %s', async (line) => {
    const [id] = workingIds(await talk.ask(line, COOK));
    const refused = await talk.refuse(`press:${id}`, OTHER);
    expect(refused.title).toBe('Only for whoever asked');
    for (const part of KIT) expect(refused.text).not.toContain(part);
    await talk.refuse(`press:${id}`, { ...OTHER, admin: true });
    const own = await talk.ask(`press:${id}`, COOK);
    expect(own.audience).toBe('only you');
    expect(read(own)).toContain('From the kit: ');
  });

  it('is not in the working of a plan that assumes a burner, which still goes by how cold their fat is', async () => {
    const cook = { as: 'Lovage' };
    await talk.ask('/kit add fat-temperature:"39 °F"', cook);
    const [id] = workingIds(await talk.ask('/plan fat:"5 lb"', cook));
    expect((await talk.refuse(`press:${id}`, OTHER)).title).toBe('Only for whoever asked');
    expect((await talk.ask(`press:${id}`, cook)).audience).toBe('only you');
  });

  it('cannot be had by way of another command’s working', async () => {
    const [id = ''] = workingIds(await talk.ask('/water fat:"5 lb"', COOK));
    for (const name of ['plan', 'smoke', 'blend-butter', 'blend-salted'])
      expect((await talk.refuse(`press:${id.replace('water', name)}`, OTHER)).title).toBe(
        'Only for whoever asked',
      );
  });

  it('is what the cook said themselves', async () => {
    const reply = await talk.ask(
      '/water fat:"5 lb" vessel:"grandmother’s kettle" altitude:"5150 ft" burner:"1700 W" price:0.4321',
      COOK,
    );
    for (const part of ['Grandmother’s kettle', '5150 ft', '1700 W', 'which costs'])
      expect(read(reply)).toContain(part);
  });

  it('is nothing where the kit is empty: everybody may open the working', async () => {
    const [id] = workingIds(await talk.ask('/water fat:"5 lb"', OTHER));
    expect((await talk.ask(`press:${id}`, COOK)).audience).toBe('only you');
  });

  it('is told to the cook in the working, the cost too', async () => {
    const [id] = workingIds(await talk.ask('/water fat:"5 lb"', COOK));
    const working = read(await talk.ask(`press:${id}`, COOK));
    for (const part of ['Grandmother’s kettle', '5150 ft', '1700 W', '0.4321', 'Cost '])
      expect(working).toContain(part);
  });

  it('cannot be put into the mouth of a button', async () => {
    const refused = await talk.refuse('press:v1|water.working|fat=5+lb|*vessel=12+qt', OTHER);
    expect(refused.title).toBe('That button is out of date');
  });
});
