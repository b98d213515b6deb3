import { describe, expect, it } from 'vitest';
import { type Picture, reply, withPicture } from '../../src/chat/reply.js';

const told = reply({ title: 'Yield by method', lines: ['Oven and open pot: alike.'] });
const picture: Picture = { png: new Uint8Array([1]), name: 'yield.png', alt: 'Two bars.' };

describe('an answer with a picture', () => {
  it('has it once it is drawn', async () => {
    const failures: unknown[] = [];
    expect(await withPicture(told, Promise.resolve(picture), (error) => failures.push(error))).toEqual({
      ...told,
      picture,
    });
    expect(failures).toEqual([]);
  });

  it('is given without it where it could not be drawn, says so, and the log hears why', async () => {
    const failures: unknown[] = [];
    const hung = new Error('took longer than 20 s');
    const shown = await withPicture(told, Promise.reject(hung), (error) => failures.push(error));
    expect(shown.picture).toBeUndefined();
    expect(shown.lines).toEqual([...told.lines, 'The picture could not be drawn this time.']);
    expect(failures).toEqual([hung]);
  });

  it('says nothing of a picture where there is none to draw', async () => {
    expect(await withPicture(told, undefined, () => {})).toEqual(told);
  });
});
