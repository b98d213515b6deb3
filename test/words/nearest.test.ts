import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { nearest } from '../../src/words/nearest.js';

const WORDS = ['fire', 'burn', 'now', 'water', 'batch', 'ground', 'minced'];

describe('the word that was meant', () => {
  it.each([
    ['fire', 'fire'],
    ['FIRE', 'fire'],
    ['fier', 'fire'],
    ['fyre', 'fire'],
    ['fires', 'fire'],
    ['brun', 'burn'],
    ['burnn', 'burn'],
    ['watr', 'water'],
    ['gorund', 'ground'],
    ['now', 'now'],
  ])('%s is %s', (typed, meant) => {
    expect(nearest(typed, WORDS)).toBe(meant);
  });

  it.each(['how', 'nwo', 'fish', 'firework', '', 'nonsense'])('nothing is near to “%s”', (typed) => {
    expect(nearest(typed, WORDS)).toBeUndefined();
  });

  it('is none where two are as near', () => {
    expect(nearest('barn', ['burn', 'bark', 'bard'])).toBeUndefined();
  });

  it('is found after any one slip in a long word', () => {
    const letters = fc.constantFrom(...'abcdefghijklmnopqrstuvwxyz');
    const slip = fc.tuple(fc.nat(5), letters, fc.constantFrom('swap', 'drop', 'add', 'change'));
    fc.assert(
      fc.property(slip, ([at, letter, how]) => {
        const word = 'ground';
        const slips = {
          swap: word.slice(0, at) + (word[at + 1] ?? '') + (word[at] ?? '') + word.slice(at + 2),
          drop: word.slice(0, at) + word.slice(at + 1),
          add: word.slice(0, at) + letter + word.slice(at),
          change: word.slice(0, at) + letter + word.slice(at + 1),
        };
        expect(nearest(slips[how as keyof typeof slips], WORDS)).toBe(word);
      }),
    );
  });
});
