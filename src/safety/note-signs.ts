import type { Activity } from './occasion.js';

/** What a cook writes of a batch that calls for a caution of its own. The gravest first. */
const SIGNS: readonly (readonly [RegExp, Activity])[] = [
  [
    /\b(?:sat|stood|stayed|left|forgot\w*|kept)\b.{0,40}\b(?:out(?! (?:the|of the pot))|warm|counter|room temp\w*|porch|garage|car|stove)\b|\bunrefrigerated\b|\bout of the (?:fridge|refrigerator)\b|\b(?:fridge|refrigerator) (?:died|failed|broke)\b/i,
    'leave-out',
  ],
  [
    /^(?!.*\b(?:fridge|refrigerat\w*|freezer|cooler|ice)\b).*\b(?:sat|stood|stayed|left|forgot\w*|kept)\b.{0,40}\b(?:over ?night|all (?:night|day))\b/i,
    'leave-out',
  ],
  [/\bgarlic|\bherbs?\b|\brosemary\b|\bthyme\b|\bonions?\b|\bdrippings?\b/i, 'season'],
  [/\bcann(?:ed|ing)\b|\bself.seal\w*|\bsealed? hot\b|\bshelf.stable\b/i, 'store'],
  [/\bbutter\b/i, 'butter-blend'],
  [/\blye\b|\bsoaps?\b|\bcaustic\b/i, 'make-soap'],
  [/\bbentonite\b|\bclay\b/i, 'clarify'],
  [
    /\b(?:rancid|sour|slimy|rotten)\b|\boff smell\b|\bsmell\w* (?:off|bad|odd|funny)\b|\bmou?ld(?:y|s)?\b/i,
    'smell',
  ],
  [/\b(?:fed|feed\w*|gave|give\w*|for)\b.{0,30}\b(?:dogs?|cats?|pets?|puppy)\b/i, 'feed-animals'],
  [/\b(?:re-?used?|used|old) (?:fat|oil|tallow|grease)\b|\bfr(?:ied|y) again\b/i, 'fry-again'],
  [/\bfr(?:y|ied|ying|ies)\b/i, 'fry'],
  [/\b(?:sell|sold|selling|customers?)\b/i, 'sell'],
  [/\b(?:wash|rinse)(?:ed|ing)?\b|\bsecond (?:boil|render|wash)\b/i, 'wash'],
];

/** What a note tells of; undefined of most. */
export const toldIn = (note: string): Activity | undefined => SIGNS.find(([sign]) => sign.test(note))?.[1];

const ACCIDENT =
  /\b(?:fire|flames?|flared|ignited|boiled over|burn(?:ed|t) (?:my|his|her|a)|exploded|erupted|lid (?:blew|flew))\b/i;

/** Whether a note tells of something that went wrong and may still need help. */
export const tellsOfAccident = (note: string): boolean => ACCIDENT.test(note);
