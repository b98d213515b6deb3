import { escapeMarkdown } from 'discord.js';

const ZERO_WIDTH_SPACE = '\u200b';

/**
 * Text that shows as it was typed: no formatting, headings, lists, quotes, masked links, mentions or timestamps.
 * It stays on its line.
 */
export function escapeText(text: string): string {
  return escapeMarkdown(text.replace(/[\r\n]+/g, ' '), {
    heading: true,
    bulletedList: true,
    numberedList: true,
    maskedLink: true,
  })
    .replace(/<(?=[@#:/a-z\d!&])/gi, `<${ZERO_WIDTH_SPACE}`)
    .replace(/@(?=everyone|here|[\d!&])/gi, `@${ZERO_WIDTH_SPACE}`)
    .replace(/^(\s*)(>|-#)/, `$1\\$2`);
}

/** Text for a code block: it cannot close the block. */
export function escapeCode(text: string): string {
  return text.replace(/[\r\n]+/g, ' ').replaceAll('`', 'ˋ');
}
