import { describe, expect, it } from 'vitest';
import { oneLine } from '../../src/chat/clean.js';

describe('a person’s words on one line', () => {
  it.each([
    ['a family', '\u{1F468}\u200D\u{1F469}\u200D\u{1F467}\u200D\u{1F466}'],
    ['a cook', '\u{1F469}\u200D\u{1F373}'],
    ['a cook with a skin colour', '\u{1F469}\u{1F3FD}\u200D\u{1F373}'],
    ['a heart on fire', '\u2764\uFE0F\u200D\u{1F525}'],
    ['a Persian word', 'می\u200Cخواهم'],
    ['a Hindi word', 'क्\u200Dष'],
    ['a Vietnamese word in pieces', 'vie\u0323\u0302t'],
    ['a Burmese word', 'ကြွုံ့'],
    ['a Hebrew word with its points', 'שִּׁיר'],
    ['a digit on a key', '1\uFE0F\u20E3'],
  ])('leave %s whole', (_what, text) => {
    expect(oneLine(`x ${text} y`)).toBe(`x ${text} y`);
  });

  it.each([
    ['joiners between Latin letters', 'a\u200Db\u200Cc', 'abc'],
    ['joiners at the ends', '\u200Dabc\u200C', 'abc'],
    ['joiners in a row', 'می\u200C\u200Cخ', 'میخ'],
    ['marks that change the direction', 'a\u202Eb\u200Fc', 'abc'],
    ['line breaks', 'a\r\nb\u2028c', 'a b c'],
    ['heaps of marks', `Z${'\u0300\u0301'.repeat(60)}a`, 'Z\u0300\u0301a'],
    ['heaps of a script’s own marks', `\u0E01${'\u0E47'.repeat(60)}`, `\u0E01${'\u0E47'.repeat(5)}`],
  ])('lose %s', (_what, text, kept) => {
    expect(oneLine(text)).toBe(kept);
  });
});
