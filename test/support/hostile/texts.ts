import type { Random } from './random.js';

/** Names that every JavaScript object answers to. */
export const NAMES_OF_OBJECTS = [
  '__proto__',
  'constructor',
  'prototype',
  'hasOwnProperty',
  'toString',
  'valueOf',
  '__defineGetter__',
] as const;

/** Numbers as nobody means them. */
export const ODD_NUMBERS = [
  'NaN',
  'Infinity',
  '-Infinity',
  'abc',
  '',
  ' ',
  '0',
  '-0',
  '-1',
  '1.5',
  '1e3',
  '1e21',
  '1e999',
  '0.0000001',
  '2147483648',
  '9007199254740993',
  '99999999999999999999',
  '0x10',
  '1_000',
  '١٢',
  '1,5',
  '٠',
  'null',
  'undefined',
  '[object Object]',
] as const;

/** Characters that hide, move the cursor, change the direction, pile up or are only half there. */
export const ODD_CHARACTERS = [
  '\0',
  '\u0007',
  '\b',
  '\u001b[31m',
  '\u001b]0;title\u0007',
  '\u007f',
  '\u009b',
  '\r',
  '\n',
  '\t',
  '\u2028',
  '\u200b',
  '\u200d',
  '\u202e',
  '\ufeff',
  '\ud800',
  '\udfff',
  '\u0301'.repeat(40),
  '😀',
  '👩‍🍳',
  '𝟚',
  '½',
  '"',
  "'",
  '“',
  '\\',
  '|',
  '`',
  '@everyone',
  '<@1>',
  '#',
  '%00',
  '%',
  '*',
  '~',
  '!',
  '=',
  ':',
  "'; drop table batches; --",
  '$' + '{1}',
  '{{1}}',
] as const;

/** Longer than what any adapter lets through. */
const LONGEST = 200_000;

/** A text with something changed in it that a person or a forger could change. */
export const twisted = (text: string, random: Random): string => twist(text, random).slice(0, LONGEST);

function twist(text: string, random: Random): string {
  const at = random.below(text.length + 1);
  switch (random.below(9)) {
    case 0:
      return random.pick(ODD_NUMBERS);
    case 1:
      return text.slice(0, at) + random.pick(ODD_CHARACTERS) + text.slice(at);
    case 2:
      return random.pick(ODD_CHARACTERS);
    case 3:
      return text.slice(0, at);
    case 4:
      return text + text.slice(at);
    case 5:
      return text.replace(/\d+/, () => random.pick(ODD_NUMBERS));
    case 6:
      return random.pick(NAMES_OF_OBJECTS);
    case 7:
      return `${text}${random.pick([' ', '0', 'x', '😀', '\u0301', ' a:', '.'])}`.repeat(
        1 + random.below(2000),
      );
    default:
      return anything(random);
  }
}

/** Any text at all, from every part of Unicode. */
export function anything(random: Random): string {
  const ends = [0x80, 0x100, 0x3000, 0x10000];
  return Array.from({ length: random.below(40) }, () =>
    String.fromCharCode(random.below(random.pick(ends))),
  ).join('');
}
