import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { oneLine } from '../../src/chat/clean.js';
import { escapeCode, escapeText } from '../../src/discord/escape.js';

/** What Discord shows of an escaped text: a backslash before anything but a letter, digit or space vanishes. */
const shown = (escaped: string) => escaped.replace(/\\([^0-9A-Za-z\s])/g, '$1').replaceAll('\u200b', '');
/** What is left for Discord to read as formatting; an escaped character is as good as a letter. */
const bare = (escaped: string) => escaped.replace(/\\[^0-9A-Za-z\s]/g, 'x');

// Discord, Message Formatting and "Markdown Text 101": what each piece would do if it were not escaped.
const MARKUP = [
  ['bold', '**fat**'],
  ['italics', '*fat* _fat_'],
  ['underline', '__fat__'],
  ['strike-through', '~~fat~~'],
  ['a spoiler', '||fat||'],
  ['inline code', '`fat` ``fat``'],
  ['a code block', '```js\nfat\n```'],
  ['a masked link', '[fat](http://example.org)'],
  ['a masked link in brackets', 'x [y [fat](http://example.org)'],
  ['a heading', '# fat'],
  ['a small heading', '### fat'],
  ['small print', '-# fat'],
  ['a bulleted list', '- fat'],
  ['a numbered list', '12. fat'],
  ['a quote', '> fat'],
  ['a long quote', '>>> fat'],
  ['a mention of a member', '<@123456789012345678>'],
  ['a mention of a role', '<@&123456789012345678>'],
  ['a mention of a channel', '<#123456789012345678>'],
  ['a mention of a command', '</water:123456789012345678>'],
  ['a time that counts down', '<t:1700000000:R>'],
  ['an emoji of a server', '<:tallow:123456789012345678>'],
  ['an emoji by name', ':fire:'],
  ['an emoji by a number', ':100: :1234:'],
  ['a thumb up or down', ':+1: :-1:'],
  ['a ping of everyone', '@everyone @here'],
  ['an escape', '\\*fat\\*'],
] as const;

const FORMATTING =
  /\*|_|~~|\|\||`|\[|<[@#/t:a]|^\s*(#{1,3}|-#|[-+*]|>|>>>|\d+[.)])\s|@everyone|@here|:(?:[a-z]+|100|1234|[+-]1):/i;

describe('a person’s words on Discord', () => {
  it.each(MARKUP)('show as typed instead of making %s', (_what, typed) => {
    const escaped = escapeText(typed);
    expect(bare(escaped)).not.toMatch(FORMATTING);
    expect(shown(escaped)).toBe(oneLine(typed));
  });

  it('keep addresses that Discord makes links of', () => {
    const address = 'https://example.org/a_b_c/~x?y=1&z=2#top';
    expect(escapeText(`see ${address} and *this*`)).toBe(`see ${address} and \\*this\\*`);
  });

  it('show an address as plain text where it holds what would format', () => {
    expect(escapeText('http://example.org/[x](http://example.com)')).toContain('http\\://');
    expect(escapeText('http://example.org/**x**')).toContain('\\*\\*');
  });

  it('are left alone when there is nothing in them to escape', () => {
    const plain =
      'Batch 3: 48 % of 4 lb 8 oz (about 1.5 cups), 10:30 to 12:15:30, 10:100; 5 - 6 = -1, 1.5 kg > 1 kg';
    expect(escapeText(plain)).toBe(plain);
  });

  it('never format and always show as typed, whatever they are', () => {
    const piece = fc.constantFrom(
      ...MARKUP.map(([, typed]) => typed),
      '\\',
      '[',
      '](',
      '*',
      '_',
      '`',
      '<',
      ' ',
    );
    const anything = fc.oneof(
      fc.string({ unit: 'grapheme', maxLength: 60 }),
      fc.array(piece, { maxLength: 8 }).map((pieces) => pieces.join('')),
    );
    fc.assert(
      fc.property(anything, (typed) => {
        const escaped = escapeText(typed);
        const outsideLinks = bare(escaped).replace(/https?:\/\/[^\s<]+/gi, '');
        expect(outsideLinks).not.toMatch(/\*|_|~~|\|\||`|\[|<|@everyone|@here|^(#{1,3}|-#|[-+]|>|>>>)\s/i);
        expect(shown(escaped)).toBe(oneLine(typed).replaceAll('\u200b', ''));
      }),
      { numRuns: 500 },
    );
  });
});

describe('words in a code block', () => {
  it('cannot close it', () => {
    fc.assert(
      fc.property(fc.stringMatching(/^[`\n\r a]{0,40}$/), (typed) => {
        expect(escapeCode(typed)).not.toMatch(/[`\n\r]/);
      }),
    );
  });
});
