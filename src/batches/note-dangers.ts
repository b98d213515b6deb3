/** What a note tells of that should not go by without a word. Heard by plain words; one too many does no harm. */

const DANGERS: readonly { readonly heard: RegExp; readonly words: string }[] = [
  {
    heard:
      /\b(?:stood|left|sat|stayed|kept|forgot(?:ten)?|was)\b.*\b(?:out|warm|overnight|over night|all night|counter|room temp\w*|unrefrigerated)\b|\bovernight on\b|\bfridge (?:died|failed|broke)/i,
    words:
      'Your note says that it stood warm. Raw fat or broth that was out for over two hours in all, one above 90 °F (32 °C), is not safe to keep or eat: throw it out (USDA FSIS).',
  },
  {
    heard: /\b(?:rancid|sour|mou?ld\w*|slimy|off smell|smell\w* (?:off|bad|rotten)|rotten)\b/i,
    words: 'Your note says that it is off. Do not taste it: throw it out.',
  },
  {
    heard:
      /\b(?:fire|flames?|flared|ignited|smok(?:ed|ing) badly|boiled over|burn(?:ed|t) (?:my|his|her|a)|exploded|erupted|lid (?:blew|flew))\b/i,
    words:
      'Your note tells of an accident. /safety topic:fire and topic:burns say what to do; a burn larger than a coin needs a doctor.',
  },
];

/** A word about each danger that a note tells of. */
export const noteDangerWords = (note: string | undefined | null): readonly string[] =>
  DANGERS.flatMap(({ heard, words }) => (note && heard.test(note) ? [words] : []));
