import { describe, expect, it } from 'vitest';
import { tableLines } from '../../src/chat/plain-text.js';

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
