import { describe, expect, it } from 'vitest';
import { oneLine } from '../../src/chat/clean.js';
import { columnsOf, tableLines } from '../../src/chat/plain-text.js';

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

// The widths of East Asian letters and of emoji: Unicode Standard Annex 11, East Asian Width, “wide” and “fullwidth”.
describe('a table in monospaced type', () => {
  it.each([
    ['marks take no room', 'Zo\u0301e\u0308', 3],
    ['many marks neither', 'Z\u0301\u0302\u0303\u0304', 1],
    ['letters of East Asia take two columns', '牛脂', 4],
    ['Hangul too', '우지', 4],
    ['so does an emoji, however it is made', '👩🏽‍🍳', 2],
  ])('stands straight: %s', (_what, name, columns) => {
    const [head = '', row = ''] = tableLines({
      columns: [
        { title: 'Cook of the batch', align: 'left' },
        { title: 'Fat', align: 'right' },
      ],
      rows: [[name, '1 kg']],
    });
    const gap = row.slice(name.length).match(/^ +/)?.[0].length;
    expect(gap).toBe(head.indexOf('Fat') - 1 - columns);
  });
});
