import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cleanGiven, cleanOrigin, cleanRequest, oneLine, visible } from '../../src/chat/clean.js';
import { anyChannel } from '../support/talk.js';

/** Any sequence of UTF-16 units, so halves of characters too, with more of those that hide than chance would give. */
const anyText = fc
  .array(
    fc.oneof(
      fc.integer({ min: 0, max: 0xffff }).map((unit) => String.fromCharCode(unit)),
      fc.constantFrom('\0', '\u001b', '\u0301', '\u200d', '\ud83d', '\ude00', '\u202e', '\r', '\n', ' ', 'a'),
    ),
    { maxLength: 60 },
  )
  .map((parts) => parts.join(''));

const HIDDEN =
  /(?![\t\n])\p{Cc}|\p{Surrogate}|[\u200b\u200e\u200f\u202a-\u202e\u2028\u2029\u2060-\u2069\ufeff]/u;

describe('text that comes in', () => {
  it('loses what cannot be seen, and nothing more at a second look', () => {
    fc.assert(
      fc.property(anyText, (text) => {
        const seen = visible(text);
        expect(seen).not.toMatch(HIDDEN);
        expect(seen).not.toMatch(/\p{Mark}{6}/u);
        expect(visible(seen)).toBe(seen);
        expect(oneLine(text)).not.toMatch(/[\t\n]| {2}|^ | $/);
        expect(oneLine(oneLine(text))).toBe(oneLine(text));
      }),
      { numRuns: 3000 },
    );
  });

  it.each([
    ['line breaks of every kind', 'a\r\nb\rc\u2028d\u0085e', 'a\nb\nc\nd\ne'],
    ['letters of every script', 'naïve 牛脂 жир שׁוּמָן ไขมัน 👩🏽‍🍳 🏴󠁧󠁢󠁥󠁮󠁧󠁿', 'naïve 牛脂 жир שׁוּמָן ไขมัน 👩🏽‍🍳 🏴󠁧󠁢󠁥󠁮󠁧󠁿'],
    ['the marks that a language needs', 'e\u0323\u0302 Z\u0301\u0301', 'e\u0323\u0302 Z\u0301\u0301'],
  ])('keeps %s', (_what, text, kept) => {
    expect(visible(text)).toBe(kept);
  });

  it('is cleaned wherever it stands in a request', () => {
    expect(
      cleanRequest({ kind: 'command', path: ['wa\0ter'], given: { 'f\u001bat': '4\0 lb\ud800' } }),
    ).toEqual({ kind: 'command', path: ['water'], given: { fat: '4 lb' } });
    expect(cleanRequest({ kind: 'press', id: 'v1|a|\0', fields: { note: 'one\r\ntwo\u202e' } })).toEqual({
      kind: 'press',
      id: 'v1|a|',
      fields: { note: 'one\ntwo' },
    });
  });

  it('is cleaned in the names of members and communities; a member without a name goes by their id', () => {
    const origin = {
      member: { id: 'id\0', name: '\u200b\u202e', mayManage: false },
      community: 'ember\u001b[31m-lane',
      where: 'server',
      channel: 'a\ud800',
      interaction: 'one\0',
      now: new Date(0),
      platform: anyChannel,
      application: 'terminal',
    } as const;
    expect(cleanOrigin(origin)).toMatchObject({
      member: { id: 'id', name: 'id' },
      community: 'ember[31m-lane',
      channel: 'a',
      interaction: 'one',
    });
    const zalgo = { ...origin, member: { ...origin.member, name: `Z${'\u0300\u0301'.repeat(30)}` } };
    expect([...cleanOrigin(zalgo).member.name]).toHaveLength(3);
  });

  it('has names of its own only', () => {
    const given = cleanGiven(JSON.parse('{"__proto__": "a", "constructor": "b"}'));
    expect(Object.keys(given)).toEqual(['__proto__', 'constructor']);
    expect(Object.getPrototypeOf(given)).toBe(null);
    expect(given.toString).toBeUndefined();
  });
});

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
