import { afterAll, beforeEach, describe, expect, it } from 'vitest';
import { numberIn, openTalk, type Talk } from '../support/talk.js';

let talk: Talk;
beforeEach(async () => {
  await talk?.close();
  talk = await openTalk();
});
afterAll(() => talk.close());

const log = (tallowG: number) => `/batch log fat:1kg tallow:"${tallowG} g" method:oven cut:ground`;

describe('/yield odd', () => {
  it('says that nothing is logged where nothing is', async () => {
    const reply = await talk.ask('/yield odd');
    expect(reply.title).toBe('No batches yet');
    expect(reply.lines.join(' ')).not.toContain('near what');
    expect(numberIn(reply, 'oddBatches')).toBe(0);
  });

  it('says that a few batches are too few to tell', async () => {
    for (const as of ['Bram', 'Odile', 'Tansy']) {
      await talk.ask(log(450), { as });
      await talk.ask(log(470), { as });
    }
    const reply = await talk.ask('/yield odd');
    expect(reply.title).toBe('Too few batches to tell');
    expect(reply.lines[0]).toContain('6 batches from 3 members');
  });

  it('says that every batch is near what its cook gets once there are enough', async () => {
    for (const tallowG of [450, 470, 440, 460, 455, 465, 445]) await talk.ask(log(tallowG));
    expect((await talk.ask('/yield odd')).title).toBe('No odd batches');
  });

  it('names a batch far from the others', async () => {
    for (const tallowG of [450, 470, 440, 460, 455, 465, 445, 120]) await talk.ask(log(tallowG));
    const reply = await talk.ask('/yield odd');
    expect(reply.title).toBe('1 odd batch');
    expect(reply.lines[0]).toContain('#8');
  });
});
