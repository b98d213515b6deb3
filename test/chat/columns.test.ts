import { describe, expect, it } from 'vitest';
import { oneLine } from '../../src/chat/clean.js';
import { columnsOf } from '../../src/chat/columns.js';
import { tableLines } from '../../src/chat/plain-text.js';

// Unicode Standard Annex #11, East Asian Width: wide and fullwidth characters take two columns; UTS #51: so do emoji.
describe('the columns that a text takes', () => {
  it.each([
    ['Annette', 7],
    ['Zoe\u0308', 3],
    ['油脂', 4],
    ['ラード', 6],
    ['🥩', 2],
    ['👩\u200d🍳', 2],
    ['ไขมัน', 4],
  ])('are those it is shown in: %s', (text, columns) => {
    expect(columnsOf(text)).toBe(columns);
  });
});

describe('a table', () => {
  it('keeps its columns under each other whatever the names are', () => {
    const names = ['Ann', '油脂', `Z${'\u0300\u0301'.repeat(30)}`, '👩\u200d🍳 Bo'];
    const lines = tableLines({
      columns: [
        { title: 'Cook', align: 'left' },
        { title: 'Fat', align: 'right' },
      ],
      rows: names.map((name) => [oneLine(name), '1 kg']),
    });
    expect(new Set(lines.map(columnsOf))).toEqual(new Set([11]));
    // As long on paper as on the screen, but for what a letter is made of.
    expect(Math.max(...lines.map(({ length }) => length))).toBeLessThan(20);
  });
});
