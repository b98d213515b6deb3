import { type Option, parsed, shorten, unreadable } from '../../src/chat/option.js';
import { choice, words } from '../../src/chat/options.js';
import * as option from '../../src/kitchen/options.js';

export const TASTES = ['clean', 'beefy', 'fried', 'smoky', 'sour', 'gritty'] as const;

const tasteWords: Option<readonly string[], false> = {
  description: `How it tastes: ${TASTES.join(', ')}`,
  required: false,
  entry: { kind: 'text', maxLength: 80 },
  example: 'clean, beefy',
  suggests: false,
  parse: (text) => {
    const named = text
      .toLowerCase()
      .split(/[\s,;]+/)
      .filter((word) => word !== '' && word !== 'and');
    const stranger = named.find((word) => !TASTES.some((taste) => taste === word));
    if (stranger !== undefined)
      return unreadable(`“${shorten(stranger, 30)}” is not one of ${TASTES.join(', ')}.`);
    return parsed([...new Set(named)]);
  },
};

const MOST_NOTE = 300;

const noteWords = words({
  description: 'Anything worth remembering',
  required: false,
  maxLength: MOST_NOTE,
  example: 'brisket trim',
});

/** A note is one line; where it was broken stays to be seen, as long as there is room. */
function lineBreaksShown(text: string): string {
  const shown = text
    .split('\n')
    .map((line) => line.trim())
    .filter((line) => line !== '')
    .join(' / ');
  return [...shown].length <= MOST_NOTE ? shown : text;
}

/** What a batch may say besides its weights, its method and its cut. */
export const BATCH_DETAILS = {
  water: option.waterVolume('Water it started with'),
  minutes: option.minutes(),
  'water-left': option.waterVolume('Water left at the end'),
  'weighed-as': choice({
    description: 'The tallow when it was weighed',
    required: false,
    choices: [
      { value: 'disc', label: 'The chilled disc, scraped' },
      { value: 're-melted', label: 'Re-melted and dried' },
    ],
  }),
  date: words({
    description: 'The day it was weighed; today unless said',
    required: false,
    maxLength: 40,
    example: 'yesterday',
  }),
  taste: tasteWords,
  note: { ...noteWords, parse: (text: string) => noteWords.parse(lineBreaksShown(text)) },
} as const;
