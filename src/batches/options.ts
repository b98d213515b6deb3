import { type Option, parsed, shorten, unreadable } from '../chat/option.js';
import { choice, words } from '../chat/options.js';

/** Options that only batches have. */

const TASTES = ['clean', 'beefy', 'fried', 'smoky', 'sour', 'gritty'] as const;
export const TASTE_WORDS = TASTES.join(', ');

export const taste = (): Option<string[], false> => ({
  description: `How it tastes: ${TASTE_WORDS}`,
  required: false,
  entry: { kind: 'text', maxLength: 80 },
  example: 'clean, beefy',
  suggests: false,
  parse: (text) => {
    const named = text
      .toLowerCase()
      .split(/[\s,;]+/)
      .filter((word) => word !== '' && word !== 'and');
    const stranger = named.find((word) => !TASTES.some((one) => one === word));
    if (stranger !== undefined) return unreadable(`“${shorten(stranger, 30)}” is not one of ${TASTE_WORDS}.`);
    return parsed([...new Set(named)]);
  },
});

const MOST_NOTE = 300;

export const note = (): Option<string, false> => {
  const line = words({
    description: 'Anything worth remembering',
    required: false,
    maxLength: MOST_NOTE,
    example: 'brisket trim',
  });
  return { ...line, parse: (text) => line.parse(lineBreaksShown(text)) };
};

/** A note is one line; where it was broken stays to be seen, as long as there is room. */
function lineBreaksShown(text: string): string {
  const shown = text
    .split('\n')
    .map((line) => line.trim())
    .filter((line) => line !== '')
    .join(' / ');
  return [...shown].length <= MOST_NOTE ? shown : text;
}

export const WEIGHED_AS = ['disc', 're-melted'] as const;

export const weighedAs = () =>
  choice({
    description: 'The tallow when it was weighed',
    required: false,
    choices: [
      { value: 'disc', label: 'The chilled disc, scraped' },
      { value: 're-melted', label: 'Re-melted and dried' },
    ],
  });

export const date = (description: string) =>
  words({ description, required: false, maxLength: 40, example: 'yesterday' });
